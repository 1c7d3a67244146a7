"""The calendar file, read back with another parser than the library that writes it."""

from __future__ import annotations

import errno
import re
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta, timezone, tzinfo
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
import vobject

from steepboard.domain.local_time import local_instant
from steepboard.domain.records import Habit
from steepboard.domain.schedule import ReminderKind
from steepboard.services import acts, reminder_acts, views
from steepboard.services.agenda import agenda
from steepboard.services.calendar_file import calendar_text, write_calendar
from steepboard.services.rhythms import series_of
from steepboard.store.connect import Store
from tests.shelves import VIENNA, desk_at, order

# 20 March 2026, 09:00 in Vienna. The clocks there go forward on 29 March at 2:00.
CHARGED = datetime(2026, 3, 20, 8, 0, tzinfo=UTC)
DAY = timedelta(days=1)


def shelf_with_a_jar(folder, **changes):
    desk = desk_at(folder)
    return desk, acts.charge(desk, order(**changes), CHARGED)


def read(desk, now=CHARGED):
    """Return the events by their kind, as vobject reads them."""
    vars(vobject.icalendar)["__tzidMap"].clear()  # it would take zones from what it read before
    calendar = vobject.readOne(calendar_text(desk, now).decode())
    calendar.validate(raiseException=True)
    return {event.uid.value.split("-")[0]: event for event in calendar.contents.get("vevent", [])}


def instants(event):
    days = event.getrruleset(addRDate=True) or [event.dtstart.value]
    return [at.astimezone(UTC) for at in days]


def alarms(event):
    return sorted(alarm.trigger.value for alarm in event.contents.get("valarm", []))


def sequences(found):
    return {kind: int(event.sequence.value) for kind, event in found.items()}


def test_a_steep_has_its_stirs_tastings_and_strain_day(tmp_path):
    desk, jar = shelf_with_a_jar(tmp_path)
    found = read(desk)
    assert set(found) == {"stir", "taste", "strain"}
    assert found["strain"].summary.value == f"Strain {jar.code} Caraway seed"
    assert found["strain"].dtstart.value.isoformat() == "2026-04-03T10:00:00+02:00"
    assert "rrule" not in found["strain"].contents
    assert found["stir"].description.value.startswith("To be strained on 3 April.")


def test_wall_clock_times_stay_over_the_change_of_the_clocks(tmp_path):
    """Vienna is at UTC+1 until 29 March 2026, 01:00 UTC, and at UTC+2 from then on."""
    desk, _ = shelf_with_a_jar(tmp_path)
    stirs = instants(read(desk)["stir"])
    assert stirs[:8] == [datetime(2026, 3, day, 8, tzinfo=UTC) for day in range(21, 29)]
    assert stirs[8:] == [
        *(datetime(2026, 3, day, 7, tzinfo=UTC) for day in (29, 30, 31)),
        *(datetime(2026, 4, day, 7, tzinfo=UTC) for day in (1, 2, 3)),
    ]


@pytest.mark.parametrize("wall", [time(0, 30), time(3, 30), time(23, 59)])
@pytest.mark.parametrize(
    "charged",
    [datetime(2026, 3, 25, 8, tzinfo=UTC), datetime(2026, 9, 27, 8, tzinfo=UTC)],
    ids=["spring", "autumn"],
)
@pytest.mark.parametrize(
    "name",
    [
        "Europe/Vienna", "Europe/London", "America/New_York", "America/St_Johns", "UTC",
        "Australia/Lord_Howe", "Pacific/Chatham", "Africa/Casablanca", "Asia/Kathmandu",
        "America/Santiago", "Pacific/Apia",
    ],
)  # fmt: skip
def test_what_repeats_falls_on_the_instants_of_the_schedule(tmp_path, name, charged, wall):
    desk = desk_at(tmp_path, zone=ZoneInfo(name))
    jar = acts.charge(desk, order(days=40), charged)
    habit = Habit(stir_every_days=3, stir_at=wall, taste_every_days=2, taste_at=wall)
    jar = reminder_acts.remind(desk, jar.code, habit, charged)
    acts.stir(desk, (jar.code,), charged + DAY)
    found = read(desk, charged)
    series = {one.kind: one for one in series_of(desk, views.jar(desk, jar.code))}
    for kind in (ReminderKind.STIR, ReminderKind.TASTE):
        days, one = [], series[kind]
        while day := one.after(days[-1] if days else date.min):
            days.append(day)
        assert len(days) > 5
        assert instants(found[kind.value]) == [local_instant(d, wall, desk.zone) for d in days]


