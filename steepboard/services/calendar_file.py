"""The calendar file, as RFC 5545 has it: for a phone or a computer to show and to ring."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from steepboard.domain.local_time import local_instant
from steepboard.services.agenda import agenda
from steepboard.services.files import replace_file

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import tzinfo
    from pathlib import Path

    import icalendar

    from steepboard.domain.agenda import Matter
    from steepboard.services.agenda import Event
    from steepboard.services.desk import Desk

_PRODUCT = "-//Steepboard//Steepboard//EN"
# vobject 0.9 knows a zone by its rules from 2000 on; measured here.
_RULES_FROM = date(2000, 1, 1)
# A calendar program may keep the rules and go by them later; assumed.
_YEARS = 10
_READY = "Get ready: lay out filter, bottles and labels."


def calendar_text(desk: Desk, now: datetime) -> bytes:
    """Return the calendar of a shelf; the same bytes as long as nothing in it has changed."""
    import icalendar

    events = agenda(desk, now)
    made = icalendar.Calendar()
    made.add("prodid", _PRODUCT)
    made.add("version", "2.0")
    for zone in _zones(events):
        made.add_component(zone)
    for event in events:
        made.add_component(_component(event, desk.zone))
    text: bytes = made.to_ical()
    return text


def write_calendar(desk: Desk, path: Path, now: datetime) -> bool:
    """Write the calendar of a shelf to `path`, whole or not at all; say whether it had changed.

    A file that says the same already is left alone. Raises `OSError`, which names `path`.
    """
    text = calendar_text(desk, now)
    try:
        if path.exists() and path.read_bytes() == text:
            return False
    except OSError as fault:
        raise OSError(fault.errno, fault.strerror, str(path)) from fault
    replace_file(path, text)
    return True


def _component(event: Event, zone: tzinfo) -> icalendar.Event:
    import icalendar

    matter, made = event.matter, icalendar.Event()
    made.add("uid", event.uid)
    made.add("sequence", event.sequence)
    made.add("dtstamp", event.changed_at.replace(microsecond=0))
    made.add("summary", matter.summary)
    made.add("description", matter.description)
    made.add("status", "CANCELLED" if event.cancelled else "CONFIRMED")
    made.add("transp", "TRANSPARENT")  # a jar makes nobody busy
    if matter.zone:
        _add_rule(made, matter)
    else:
        _add_instants(made, [local_instant(day, matter.wall, zone) for day in matter.days()])
    for before in () if event.cancelled else matter.alarms:
        alarm = icalendar.Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", matter.summary if before >= timedelta(0) else _READY)
        alarm.add("trigger", before)
        made.add_component(alarm)
    return made


def _add_rule(made: icalendar.Event, matter: Matter) -> None:
    """Add wall-clock times, which the zone's own rules turn into instants.

    Of a time that the clocks skip RFC 5545, 3.3.5, says what the schedule says; programs differ.
    """
    zone = ZoneInfo(matter.zone)
    made.add("dtstart", datetime.combine(matter.first, matter.wall, zone))
    if matter.last is None:
        return
    until = local_instant(matter.last, matter.wall, zone)
    made.add("rrule", {"freq": "daily", "interval": matter.every, "until": until})
    if matter.left_out:
        left_out = [datetime.combine(day, matter.wall, zone) for day in matter.left_out]
        made.add("exdate", left_out)
    if matter.added:
        made.add("rdate", [datetime.combine(day, matter.wall, zone) for day in matter.added])


def _add_instants(made: icalendar.Event, instants: Sequence[datetime]) -> None:
    """Add each instant by itself, since without a name of the zone no rule holds all year."""
    made.add("dtstart", instants[0])
    if instants[1:]:
        made.add("rdate", list(instants[1:]))


def _zones(events: Sequence[Event]) -> list[icalendar.Timezone]:
    """Return the rules of each zone that is named, for as long as the events go on and longer."""
    import icalendar

    names = {event.matter.zone for event in events} - {"", "UTC"}  # which need no rules
    years = [(event.matter.last or event.matter.first).year for event in events]
    until = date(max(years, default=0) + _YEARS, 1, 1)
    return [
        _mended(icalendar.Timezone.from_tzinfo(ZoneInfo(name), name, _RULES_FROM, until))
        for name in sorted(names)
    ]


def _mended(zone: icalendar.Timezone) -> icalendar.Timezone:
    """Return the rules with each change in a line of its own, at the time shown before it.

    RFC 5545 wants that time in 3.6.5; icalendar 7.3 gives the one after it where time is skipped.
    Of several changes in a line vobject 0.9 reads the first only. Both were measured here.
    """
    for part in zone.subcomponents:
        skipped = max(part.TZOFFSETTO - part.TZOFFSETFROM, timedelta(0))
        changes = [part.DTSTART, *(change for change, *_ in part.rdates)]
        part.pop("RDATE", None)
        part.DTSTART, *others = [change - skipped for change in changes]
        for change in others:
            part.add("rdate", change)
    return zone
