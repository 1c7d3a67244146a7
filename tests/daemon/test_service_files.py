from __future__ import annotations

import os
import plistlib
import shlex
import subprocess
import sys
from pathlib import Path, PureWindowsPath
from xml.etree import ElementTree as ET

import pytest

from steepboard.daemon import service_files
from steepboard.errors import ServiceRefused
from tests.notification_server import need

AWKWARD = (
    "plain", "with space", "100% proof", "%h", "$HOME", "$$", "a\"b", "it's", "back\\slash",
    "Große Bar", "酒吧", "semi;colon", "#hash", "~", "{brace}", "tail\\",
)  # fmt: skip
SCHEMA = "{http://schemas.microsoft.com/windows/2004/02/mit/task}"


@pytest.fixture(params=AWKWARD)
def folder(request, tmp_path):
    """A folder with a name that a service file has to quote."""
    made = tmp_path / request.param
    made.mkdir()
    return made


def verified(unit, tmp_path):
    """Return what systemd finds wrong with a unit, and whether it takes it."""
    need("systemd-analyze")
    (tmp_path / "run" / "systemd").mkdir(parents=True)
    checked = subprocess.run(
        ["systemd-analyze", "--user", "verify", "--man=no", str(unit)],
        check=False,
        capture_output=True,
        text=True,
        env={**os.environ, "XDG_RUNTIME_DIR": str(tmp_path / "run")},
    )
    return checked.returncode == 0, checked.stderr


def unit_in(tmp_path, command):
    """Write the unit for a command and return its path and its lines."""
    file = service_files.systemd(command, tmp_path / "config")
    file.path.parent.mkdir(parents=True)
    file.path.write_bytes(file.content)
    return file.path, file.content.decode().splitlines()


def started_by(lines):
    """Return the words that systemd starts, by the rules of quoting that its manual gives."""
    (line,) = [line for line in lines if line.startswith("ExecStart=:")]
    words = shlex.split(line.removeprefix("ExecStart=:"))  # quotes and backslashes as in a shell
    return tuple(word.replace("%%", "%") for word in words)


def test_systemd_takes_the_unit_and_finds_the_program_whatever_its_folder_is_called(
    folder, tmp_path
):
    python = sys.executable
    if not set(folder.name) & set("\"'\\"):  # these systemd refuses in a program's path
        python = str(folder / "python")
        (folder / "python").symlink_to(sys.executable)
    command = service_files.watch_command(python, folder / "shelf")
    unit, lines = unit_in(tmp_path, command)
    assert verified(unit, tmp_path) == (True, "")
    assert started_by(lines) == command


@pytest.mark.parametrize("name", ['a"b', "it's", "back\\slash"])
def test_a_program_that_systemd_would_not_start_is_refused_first(tmp_path, name):
    command = service_files.watch_command(str(tmp_path / name / "python"), tmp_path)
    with pytest.raises(ServiceRefused, match="systemd starts nothing with a quote"):
        service_files.systemd(command, tmp_path)


def test_systemd_would_have_said_if_it_had_not_found_the_program(tmp_path):
    command = service_files.watch_command(str(tmp_path / "no" / "python"), tmp_path)
    taken, said = verified(unit_in(tmp_path, command)[0], tmp_path)
    assert not taken
    assert "no/python" in said


def test_the_unit_starts_again_for_as_long_as_it_fails(tmp_path):
    _, lines = unit_in(tmp_path, service_files.watch_command("/usr/bin/python3", tmp_path))
    assert lines[0].startswith("# Written by")
    assert {"Restart=on-failure", "RestartSec=20", "UMask=0077"} < set(lines)
    assert lines.index("StartLimitIntervalSec=0") < lines.index("[Service]")  # no limit
    assert not any(line.startswith("RestartPreventExitStatus") for line in lines)


def test_a_board_that_the_service_opened_outlives_it(tmp_path):
    _, lines = unit_in(tmp_path, service_files.watch_command("/usr/bin/python3", tmp_path))
    assert "KillMode=process" in lines  # by default all that a service started ends with it


def test_the_program_is_not_looked_for_in_the_working_folder(tmp_path):
    (tmp_path / "steepboard").mkdir()
    (tmp_path / "steepboard" / "__main__.py").write_text("print('another program')")
    words = service_files.watch_command(sys.executable, tmp_path / "shelf")
    shown = subprocess.run(
        [*words[:-1], "--help"], check=True, capture_output=True, text=True, cwd=tmp_path
    )
    assert "watch" in shown.stdout


