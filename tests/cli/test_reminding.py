from __future__ import annotations

import stat
from datetime import datetime
from zoneinfo import ZoneInfo

from steepboard.cli.reminding import Teller, log_to
from steepboard.daemon.run import State, Status

NINE = datetime(2026, 3, 2, 9, 0, tzinfo=ZoneInfo("Europe/Vienna"))


def written_to(path):
    """Return a log in `path` and the list of its complaints."""
    complaints = []
    return log_to(path, lambda: NINE, complaints.append), complaints


def test_a_line_has_its_local_time_and_stays_one_line(tmp_path):
    write, complaints = written_to(tmp_path / "reminders.log")
    write("Stir Große Rose\n\x1b[2J%s {} at once")
    log = (tmp_path / "reminders.log").read_text(encoding="utf-8")
    assert log == "2026-03-02 09:00:00 Stir Große Rose [2J%s {} at once\n"
    assert complaints == []


def test_a_full_log_is_put_aside_and_the_oldest_dropped_all_for_the_owner_alone(tmp_path):
    write, complaints = written_to(tmp_path / "reminders.log")
    for number in range(400):
        write(f"{number} " + "x" * 10_000)  # four megabytes, far more than is kept
    logs = sorted(tmp_path.iterdir())
    assert [log.name for log in logs] == ["reminders.log", *(f"reminders.log.{n}" for n in "1234")]
    assert {stat.S_IMODE(log.stat().st_mode) for log in logs} == {0o600}
    assert sum(log.stat().st_size for log in logs) < 1_300_000
    assert "399 x" in logs[0].read_text(encoding="utf-8").splitlines()[-1]
    assert complaints == []


def test_a_log_that_was_deleted_is_begun_anew(tmp_path):
    write, _ = written_to(tmp_path / "reminders.log")
    write("before")
    (tmp_path / "reminders.log").unlink()
    write("after")
    assert (tmp_path / "reminders.log").read_text(encoding="utf-8").endswith("after\n")


def test_what_the_log_cannot_take_is_told_once_and_raises_nothing(tmp_path, capsys):
    (tmp_path / "reminders.log").mkdir()
    write, complaints = written_to(tmp_path / "reminders.log")
    write("one")
    write("two")
    (complaint,) = complaints
    assert complaint.startswith("The reminders go on without their log.")
    assert "reminders.log cannot be written: is a directory" in complaint
    assert capsys.readouterr() == ("", "")


def test_a_log_that_cannot_be_put_aside_is_told_once(tmp_path):
    (tmp_path / "reminders.log").write_text("x" * 1_000_000)
    for number in "34":
        (tmp_path / f"reminders.log.{number}" / "in the way").mkdir(parents=True)
    write, complaints = written_to(tmp_path / "reminders.log")
    write("one")
    write("two")
    assert len(complaints) == 1


def test_what_is_said_after_trouble_is_true_of_settings_as_of_the_record():
    told = []
    teller = Teller(told.append)
    for state, detail in (
        (State.SENDING, ""),
        (State.NO_RECORD, "settings.toml: steep.days is 0."),
        (State.SENDING, ""),
    ):
        teller.status(Status(state, detail))
    assert told == ["settings.toml: steep.days is 0.", "The reminders go on."]
