"""What each system wants to be told so that `watch` runs from login to logout.

Pure texts. That for systemd is checked by `systemd-analyze`; those for launchd and the Windows
task scheduler were checked for form and never run. Their keys are from the systems' own manuals,
from memory.
"""

from __future__ import annotations

import plistlib
import re
import subprocess
from dataclasses import dataclass
from html import unescape
from pathlib import Path, PureWindowsPath
from xml.etree.ElementTree import Element, indent, tostring

from steepboard.errors import ServiceRefused
from steepboard.text import visible

MARK = "Written by `steepboard service install`; `steepboard service remove` takes it away."
UNIT = "steepboard.service"
LABEL = "local.steepboard.reminders"
TASK = "Steepboard reminders"
_RESTART_S = 20  # assumed: soon enough for a reminder, seldom enough for a fault that stays
_TASK_SCHEMA = "http://schemas.microsoft.com/windows/2004/02/mit/task"
_UNIT_HOME = re.compile(r'"--home" "((?:[^"\\]|\\.)*)"')
_AGENT_HOME = re.compile(r"<string>--home</string>\s*<string>(.*?)</string>")
_ESCAPES = str.maketrans({"\\": "\\\\", '"': '\\"', "%": "%%"})


@dataclass(frozen=True, slots=True)
class ServiceFile:
    """A file that a system reads, and the commands that tell it so."""

    path: Path
    content: bytes
    encoding: str
    starts: tuple[tuple[str, ...], ...]
    """To be run once the file is there: now and at each login."""
    ends: tuple[tuple[str, ...], ...]
    """To be run before the file goes."""
    forgets: tuple[tuple[str, ...], ...] = ()
    """To be run after the file went."""

    def made(self, content: bytes) -> bool:
        """Say whether a file with this content was written by this program."""
        return MARK in content.decode(self.encoding, "replace")

    def other_shelf(self, content: bytes) -> str | None:
        """Return the shelf that a file in this place keeps, where that is another one."""
        kept, ours = (_shelf(text.decode(self.encoding)) for text in (content, self.content))
        return kept if kept != ours else None


def _shelf(text: str) -> str | None:
    """Return the shelf that a unit or an agent names; a task lies in the folder of its own."""
    if found := _UNIT_HOME.search(text):
        return re.sub(r"\\(.)", r"\1", found[1]).replace("%%", "%")
    found = _AGENT_HOME.search(text)
    return unescape(found[1]) if found else None


def watch_command(python: str, home: Path) -> tuple[str, ...]:
    """Return the command that keeps the reminders of a shelf, for any working folder.

    Raises ServiceRefused for paths with characters that such a file cannot hold.
    """
    words = (python, "-P", "-m", "steepboard", "--home", str(home), "watch")
    for word in words:
        if visible(word) != word:
            raise ServiceRefused(f"{visible(word)} has unseen characters in its name: rename it.")
    return words


def systemd(command: tuple[str, ...], config: Path) -> ServiceFile:
    """Return the unit for the user's own systemd, version 244 or newer.

    It is started again for as long as it fails, and so when a `watch` in a terminal kept the shelf
    and ended. Raises ServiceRefused for a program that systemd starts from no unit, whatever the
    quoting.
    """
    if set(command[0]) & set("\"'\\"):
        raise ServiceRefused(
            f"systemd starts nothing with a quote or \\ in its path: {command[0]}."
        )
    # With `:` a `$` stands for itself.
    start = " ".join(f'"{word.translate(_ESCAPES)}"' for word in command)
    ask = ("systemctl", "--user")
    return ServiceFile(
        config / "systemd" / "user" / UNIT,
        _unit(start).encode(),
        "utf-8",
        # First what also works where nobody is logged in.
        starts=((*ask, "enable", UNIT), (*ask, "daemon-reload"), (*ask, "restart", UNIT)),
        ends=((*ask, "disable", UNIT), (*ask, "stop", UNIT)),
        forgets=((*ask, "daemon-reload"),),
    )


def _unit(start: str) -> str:
    return f"""\
# {MARK}
[Unit]
Description=Steepboard reminders
StartLimitIntervalSec=0

[Service]
Type=exec
ExecStart=:{start}
Restart=on-failure
RestartSec={_RESTART_S}
UMask=0077
# A board that was opened from a notification stays when the reminders are started anew.
KillMode=process

[Install]
WantedBy=default.target
"""


def launchd(command: tuple[str, ...], user_home: Path, user_id: int) -> ServiceFile:
    """Return the agent for the user's own launchd; one refused with 3 is started again there."""
    agent = {
        "Label": LABEL,
        "ProgramArguments": list(command),
        "RunAtLoad": True,
        "KeepAlive": {"SuccessfulExit": False},
        "ThrottleInterval": _RESTART_S,
        "ProcessType": "Background",
        "Umask": 0o077,
    }
    text = plistlib.dumps(agent, sort_keys=False).decode()
    path = user_home / "Library" / "LaunchAgents" / f"{LABEL}.plist"
    session = f"gui/{user_id}"
    return ServiceFile(
        path,
        text.replace("<plist", f"<!-- {MARK} -->\n<plist", 1).encode(),
        "utf-8",
        starts=(("launchctl", "bootstrap", session, str(path)),),
        ends=(("launchctl", "bootout", f"{session}/{LABEL}"),),
    )


def windows(command: tuple[str, ...], shelf: Path, user: str) -> ServiceFile:
    """Return the task for the Windows task scheduler; `user` has its domain in front."""
    python, *arguments = command
    task = _element(
        "Task",
        _element("RegistrationInfo", _element("Description", MARK)),
        _element("Triggers", _element("LogonTrigger", Enabled="true", UserId=user)),
        _element("Principals", _principal(user)),
        _element(
            "Settings",
            _element("RestartOnFailure", Interval="PT1M", Count="999"),  # minutes; assumed
            MultipleInstancesPolicy="IgnoreNew",
            DisallowStartIfOnBatteries="false",
            StopIfGoingOnBatteries="false",
            ExecutionTimeLimit="PT0S",  # none
        ),
        _element(
            "Actions",
            _element(
                "Exec",
                Command=str(PureWindowsPath(python).with_name("pythonw.exe")),  # without a window
                Arguments=subprocess.list2cmdline(arguments),
            ),
        ),
    )
    task.attrib = {"version": "1.2", "xmlns": _TASK_SCHEMA}
    indent(task)
    path = shelf / "steepboard-task.xml"
    return ServiceFile(
        path,
        tostring(task, "utf-16", xml_declaration=True),
        "utf-16",
        starts=(
            ("schtasks", "/Create", "/TN", TASK, "/XML", str(path), "/F"),
            ("schtasks", "/Run", "/TN", TASK),
        ),
        ends=(("schtasks", "/End", "/TN", TASK), ("schtasks", "/Delete", "/TN", TASK, "/F")),
    )


def _principal(user: str) -> Element:
    return _element(
        "Principal", UserId=user, LogonType="InteractiveToken", RunLevel="LeastPrivilege"
    )


def _element(tag: str, *children: Element | str, **texts: str) -> Element:
    """Return an element that holds, in this order, short texts under their names, then children."""
    made = Element(tag)
    made.extend(_element(name, text) for name, text in texts.items())
    for child in children:
        if isinstance(child, str):
            made.text = child
        else:
            made.append(child)
    return made
