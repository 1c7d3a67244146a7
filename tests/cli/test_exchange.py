"""`steepboard export` and `steepboard import`, as they are called."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from steepboard.services.exchange import document
from tests.cli.running import done, refused, run, value

CHARGE = ("charge", "caraway", "40g", "300ml", "45%")


@pytest.fixture
def old(tmp_path):
    home = tmp_path / "old"
    done(home, *CHARGE)
    done(home, "stir", "CARA-01")
    done(home, "undo")
    done(home, "remind", "CARA-01", "--stir-every", "3")
    return home


def test_a_shelf_is_moved_to_a_new_home(old, tmp_path):
    file, new = tmp_path / "shelf.json", tmp_path / "new"
    assert done(old, "export", "--out", file) == f"{file} is written.\n"
    assert done(new, "import", file) == f"{file} is taken in: jars 1, diary 4.\n"
    assert done(new, "export") == done(old, "export") == file.read_text(encoding="utf-8")
    for look in (("today",), ("jars",), ("jar", "CARA-01"), ("remind", "CARA-01"), ("bottles",)):
        assert done(new, *look) == done(old, *look)


def test_the_shelf_that_was_taken_in_goes_on_from_there(old, tmp_path):
    done(old, "export", "--out", tmp_path / "shelf.json")
    new = tmp_path / "new"
    assert value(new, "import", tmp_path / "shelf.json")["diary"] == 4
    done(new, "stir", "CARA-01")
    assert "CARA-02" in done(new, *CHARGE)


def test_only_its_owner_can_read_an_export(old, tmp_path):
    done(old, "export", "--out", tmp_path / "shelf.json")
    assert (tmp_path / "shelf.json").stat().st_mode & 0o777 == 0o600


def test_a_list_for_a_spreadsheet_begins_with_the_mark_of_utf_8_in_a_file_alone(old, tmp_path):
    file = tmp_path / "jars.csv"
    done(old, "export", "--csv", "jars", "--out", file)
    assert file.read_bytes().startswith(b"\xef\xbb\xbfcode,name,state")
    assert run(old, "export", "--csv", "jars").stdout_bytes == file.read_bytes()[3:]
    told = refused(old, "export", "--csv", "vats", code=2)
    assert "“vats” is no list. There are jars, strainings, bottles, draws" in told


def test_an_export_is_never_written_over_anything(old, tmp_path):
    file = tmp_path / "shelf.json"
    file.write_text("mine")
    for name in (file, tmp_path):
        assert "is there already and is left as it is" in refused(
            old, "export", "--out", name, code=1
        )
    (tmp_path / "gone.json").symlink_to(tmp_path / "nowhere.json")
    refused(old, "export", "--out", tmp_path / "gone.json", code=1)
    assert file.read_text() == "mine"
    assert not (tmp_path / "nowhere.json").exists()


def test_an_export_that_cannot_be_finished_leaves_no_file(old, tmp_path, monkeypatch):
    def breaks(*_):
        yield "{"
        raise OSError(28, os.strerror(28))

    monkeypatch.setattr(document, "written", breaks)
    told = refused(old, "export", "--out", tmp_path / "shelf.json", code=1)
    assert told == f"{tmp_path / 'shelf.json'}: No space left on device."
    assert not [path for path in tmp_path.iterdir() if path != old]
    assert "No such file" in refused(old, "export", "--out", tmp_path / "no" / "x.json", code=1)


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="a device of Linux")  # noqa: PTH110
def test_a_full_disk_behind_the_output_is_told_in_one_line(old):
    words = [sys.executable, "-m", "steepboard", "--home", str(old), "export"]
    with open("/dev/full", "wb") as full:  # noqa: PTH123
        done_ = subprocess.run(words, check=False, stdout=full, stderr=subprocess.PIPE, text=True)
    assert done_.returncode == 1
    assert "No space left on device" in done_.stderr
    assert "Traceback" not in done_.stderr


def test_a_shelf_that_has_something_is_not_touched(old, tmp_path):
    done(old, "export", "--out", tmp_path / "shelf.json")
    before = done(old, "export")
    told = refused(old, "import", tmp_path / "shelf.json", code=1)
    assert "is not empty, and an import writes over nothing" in told
    assert done(old, "export") == before


def test_each_bad_row_is_told_with_its_line_and_nothing_is_kept(old, tmp_path):
    told = done(old, "export").splitlines()
    wrong = {line: n for n, line in enumerate(told, 1) if '"kind": "stir"' in line}
    (stirred,) = wrong
    told[wrong[stirred] - 1] = stirred.replace('"stir"', '"sh\\u001b[31maken"')
    told[wrong[stirred] + 1] = told[wrong[stirred] + 1].replace('"number": 4', '"number": 1')
    file, new = tmp_path / "shelf.json", tmp_path / "new"
    file.write_text("\n".join(told), encoding="utf-8")
    result = run(new, "import", file)
    lines = result.stderr.splitlines()
    n = wrong[stirred]
    assert (result.exit_code, result.stdout) == (1, "")
    assert lines[0].startswith(f"line {n}: diary, kind: “sh[31maken” is none of plan, charge")
    assert lines[-2] == f"line {n + 2}: diary: it is in this file twice"
    assert lines[-1] == f"{file}: {len(lines) - 1} faults. Nothing was imported."
    assert "\x1b" not in result.stderr
    assert done(new, "jars") == done(tmp_path / "never used", "jars")


@pytest.mark.parametrize("is_folder", [False, True])
def test_a_file_that_cannot_be_read_is_told_and_makes_no_shelf(tmp_path, is_folder):
    file = tmp_path / "shelf.json"
    if is_folder:
        file.mkdir()
    assert str(file) in refused(tmp_path / "new", "import", file, code=1)
    assert not (tmp_path / "new").exists()


def test_a_list_goes_out_is_changed_in_a_spreadsheet_and_comes_in_again(old, tmp_path):
    file, other = tmp_path / "spirits.csv", tmp_path / "other.csv"
    done(old, "spirits", "add", "cellar brandy", "--strength", "54%")
    done(old, "export", "--csv", "own_spirits", "--out", file)
    told = f"{file}: 0 new, 1 the same, 0 replaced.\n"
    assert done(old, "import", "--csv", "own_spirits", file) == told
    other.write_text("name;strength\r\nCellar brandy;53,5 %\r\nDock gin;47 %\r\n")
    result = run(old, "import", "--csv", "own_spirits", other)
    assert (result.exit_code, result.stdout) == (1, "")
    assert result.stderr.splitlines() == [
        (
            "line 2: cellar brandy: strength is 0.54 here and 0.535 in the file. "
            "--replace takes the file's"
        ),
        f"{other}: 1 fault. Nothing was imported.",
    ]
    found = value(old, "import", "--csv", "own_spirits", other, "--replace")
    assert found == {
        "file": str(other),
        "new": 1,
        "same": 0,
        "replaced": [{"line": 2, "what": "cellar brandy: strength 0.535 instead of 0.54"}],
    }
    assert "53.5 %" in done(old, "spirits", "cellar brandy")


def test_only_lists_that_people_keep_come_in(old, tmp_path):
    told = refused(old, "import", "--csv", "jars", tmp_path / "x.csv", code=2)
    assert (
        "“jars” does not come in as a list. There are own_botanicals, own_spirits, prices" in told
    )
    told = refused(old, "import", "--replace", tmp_path / "x.json", code=2)
    assert told.startswith("--replace goes with --csv LIST.")
    told = refused(old, "import", tmp_path / "prices.csv", code=2)
    assert told.startswith("Say which list it is, as in --csv prices.")


def test_a_shelf_is_moved_as_a_folder_of_lists(old, tmp_path):
    out, new = tmp_path / "lists", tmp_path / "new"
    assert done(old, "export", "--csv", "all", "--out", out) == f"{out} is written.\n"
    assert (out.stat().st_mode & 0o777, (out / "diary.csv").stat().st_mode & 0o777) == (
        0o700,
        0o600,
    )
    assert (out / "jars.csv").read_bytes().startswith(b"\xef\xbb\xbfnumber,code,name\r\n1,CARA-01")
    assert done(new, "import", out) == f"{out} is taken in: jars 1, diary 4.\n"
    assert done(new, "export") == done(old, "export")
    assert "is there already" in refused(old, "export", "--csv", "all", "--out", out, code=1)
    told = refused(old, "export", "--csv", "all", code=2)
    assert told.startswith("Say which folder: --csv all --out FOLDER.")


def test_a_bad_row_of_a_folder_is_told_with_its_file(old, tmp_path):
    out, new = tmp_path / "lists", tmp_path / "new"
    done(old, "export", "--csv", "all", "--out", out)
    file = out / "botanicals.csv"
    file.write_text(file.read_text().replace("40.0", "forty"))
    result = run(new, "import", out)
    assert (result.exit_code, result.stdout) == (1, "")
    assert (
        result.stderr.splitlines()[0] == "line 2: botanicals.csv, mass_g: “forty” is not a number"
    )
    assert result.stderr.splitlines()[-1].startswith(f"{out}: ")
