"""The wheel holds all that the program reads, and the program runs from it outside a checkout."""

from __future__ import annotations

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    folder = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", folder, ROOT]
    subprocess.run(build, check=True, capture_output=True)
    (path,) = folder.glob("*.whl")
    return path


@pytest.mark.parametrize("name", ["settings.toml", "labels.toml", "schema/shelf-1.json"])
def test_what_the_wheel_is_set_up_by_is_that_of_the_repository(wheel, name):
    with zipfile.ZipFile(wheel) as packed:
        inside = packed.read(f"steepboard/config/{name}")
    assert inside == (ROOT / "config" / name).read_bytes()


def test_everything_but_code_is_in_the_wheel_too(wheel):
    package = ROOT / "steepboard"
    data = {
        path.relative_to(ROOT).as_posix()
        for path in package.rglob("*")
        if path.suffix in {".toml", ".tcss"}
    }
    with zipfile.ZipFile(wheel) as packed:
        assert data <= set(packed.namelist())
        assert len(data) >= 3


def test_the_program_runs_from_the_wheel_alone(wheel, tmp_path):
    """Its defaults come from inside the wheel: nothing of the checkout is on the path."""
    unpacked = tmp_path / "site"
    with zipfile.ZipFile(wheel) as packed:
        packed.extractall(unpacked)
    program = "import sys; sys.path.insert(0, sys.argv.pop(1));"
    program += "import steepboard.cli.main as m; print(m.__file__, file=sys.stderr); m.main()"
    run = [sys.executable, "-P", "-c", program, unpacked, "--home", tmp_path / "home", "today"]
    done = subprocess.run(run, check=True, capture_output=True, text=True, cwd=tmp_path)
    assert done.stderr.startswith(str(unpacked))
    assert done.stdout.strip()