def test_the_rules_of_the_zone_change_at_the_instants_that_the_law_names(tmp_path):
    """In the European Union at 01:00 UTC on the last Sundays of March and October."""
    desk, _ = shelf_with_a_jar(tmp_path)
    text, changes = calendar_text(desk, CHARGED).decode(), set()
    for part in re.findall(r"BEGIN:(?:DAYLIGHT|STANDARD)(.*?)END:", text, re.DOTALL):
        (before,) = re.findall(r"TZOFFSETFROM:(\S+)", part)
        for shown in re.findall(r"(?:DTSTART|RDATE):(\S+)", part):
            changes.add(f"{datetime.fromisoformat(shown + before).astimezone(UTC):%Y-%m-%d %H:%M}")
    assert {change for change in changes if change.startswith("2026")} == {
        "2026-03-29 01:00",
        "2026-10-25 01:00",
    }


def test_a_time_that_the_clocks_repeat_counts_the_first_time(tmp_path):
    """On 25 October 2026 it is 2:30 in Vienna at 00:30 and again at 01:30 UTC."""
    desk = desk_at(tmp_path)
    jar = acts.charge(desk, order(), datetime(2026, 10, 20, 8, tzinfo=UTC))
    reminder_acts.remind(desk, jar.code, Habit(stir_at=time(2, 30)), CHARGED)
    stirs = instants(read(desk)["stir"])
    assert [at for at in stirs if at.day == 25] == [datetime(2026, 10, 25, 0, 30, tzinfo=UTC)]
    assert len(stirs) == 14


def test_getting_ready_rings_the_evening_before_over_the_change_too(tmp_path):
    """From 18:00 to 10:00 are 16 hours, and 15 in the night that loses one."""
    desk, jar = shelf_with_a_jar(tmp_path)
    assert alarms(read(desk)["strain"]) == [timedelta(hours=-16), timedelta(0)]
    acts.move(desk, jar.code, date(2026, 3, 29), "strong already", CHARGED)
    assert alarms(read(desk)["strain"]) == [timedelta(hours=-15), timedelta(0)]
    assert alarms(read(desk)["stir"]) == [timedelta(0)]


def test_a_day_stirred_is_left_out(tmp_path):
    desk, jar = shelf_with_a_jar(tmp_path)
    before = instants(read(desk)["stir"])
    acts.stir(desk, (jar.code,), CHARGED + 2 * DAY)
    assert instants(read(desk)["stir"]) == [*before[:1], *before[2:]]


def test_a_strained_jar_asks_for_its_bottle_and_takes_the_rest_back(tmp_path):
    desk, jar = shelf_with_a_jar(tmp_path)
    assert set(sequences(read(desk)).values()) == {0}
    acts.strain(desk, jar.code, (), CHARGED + 2 * DAY)
    found = read(desk, CHARGED + 2 * DAY)
    assert sequences(found) == {"stir": 1, "taste": 1, "strain": 1, "bottle": 0}
    gone = [found[kind] for kind in ("stir", "taste", "strain")]
    assert {event.status.value for event in gone} == {"CANCELLED"}
    assert [alarms(event) for event in gone] == [[], [], []]
    assert found["bottle"].dtstart.value.isoformat() == "2026-03-24T10:00:00+01:00"
    assert found["bottle"].status.value == "CONFIRMED"


def test_what_is_gone_is_told_for_sixty_days_and_then_forgotten(tmp_path):
    desk, jar = shelf_with_a_jar(tmp_path)
    read(desk)
    undone = CHARGED + 3 * DAY
    acts.undo(desk, jar.code, undone)
    for told in (undone, undone + 60 * DAY):
        found = read(desk, told)
        assert sequences(found) == {"stir": 1, "taste": 1, "strain": 1}
        assert {event.dtstamp.value for event in found.values()} == {undone}
    assert read(desk, undone + 61 * DAY) == {}
    acts.charge(desk, order(), undone + 61 * DAY)
    assert set(sequences(read(desk, undone + 61 * DAY)).values()) == {0}