@pytest.mark.parametrize("name", ["two\nlines", "a\x07bell", "right\u202eto left"])
def test_a_folder_with_unseen_characters_is_refused(tmp_path, name):
    with pytest.raises(ServiceRefused, match="unseen characters"):
        service_files.watch_command(sys.executable, tmp_path / name)


def test_the_agent_of_launchd_reads_back_as_it_was_meant(folder):
    command = service_files.watch_command("/opt/bar tools/python", folder)
    file = service_files.launchd(command, Path("/Users/kl"), 501)
    assert plistlib.loads(file.content) == {
        "Label": "local.steepboard.reminders",
        "ProgramArguments": list(command),
        "RunAtLoad": True,
        "KeepAlive": {"SuccessfulExit": False},
        "ThrottleInterval": 20,
        "ProcessType": "Background",
        "Umask": 63,  # 077, as launchd wants it in decimal
    }
    assert file.path == Path("/Users/kl/Library/LaunchAgents/local.steepboard.reminders.plist")
    assert file.starts == (("launchctl", "bootstrap", "gui/501", str(file.path)),)


def names(element):
    return [child.tag.removeprefix(SCHEMA) for child in element]


def test_the_task_of_windows_keeps_to_the_published_schema():
    """Order and names as in the Task Scheduler schema 1.2, from memory."""
    command = service_files.watch_command(r"C:\Bar & Co\python.exe", Path("/shelf"))
    file = service_files.windows(command, Path("/shelf"), "RAILWAY\\kl")
    task = ET.fromstring(file.content)
    assert file.content[:2] in (b"\xff\xfe", b"\xfe\xff")  # as the scheduler's own exports
    assert (task.tag, task.attrib) == (f"{SCHEMA}Task", {"version": "1.2"})
    assert names(task) == ["RegistrationInfo", "Triggers", "Principals", "Settings", "Actions"]
    trigger = task.find(f"{SCHEMA}Triggers/{SCHEMA}LogonTrigger")
    assert names(trigger) == ["Enabled", "UserId"]
    principal = task.find(f"{SCHEMA}Principals/{SCHEMA}Principal")
    assert names(principal) == ["UserId", "LogonType", "RunLevel"]
    settings = task.find(f"{SCHEMA}Settings")
    assert names(settings) == [
        "MultipleInstancesPolicy", "DisallowStartIfOnBatteries", "StopIfGoingOnBatteries",
        "ExecutionTimeLimit", "RestartOnFailure",
    ]  # fmt: skip
    assert names(settings[-1]) == ["Interval", "Count"]
    action = task.find(f"{SCHEMA}Actions/{SCHEMA}Exec")
    assert names(action) == ["Command", "Arguments"]
    assert PureWindowsPath(action[0].text) == PureWindowsPath(r"C:\Bar & Co\pythonw.exe")
    assert trigger[1].text == principal[0].text == "RAILWAY\\kl"


def test_the_task_quotes_what_windows_would_split(folder):
    command = service_files.watch_command(r"C:\python.exe", folder)
    file = service_files.windows(command, folder, "kl")
    arguments = ET.fromstring(file.content).find(f"{SCHEMA}Actions/{SCHEMA}Exec")[1].text
    assert arguments == subprocess.list2cmdline(command[1:])


@pytest.mark.parametrize("system", ["systemd", "launchd"])
def test_which_other_shelf_a_file_keeps_is_read_from_it_whatever_it_is_called(
    folder, tmp_path, system
):
    def kept(home):
        command = service_files.watch_command(sys.executable, home)
        if system == "systemd":
            return service_files.systemd(command, tmp_path)
        return service_files.launchd(command, tmp_path, 501)

    assert kept(folder).other_shelf(kept(folder).content) is None
    assert kept(tmp_path).other_shelf(kept(folder).content) == str(folder)


@pytest.mark.parametrize("system", ["systemd", "launchd", "windows"])
def test_each_file_is_known_as_our_own_and_a_stranger_is_not(tmp_path, system):
    command = service_files.watch_command(sys.executable, tmp_path)
    file = {
        "systemd": lambda: service_files.systemd(command, tmp_path),
        "launchd": lambda: service_files.launchd(command, tmp_path, 501),
        "windows": lambda: service_files.windows(command, tmp_path, "kl"),
    }[system]()
    assert file.made(file.content)
    assert not file.made("[Service]\nExecStart=/bin/true\n".encode(file.encoding))
    assert not file.made(b"\xff\xfe\x00odd")
