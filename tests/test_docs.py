"""What the pages say is what the program does."""

from __future__ import annotations

import re
import shlex
import tomllib
from pathlib import Path

import pytest
from click.testing import CliRunner

from steepboard.cli.main import steepboard

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
WORKED = (ROOT / "examples" / "worked-batch.md").read_text(encoding="utf-8")
CONSOLE = re.compile(r"```console\n(.*?)```", re.DOTALL)


def test_the_worked_batch_prints_what_its_page_shows(tmp_path):
    home = ["--home", str(tmp_path)]
    steps = re.split(r"^\$ steepboard ", "".join(CONSOLE.findall(WORKED)), flags=re.MULTILINE)[1:]
    assert len(steps) == 5
    for step in steps:
        command, _, shown = step.partition("\n")
        done = CliRunner().invoke(steepboard, [*home, *shlex.split(command)])
        assert done.exit_code == 0, done.output
        assert done.output.startswith(shown), command


def test_every_command_that_readme_names_exists():
    named = set(re.findall(r"(?:^|[`/])steepboard ([a-z]+)", README, re.MULTILINE))
    commands = set(steepboard.list_commands(None))
    assert named <= commands, named - commands
    assert {"charge", "stir", "strain", "today", "plan", "dilute", "watch", "demo"} <= named


def test_every_page_and_picture_that_a_page_links_to_is_there():
    for page in ("README.md", "DEVELOPERS.md", "examples/worked-batch.md"):
        text = (ROOT / page).read_text(encoding="utf-8")
        for link in re.findall(r"\]\(([^)#:]+)\)", text):
            assert ((ROOT / page).parent / link).is_file(), f"{page}: {link}"


def test_readme_opens_with_the_job_and_names_the_licence_and_the_cautions():
    first = README.split("\n\n")[1]
    assert first.startswith("You steep weighed botanicals in spirit")
    for heading in ("## Cautions", "## Licence", "## Where the data lies"):
        assert heading in README
    assert "MIT" in README.partition("## Licence")[2]


@pytest.mark.parametrize("marked", ["demo", "tests"])
def test_each_command_of_readme_sets_up_by_itself_with_the_tested_versions(marked):
    block = re.search(rf"<!-- {marked} -->\n```sh\n(.*?)\n```", README, re.DOTALL)
    assert block
    assert "\n" not in block[1]
    assert block[1].startswith("python3 -m venv .venv && .venv/bin/pip install")
    assert "-c config/constraints.txt" in block[1]


def test_the_tested_versions_are_names_and_versions_and_nothing_else():
    lines = (ROOT / "config" / "constraints.txt").read_text(encoding="utf-8").splitlines()
    pins = [line for line in lines if not line.startswith("#")]
    assert all(re.fullmatch(r"[A-Za-z0-9_.-]+==[0-9][0-9A-Za-z.]*", pin) for pin in pins)
    pinned = {pin.partition("==")[0].casefold().replace("_", "-") for pin in pins}
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    asked = project["dependencies"] + project["optional-dependencies"]["test"]
    names = {re.split(r"[<>=~ ]", name)[0].casefold() for name in asked}
    assert names <= pinned


@pytest.mark.parametrize("page", ["README.md", "DEVELOPERS.md", "examples/worked-batch.md"])
def test_the_examples_leave_out_what_they_must(page):
    text = (ROOT / page).read_text(encoding="utf-8").casefold()
    plants = "cinnamon|cardamom|ginger|chilli|gentian|dandelion|wormwood|ambrette"
    assert re.findall(rf"{plants}|\b120 ?ml|\b24 ?g\b", text) == []
