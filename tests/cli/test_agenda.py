"""The calendar file, by command."""

from __future__ import annotations

import subprocess
import sys
from datetime import timedelta

import vobject

from tests.cli.running import done, refused, run
from tests.shelves import MORNING

DAY = timedelta(days=1)


def kinds(text):
    events = vobject.readOne(text).contents.get("vevent", [])
    return sorted(event.uid.value.split("-")[0] for event in events)


def test_calendar_prints_what_another_program_reads(tmp_path):
    done(tmp_path, "charge", "caraway", "40g", "300ml", "45%")
    assert kinds(done(tmp_path, "calendar")) == ["stir", "strain", "taste"]


def test_a_shelf_without_jars_is_a_calendar_too(tmp_path):
    assert kinds(done(tmp_path, "calendar")) == []


def test_calendar_writes_a_file_only_when_something_changed(tmp_path):
    done(tmp_path, "charge", "caraway", "40g", "300ml", "45%")
    out = tmp_path / "jars.ics"
    assert done(tmp_path, "calendar", "--out", out) == f"{out} is written.\n"
    assert done(tmp_path, "calendar", "--out", out, now=MORNING + DAY) == f"{out} is up to date.\n"
    done(tmp_path, "stir", "CARA-01", now=MORNING + DAY)
    assert done(tmp_path, "calendar", "--out", out, now=MORNING + DAY) == f"{out} is written.\n"
    assert out.read_bytes() == run(tmp_path, "calendar", now=MORNING + DAY).stdout_bytes


def test_a_place_that_cannot_be_written_is_named(tmp_path):
    missing = tmp_path / "nowhere" / "jars.ics"
    text = refused(tmp_path, "calendar", "--out", missing, code=1)
    assert text == f"{missing}: No such file or directory."
    assert refused(tmp_path, "calendar", "--out", tmp_path, code=1).startswith(f"{tmp_path}: ")


def test_other_commands_do_not_load_what_writes_it(tmp_path):
    """What a command loaded is printed by a process of its own."""
    words = ["steepboard", "--home", str(tmp_path), "away"]
    program = (
        f"import sys; sys.argv = {words!r}\nfrom steepboard.cli.main import main\n"
        "try: main()\nexcept SystemExit: print(*sys.modules, sep='\\n', file=sys.stderr)"
    )
    done(tmp_path, "today")  # makes the record
    ended = subprocess.run(
        [sys.executable, "-c", program], check=True, capture_output=True, text=True, timeout=60
    )
    assert "steepboard.cli.habits" in ended.stderr.split()
    assert not {"icalendar", "textual", "pint", "sqlite_utils"} & set(ended.stderr.split())