def test_what_comes_back_has_a_sequence_above_that_of_its_end(tmp_path):
    desk, jar = shelf_with_a_jar(tmp_path)
    read(desk)
    acts.strain(desk, jar.code, (), CHARGED)
    read(desk)
    acts.undo(desk, jar.code, CHARGED)
    found = read(desk)
    assert sequences(found) == {"stir": 2, "taste": 2, "strain": 2, "bottle": 1}
    assert found["strain"].status.value == "CONFIRMED"
    assert found["bottle"].status.value == "CANCELLED"


def test_only_what_changes_grows_and_its_uid_stays(tmp_path):
    desk, jar = shelf_with_a_jar(tmp_path)
    before = read(desk)
    reminder_acts.remind(desk, jar.code, Habit(strain_at=time(11, 30)), CHARGED + DAY)
    after = read(desk, CHARGED + DAY)
    assert sequences(after) == {"stir": 0, "taste": 0, "strain": 1}
    assert after["strain"].dtstamp.value == CHARGED + DAY
    assert after["stir"].dtstamp.value == CHARGED
    assert [e.uid.value for e in after.values()] == [e.uid.value for e in before.values()]
    shelf_id = desk.store.rows("select id from shelf")[0]["id"]
    assert after["stir"].uid.value == f"stir-{jar.id}@{shelf_id}"


def test_a_second_look_changes_neither_the_text_nor_the_record(tmp_path):
    desk, _ = shelf_with_a_jar(tmp_path)
    text = calendar_text(desk, CHARGED)
    other = desk_at(tmp_path)
    version = other.version()
    assert calendar_text(desk, CHARGED + 5 * DAY) == text
    assert other.version() == version
    assert calendar_text(other, CHARGED + 9 * DAY) == text


def test_what_another_published_meanwhile_is_not_taken_back(tmp_path, monkeypatch):
    desk, jar = shelf_with_a_jar(tmp_path)
    read(desk)
    acts.stir(desk, (jar.code,), CHARGED + DAY)
    other, told, writing = desk_at(tmp_path), [], Store.writing

    def later_than_another(store):
        monkeypatch.setattr(Store, "writing", writing)
        acts.stir(other, (jar.code,), CHARGED + 2 * DAY)
        told.append(calendar_text(other, CHARGED + 2 * DAY))
        return writing(store)

    monkeypatch.setattr(Store, "writing", later_than_another)
    assert [calendar_text(desk, CHARGED + DAY)] == told
    assert sequences(read(desk)) == {"stir": 1, "taste": 0, "strain": 0}


HOSTILE = (
    "a, b; c\\n d: \"e\" 'f'",
    "x\r\nEND:VEVENT\r\nBEGIN:VEVENT\r\nSUMMARY:forged",
    "x\nATTACH:file:///etc/passwd",
    "bell \x07 escape \x1b[31m nul-like \x01 right-to-left \u202e",
    "line\u2028separator\x85next\x0bvertical",
    "Kümmel " + "ü" * 70,
    "草本" * 35,
    "👩‍🌾" * 20,
    "BEGIN:VCALENDAR",
    "%s {0} <b>&amp;",
)


@pytest.mark.parametrize("name", HOSTILE)
def test_a_name_is_text_whatever_it_holds(tmp_path, name):
    desk, jar = shelf_with_a_jar(tmp_path)
    desk.store.conn.execute("update jar set name = ?", [name[:80]])
    text = calendar_text(desk, CHARGED)
    assert calendar_text(desk, CHARGED + DAY) == text
    lines = text.split(b"\r\n")
    assert max(map(len, lines)) <= 75
    assert min(byte for line in lines for byte in line) >= 32
    found = read(desk)
    assert set(found) == {"stir", "taste", "strain"}
    said = found["stir"].summary.value
    assert said.startswith(f"Stir {jar.code} ")
    kept = [c for c in name[:80] if c.isprintable() and c != " "]
    assert [c for c in said.removeprefix(f"Stir {jar.code} ") if c not in " \u200d"] == kept
    assert {child.name for child in found["stir"].getChildren()} == {
        "UID", "SEQUENCE", "DTSTAMP", "DTSTART", "RRULE", "SUMMARY", "DESCRIPTION", "STATUS",
        "TRANSP", "VALARM",
    }  # fmt: skip


