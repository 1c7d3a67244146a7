from __future__ import annotations

import getpass
import warnings
from datetime import UTC
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import pytest
import tzlocal

from steepboard.cli.place import Place
from steepboard.errors import BadSettings
from tests.shelves import MORNING


def place(home, by=None):
    return Place.of(str(home), by, lambda: MORNING)


@pytest.mark.parametrize(
    ("login", "initials"),
    [("karin.lang", "KL"), ("karin", "KA"), ("k_l-m_n", "KLM"), ("user7", "US"), ("42", "")],
)
def test_who_says_nothing_signs_with_the_first_letters_of_the_login(
    tmp_path, monkeypatch, login, initials
):
    monkeypatch.setattr(getpass, "getuser", lambda: login)
    with place(tmp_path).desk() as desk:
        assert desk.initials == initials


def test_a_machine_that_does_not_know_its_user_signs_with_nothing(tmp_path, monkeypatch):
    def unknown():
        raise KeyError("uid not found")

    monkeypatch.setattr(getpass, "getuser", unknown)
    with place(tmp_path).desk() as desk:
        assert desk.initials == ""


def test_initials_too_long_for_the_diary_are_refused_by_name(tmp_path):
    (tmp_path / "settings.toml").write_text('[person]\ninitials = "NINELETTER"\n')
    with pytest.raises(BadSettings, match=r"person\.initials"), place(tmp_path).desk():
        pass


def test_the_zone_of_the_settings_comes_before_the_machines(tmp_path):
    (tmp_path / "settings.toml").write_text('[clock]\nzone = "Europe/Lisbon"\n')
    assert place(tmp_path).zone == ZoneInfo("Europe/Lisbon")


def test_the_zone_of_the_machine_is_taken_where_the_settings_name_none(tmp_path, monkeypatch):
    monkeypatch.setattr(tzlocal, "reload_localzone", lambda: ZoneInfo("Asia/Kathmandu"))
    assert place(tmp_path).zone == ZoneInfo("Asia/Kathmandu")


def unreadable():
    raise ZoneInfoNotFoundError("No time zone found with key CET-1CEST")


def guessed():
    warnings.warn("Can not find any timezone configuration, defaulting to UTC.", stacklevel=1)
    return UTC


@pytest.mark.parametrize("local", [unreadable, guessed])
def test_without_a_zone_utc_is_taken_and_said(tmp_path, monkeypatch, capsys, local):
    monkeypatch.setattr(tzlocal, "reload_localzone", local)
    assert place(tmp_path).zone is UTC
    (line,) = capsys.readouterr().err.splitlines()
    assert "clock.zone" in line


def test_a_zone_changed_in_the_settings_while_the_program_runs_moves_the_desk(tmp_path):
    here = place(tmp_path)
    renew = here.renewal()
    with here.desk() as desk:
        assert renew(desk) is desk
        (tmp_path / "settings.toml").write_text('[clock]\nzone = "Pacific/Apia"\n')
        moved = renew(desk)
        assert moved.zone == ZoneInfo("Pacific/Apia")
        assert moved.store is desk.store
        assert renew(moved) is moved


def test_a_zone_changed_on_the_machine_while_the_program_runs_moves_the_desk(tmp_path, monkeypatch):
    (tmp_path / "lisbon").touch()
    (tmp_path / "kathmandu").touch()
    link = tmp_path / "localtime"
    link.symlink_to("lisbon")
    monkeypatch.setattr("steepboard.cli.place._ZONE_FILES", (str(link),))
    monkeypatch.setattr(tzlocal, "reload_localzone", lambda: ZoneInfo("Europe/Lisbon"))
    here = place(tmp_path / "home")
    renew = here.renewal()
    with here.desk() as desk:
        monkeypatch.setattr(tzlocal, "reload_localzone", lambda: ZoneInfo("Asia/Kathmandu"))
        assert renew(desk).zone == ZoneInfo("Europe/Lisbon")  # no sign of a change yet
        link.unlink()
        link.symlink_to("kathmandu")
        assert renew(desk).zone == ZoneInfo("Asia/Kathmandu")


def test_settings_spoilt_while_the_program_runs_are_told_once_and_the_former_ones_hold(tmp_path):
    here = place(tmp_path)
    renew = here.renewal()
    with here.desk() as desk:
        (tmp_path / "settings.toml").write_text('[clock]\nzone = "Europe/Nowhere"\n')
        with pytest.raises(BadSettings, match=r"clock\.zone"):
            renew(desk)
        assert renew(desk) is desk
