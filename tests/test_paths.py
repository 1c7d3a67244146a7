from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import platformdirs
import pytest

from steepboard.errors import RecordUnusable
from steepboard.paths import Home, home, private_file


@pytest.fixture
def open_umask() -> Iterator[None]:
    """Take nothing off the modes that are asked for."""
    before = os.umask(0)
    yield
    os.umask(before)


def mode(path: Path) -> int:
    return path.stat().st_mode & 0o777


def test_the_option_wins_over_the_environment_and_that_over_the_data_folder(tmp_path: Path) -> None:
    environ = {"STEEPBOARD_HOME": str(tmp_path / "named")}
    assert home(str(tmp_path / "asked"), environ).root == tmp_path / "asked"
    assert home(None, environ).root == tmp_path / "named"
    assert home(None, {"STEEPBOARD_HOME": ""}).root == platformdirs.user_data_path("steepboard")


def test_a_home_is_absolute_and_knows_the_tilde(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.chdir(tmp_path)
    assert home("~/shelf", {}).root == tmp_path / "shelf"
    assert home("shelf", {}).root == tmp_path / "shelf"
    with pytest.raises(RecordUnusable, match="nobody"):
        home("~no-such-person/shelf", {})


def test_all_files_lie_in_the_one_folder(tmp_path: Path) -> None:
    found = Home(tmp_path)
    files = {found.record, found.settings, found.lock, found.log}
    assert len(files) == 4
    assert {file.parent for file in files} == {tmp_path}


@pytest.mark.usefixtures("open_umask")
def test_the_folder_is_made_for_its_owner_alone(tmp_path: Path) -> None:
    made = Home(tmp_path / "deep" / "shelf").make()
    assert mode(made.root) == 0o700
    assert made.make() == made


@pytest.mark.usefixtures("open_umask")
def test_a_folder_that_was_there_keeps_its_mode(tmp_path: Path) -> None:
    there = tmp_path / "there"
    there.mkdir(mode=0o755)
    assert mode(Home(there).make().root) == 0o755


def test_a_file_in_place_of_the_folder_is_told(tmp_path: Path) -> None:
    (tmp_path / "shelf").write_text("")
    with pytest.raises(RecordUnusable, match="cannot be used as a folder"):
        Home(tmp_path / "shelf").make()


@pytest.mark.usefixtures("open_umask")
def test_a_private_file_is_made_for_its_owner_and_keeps_what_it_holds(tmp_path: Path) -> None:
    path = private_file(tmp_path / "shelf.db")
    assert mode(path) == 0o600
    path.write_text("kept")
    assert private_file(path).read_text() == "kept"
    with pytest.raises(RecordUnusable, match="cannot be written"):
        private_file(tmp_path / "missing" / "shelf.db")


def test_an_option_that_names_nothing_does_not_open_the_shelf_of_the_user() -> None:
    with pytest.raises(RecordUnusable, match="names no folder"):
        home("", {})


def test_folders_on_the_way_to_a_home_are_for_their_owner_alone_too(tmp_path: Path) -> None:
    Home(tmp_path / "bar" / "demo").make()
    modes = [path.stat().st_mode & 0o777 for path in (tmp_path / "bar", tmp_path / "bar" / "demo")]
    assert modes == [0o700, 0o700]