class Unnamed(tzinfo):
    """Vienna under no name of the tz database, as a machine without one tells it."""

    def utcoffset(self, at):
        return VIENNA.utcoffset(at)

    def dst(self, at):
        return VIENNA.dst(at)

    def fromutc(self, at):
        return at.astimezone(VIENNA).replace(tzinfo=self)

    def __str__(self):
        return "local"


def test_a_zone_without_a_name_is_told_in_utc_instant_by_instant(tmp_path):
    desk, jar = shelf_with_a_jar(tmp_path)
    acts.stir(desk, (jar.code,), CHARGED + DAY)
    named = {kind: instants(event) for kind, event in read(desk).items()}
    found = read(replace(desk, zone=Unnamed()))
    assert {kind: instants(event) for kind, event in found.items()} == named
    assert b"TZID" not in calendar_text(replace(desk, zone=Unnamed()), CHARGED)


def test_a_fixed_offset_is_told_in_utc(tmp_path):
    desk = desk_at(tmp_path, zone=timezone(timedelta(hours=5, minutes=45)))
    acts.charge(desk, order(), CHARGED)
    assert instants(read(desk)["stir"])[0] == datetime(2026, 3, 21, 3, 15, tzinfo=UTC)


def test_a_change_of_zone_moves_the_times_with_it(tmp_path):
    desk, _ = shelf_with_a_jar(tmp_path)
    read(desk)
    moved = read(replace(desk, zone=ZoneInfo("America/Santiago")))
    assert moved["strain"].dtstart.value.isoformat() == "2026-04-03T10:00:00-03:00"
    assert sequences(moved) == {"stir": 1, "taste": 1, "strain": 1}


def test_an_empty_shelf_is_a_calendar_without_events(tmp_path):
    assert read(desk_at(tmp_path)) == {}
    assert agenda(desk_at(tmp_path), CHARGED) == ()


def test_the_file_is_for_its_owner_and_left_alone_until_something_changes(tmp_path):
    desk, jar = shelf_with_a_jar(tmp_path)
    path = tmp_path / "jars.ics"
    assert write_calendar(desk, path, CHARGED)
    assert path.read_bytes() == calendar_text(desk, CHARGED)
    before = path.stat()
    assert before.st_mode & 0o777 == 0o600
    assert not write_calendar(desk, path, CHARGED + DAY)
    after = path.stat()
    assert (after.st_ino, after.st_mtime_ns) == (before.st_ino, before.st_mtime_ns)
    acts.stir(desk, (jar.code,), CHARGED + DAY)
    assert write_calendar(desk, path, CHARGED + DAY)
    assert path.stat().st_ino != before.st_ino


def test_a_file_that_somebody_changed_is_written_anew(tmp_path):
    desk, _ = shelf_with_a_jar(tmp_path)
    path = tmp_path / "jars.ics"
    path.write_text("something else")
    assert write_calendar(desk, path, CHARGED)
    assert path.read_bytes() == calendar_text(desk, CHARGED)


def test_a_full_disk_leaves_the_former_file_whole_and_nothing_beside_it(tmp_path, monkeypatch):
    desk, jar = shelf_with_a_jar(tmp_path)
    folder = tmp_path / "synced"
    folder.mkdir()
    path = folder / "jars.ics"
    write_calendar(desk, path, CHARGED)
    before = path.read_bytes()
    acts.stir(desk, (jar.code,), CHARGED + DAY)

    def full(file):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(OSError, match="No space left") as fault:
        write_calendar(desk, path, CHARGED + DAY)
    assert fault.value.filename == str(path)
    assert path.read_bytes() == before
    assert list(folder.iterdir()) == [path]


def test_a_link_stays_a_link(tmp_path):
    desk, _ = shelf_with_a_jar(tmp_path)
    (tmp_path / "synced").mkdir()
    link, target = tmp_path / "jars.ics", tmp_path / "synced" / "jars.ics"
    link.symlink_to(Path("synced") / "jars.ics")
    assert write_calendar(desk, link, CHARGED)
    assert link.is_symlink()
    assert target.read_bytes() == link.read_bytes()
