"""The reminders as a service of one's login."""

from __future__ import annotations

import os
import shlex
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from steepboard.cli.place import Place
from steepboard.cli.render import json_option, say, say_json
from steepboard.daemon import service_files
from steepboard.daemon.lock import holder
from steepboard.errors import ServiceRefused
from steepboard.text import visible

if TYPE_CHECKING:
    from steepboard.daemon.service_files import ServiceFile

_LONGEST_S = 20.0  # assumed: systemd answers at once, or tries in vain to reach its bus


@click.group(no_args_is_help=False)
def service() -> None:
    """Have the reminders kept from login to logout.

    Example: steepboard service install
    """


@service.command()
@click.pass_obj
def install(place: Place) -> None:
    """Write the service file for this shelf and start the reminders.

    Example: steepboard service install
    """
    file = service_file(place)
    _refuse_others(file)
    if file.path.exists() and (other := other_shelf(file, file.path.read_bytes())):
        raise ServiceRefused(
            f"The service keeps another shelf, {visible(other)}, and can keep one only. To have it "
            "keep this one, run `steepboard service remove` first."
        )
    place.home.make()
    file.path.parent.mkdir(parents=True, exist_ok=True)
    file.path.write_bytes(file.content)
    say(f"Written: {file.path}.")
    say(_told(file.starts) or "Started, now and at each login.")


@service.command()
@json_option
@click.pass_obj
def status(place: Place, as_json: bool) -> None:
    """Tell how the service stands, and who keeps the reminders now.

    Example: steepboard service status
    """
    file = service_file(place)
    found = file.path.read_bytes() if file.path.exists() else None
    standing = {
        "file": str(file.path),
        "is_there": found is not None,
        "is_ours": found is not None and file.made(found),
        "is_up_to_date": found == file.content,
        # Of a unit that is not there, systemd 252 says nothing; newer ones say so in their way.
        "at_login": ask_systemd("is-enabled") if found is not None else "disabled",
        "now": ask_systemd("is-active"),
        "kept_by": holder(place.home.lock),
    }
    if as_json:
        say_json(standing)
        return
    say(f"{file.path} {_how_it_is(file, found)}")
    unknown = "cannot be asked here"
    say(f"At login: {standing['at_login'] or unknown}. Now: {standing['now'] or unknown}.")
    kept_by = standing["kept_by"]
    say(f"The reminders are kept by {f'process {kept_by}' if kept_by else 'nobody'} now.")


@service.command()
@click.pass_obj
def remove(place: Place) -> None:
    """Stop the service and take its file away; shelf and record stay.

    Example: steepboard service remove
    """
    file = service_file(place)
    if not file.path.exists():
        say(f"There is nothing to remove: no {file.path}.")
        return
    _refuse_others(file)
    say(_told(file.ends) or "Stopped, and not started at login any more.")
    file.path.unlink()
    _told(file.forgets)
    say(f"Deleted: {file.path}.")


def service_file(place: Place) -> ServiceFile:
    """Return the file as this system wants it, for this program and this shelf."""
    command = service_files.watch_command(sys.executable, place.home.root)
    if sys.platform == "darwin":
        return service_files.launchd(command, Path.home(), os.getuid())
    if sys.platform == "win32":
        user = f"{os.environ.get('USERDOMAIN', '.')}\\{os.environ.get('USERNAME', '')}"
        return service_files.windows(command, place.home.root, user)
    named = Path(os.environ.get("XDG_CONFIG_HOME", ""))
    config = named if named.is_absolute() else Path.home() / ".config"
    return service_files.systemd(command, config)


def _refuse_others(file: ServiceFile) -> None:
    if file.path.exists() and not file.made(file.path.read_bytes()):
        raise ServiceRefused(
            f"{file.path} was not written by Steepboard. It is left alone: move it away first."
        )


def other_shelf(file: ServiceFile, found: bytes) -> str | None:
    """Return the other shelf that a file of ours keeps, as long as that shelf is there."""
    other = file.other_shelf(found) if file.made(found) else None
    return other if other and Path(other).exists() else None


def _how_it_is(file: ServiceFile, found: bytes | None) -> str:
    if found is None:
        return "is not there. `steepboard service install` writes it."
    if not file.made(found):
        return "was not written by Steepboard."
    if other := other_shelf(file, found):
        return (
            f"keeps another shelf, {other}. `steepboard service remove` and then "
            "`steepboard service install` let it keep this one."
        )
    if found != file.content:
        return (
            "starts another program or shelf than these, or is of another version. "
            "`steepboard service install` writes it anew."
        )
    return "starts this program with this shelf."


def _told(commands: Sequence[tuple[str, ...]]) -> str:
    """Tell the system, and return in one plain line what a person has to do for it; or nothing."""
    for done, command in enumerate(commands):
        answer = _run(command)
        if answer is None or answer.returncode:
            join = subprocess.list2cmdline if sys.platform == "win32" else shlex.join
            left = " && ".join(map(join, commands[done:]))
            return f"{_reason(answer)}Left for you to run where you are logged in: {left}"
    return ""


def _reason(answer: subprocess.CompletedProcess[str] | None) -> str:
    if answer is None:
        return ""
    if "connect to bus" in answer.stderr:
        return "systemd does not answer here. "
    return f"systemd says: {answer.stderr.strip()} "


def ask_systemd(question: str) -> str | None:
    """Return what systemd says to a question about the service; None where it says nothing."""
    done = _run(("systemctl", "--user", question, service_files.UNIT))
    return done.stdout.strip() or None if done else None


def _run(command: tuple[str, ...]) -> subprocess.CompletedProcess[str] | None:
    """Run a command of systemd; None where there is none. Other systems' were never tried."""
    if sys.platform in ("darwin", "win32"):
        return None
    try:
        return subprocess.run(  # noqa: S603 - our own words
            command, check=False, capture_output=True, text=True, timeout=_LONGEST_S
        )
    except (FileNotFoundError, subprocess.TimeoutExpired):
        return None
