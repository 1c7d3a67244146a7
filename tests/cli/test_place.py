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
    monkeypatch.setattr(tzlocal, "get_localzone", lambda: ZoneInfo("Asia/Kathmandu"))
    assert place(tmp_path).zone == ZoneInfo("Asia/Kathmandu")


def unreadable():
    raise ZoneInfoNotFoundError("No time zone found with key CET-1CEST")


def guessed():
    warnings.warn("Can not find any timezone configuration, defaulting to UTC.", stacklevel=1)
    return UTC


@pytest.mark.parametrize("local", [unreadable, guessed])
def test_without_a_zone_utc_is_taken_and_said(tmp_path, monkeypatch, capsys, local):
    monkeypatch.setattr(tzlocal, "get_localzone", local)
    assert place(tmp_path).zone is UTC
    (line,) = capsys.readouterr().err.splitlines()
    assert "clock.zone" in line
