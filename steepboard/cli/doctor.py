"""Tell how all stands that reminders and labels need, and what to do where it is not well."""

from __future__ import annotations

import asyncio
import io
import os
import re
import shutil
import textwrap
from collections.abc import Callable, Iterator
from contextlib import redirect_stderr
from dataclasses import asdict
from datetime import UTC, datetime, tzinfo
from functools import partial
from typing import TYPE_CHECKING

import click

from steepboard.cli.place import LONGEST_INITIALS, Place, zone_of
from steepboard.cli.render import json_option, say, say_json
from steepboard.cli.service import ask_systemd, other_shelf, service_file
from steepboard.daemon.desktop import Missing, server
from steepboard.daemon.lock import holder
from steepboard.daemon.notify import DesktopNotifier
from steepboard.domain.notices import Notice
from steepboard.errors import BadSettings
from steepboard.services import health, outlook
from steepboard.services.health import Health, State
from steepboard.services.outlook import Shelf
from steepboard.settings import load
from steepboard.text import visible

if TYPE_CHECKING:
    from steepboard.daemon.notify import Sent
    from steepboard.settings import Settings

_SIGNS = {State.FINE: " ·", State.MIND: " !", State.BROKEN: "!!"}
_CHECK_COLUMNS = 13  # the longest name
_INDENT = " " * 26
_INSTALL = "Run `steepboard service install`."
_GLUE = "\u00a0"


@click.command()
@json_option
@click.option("--send-test", is_flag=True, help="Send one notification as a test.")
@click.pass_context
def doctor(ctx: click.Context, as_json: bool, send_test: bool) -> None:
    """Tell whether all is well, and what to do.

    It looks at all that reminders and labels need and changes nothing of it. It ends with 1 where
    something is broken.

    Example: steepboard doctor
    """
    place: Place = ctx.obj
    found = []
    for one in _checks(place, place.now, send_test=send_test):
        found.append(one)
        if not as_json:
            _show(one)
    if as_json:
        say_json([asdict(one) for one in found])
    ctx.exit(any(one.state is State.BROKEN for one in found))


def _checks(place: Place, now: datetime, *, send_test: bool) -> Iterator[Health]:
    """Look at one thing after the other; what is wrong with one spares the others."""
    home = place.home
    shelf = Shelf(home, _zone_or_utc(place), _settings_or_defaults(place))
    looks: dict[str, Callable[[], Health]] = {
        "settings": lambda: _settings(place),
        "catalogue": lambda: health.catalogue(home),
        "fonts": lambda: health.fonts(shelf.settings.print.font),
        "database": lambda: health.database(home),
        "integrity": lambda: health.integrity(home),
        "schema": lambda: health.schema(home),
        "disk": lambda: health.disk(home),
        "permissions": lambda: health.permissions(home),
        "zone": lambda: _zone(place),
        "clock": lambda: _clock(shelf.zone, now),
        "lock": lambda: _lock(place),
        "service": lambda: _service(place),
        "notifications": _notifications,
        "next": lambda: outlook.next_wake(shelf, now),
        "last": lambda: outlook.last_deliveries(shelf, now),
        "due": lambda: outlook.due(shelf, now),
    }
    if send_test:
        looks["test"] = partial(_test, now)
    for check, look in looks.items():
        try:
            yield look()
        except Exception as fault:  # whatever it is, the other lines are wanted all the more
            reason, advice = str(fault), "Keep this line for whoever looks after the program."
            if isinstance(fault, OSError):
                reason = fault.strerror or reason
                advice = f"Look whether you may read {home.root}."
            yield Health(check, State.BROKEN, f"This cannot be looked at: {reason}.", advice)


def _settings_or_defaults(place: Place) -> Settings:
    try:
        return place.settings
    except (BadSettings, OSError):
        return load()


def _zone_or_utc(place: Place) -> tzinfo:
    try:
        with redirect_stderr(io.StringIO()):
            return place.zone
    except (BadSettings, OSError):
        return UTC


def _settings(place: Place) -> Health:
    check, file = "settings", place.home.settings
    try:
        initials = place.settings.person.initials
    except BadSettings as fault:
        return Health(check, State.BROKEN, str(fault), f"Mend that in {file.name}, or take it out.")
    if len(initials) > LONGEST_INITIALS:
        told = f"{file}: person.initials has more than {LONGEST_INITIALS} letters."
        return Health(check, State.BROKEN, told, "Shorten them.")
    if not file.exists():
        return Health(check, State.FINE, f"The defaults hold: there is no {file.name}.")
    return Health(check, State.FINE, f"{file} is in order.")


def _zone(place: Place) -> Health:
    check, heard = "zone", io.StringIO()
    own = "Write yours, such as Europe/Lisbon, at clock.zone in settings.toml."
    try:
        with redirect_stderr(heard):  # where a machine tells no zone, that is said there
            zone = zone_of(place.settings)
    except BadSettings as fault:
        if "clock.zone" in str(fault):
            told = "The settings name a zone that does not exist. Times below are in UTC."
            return Health(check, State.BROKEN, told, own)
        told = "Not known: the settings cannot be read. Times below are in UTC."
        return Health(check, State.MIND, told, "See settings.")
    named = visible(os.environ.get("TZ", ""))
    if heard.getvalue():
        why = f"TZ is “{named}”, which names no zone" if named else "This machine tells no zone"
        return Health(check, State.BROKEN, f"{why}: reminders go by UTC.", own)
    teller = "TZ says" if named else "this machine says"
    if place.settings.clock.zone:
        teller = "settings.toml says"
    return Health(check, State.FINE, f"{zone}, as {teller}.")


def _clock(zone: tzinfo, now: datetime) -> Health:
    offset = f"{now.astimezone(zone):%z}"
    told = f"It is {outlook.moment(now, zone)}, UTC{offset[:3]}:{offset[3:5]}."
    return Health("clock", State.FINE, told)


def _lock(place: Place) -> Health:
    service, sender = holder(place.home.service_lock), holder(place.home.lock)
    if sender and service in (None, sender):
        who = "the service or a `watch`" if service else "a board"
        told = f"The reminders are kept by {who}, process {sender}."
        return Health("lock", State.FINE, told)
    if service:
        waits = f" and waits for process {sender}" if sender else ", and is about to begin"
        told = f"Process {service} is to keep the reminders{waits}."
        return Health("lock", State.MIND, told, "Run this again in a few seconds.")
    return Health(
        "lock",
        State.MIND,
        "Nobody keeps the reminders now.",
        "Open the board and leave it open, or run `steepboard service install`.",
    )


def _service(place: Place) -> Health:
    check, file = "service", service_file(place)
    found = file.path.read_bytes() if file.path.exists() else None
    if found is None and holder(place.home.lock):
        return Health(check, State.FINE, "No service is set up, and none is needed now.")
    if found is None:
        told = "No service is set up: reminders come while the board or `steepboard watch` is open."
        return Health(check, State.MIND, told, _INSTALL)
    if not file.made(found):
        told = f"{file.path} was not written by Steepboard."
        return Health(check, State.MIND, told, f"Move it away. {_INSTALL}")
    if other := other_shelf(file, found):
        told = f"The service keeps another shelf, {other}."
        advice = f"Run `steepboard service remove` first where it is to keep this one. {_INSTALL}"
        return Health(check, State.MIND, told, advice)
    if found != file.content:
        told = "The service starts another program or shelf than these, or is of another version."
        return Health(check, State.MIND, told, _INSTALL)
    return _running(ask_systemd("is-active"), ask_systemd("is-enabled"))


def _running(now: str | None, at_login: str | None) -> Health:
    look = "`systemctl --user status steepboard` tells why."
    match now, at_login:
        case None, _:
            told = "The service is set up; whether it runs cannot be asked here."
            return Health("service", State.MIND, told, "See lock for who keeps the reminders now.")
        case "active", "enabled":
            return Health("service", State.FINE, "The service runs, and starts at each login.")
        case "active", _:
            told = "The service runs, but does not start at login."
            return Health("service", State.MIND, told, _INSTALL)
        case "failed", _:
            told = "The service is set up, but failed."
            return Health("service", State.BROKEN, told, f"{look} {_INSTALL}")
        case _:
            told = f"The service is set up, but does not run: systemd says {now}."
            return Health("service", State.MIND, told, f"{_INSTALL} {look}")


def _notifications() -> Health:
    check, found = "notifications", asyncio.run(server())
    if isinstance(found, Missing):
        state = State.BROKEN if found.is_fault else State.MIND
        return Health(check, state, found.told, found.advice)
    if found is None:
        return Health(check, State.FINE, "This system takes notifications.")
    buttons = "actions" in found.abilities
    able = (
        "shows buttons" if buttons else "shows no buttons",
        "reads text styles" if "body-markup" in found.abilities else "shows text as it is",
        "keeps what you miss" if "persistence" in found.abilities else "keeps nothing you miss",
    )
    told = f"{found.name} {found.version} answers: it {able[0]}, {able[1]} and {able[2]}."
    if buttons:
        return Health(check, State.FINE, told)
    advice = "Answer on the board, or with `steepboard stir` and `steepboard later`."
    return Health(check, State.MIND, told, advice)


def _test(now: datetime) -> Health:
    notice = Notice("test", now, "Steepboard: a test", "Reminders look like this. All is well.")
    sent = asyncio.run(_sent(notice))
    if not sent.shown:
        return Health("test", State.BROKEN, f"Not shown. {sent.reason}", "See notifications.")
    told = "The notification service confirmed the test: it is on the screen, or in its list."
    return Health("test", State.FINE, told)


async def _sent(notice: Notice) -> Sent:
    notifier = DesktopNotifier()
    try:
        return await notifier.send(notice, lambda _: None)
    finally:
        await notifier.close()


def _show(one: Health) -> None:
    """Print sign, word, name and sentences, within the width of the terminal."""
    start = f"{_SIGNS[one.state]} {one.state.value:<6}  {one.check:<{_CHECK_COLUMNS}}  "
    for number, text in enumerate(filter(None, (one.told, one.advice))):
        # What is to be typed stays on one line.
        kept = re.sub("`[^`]*`", lambda found: found[0].replace(" ", _GLUE), visible(text))
        lines = textwrap.wrap(
            kept,
            shutil.get_terminal_size().columns,
            initial_indent=_INDENT if number else start,
            subsequent_indent=_INDENT,
            break_long_words=False,
            break_on_hyphens=False,
        )
        for line in lines:
            say(line.replace(_GLUE, " "))
