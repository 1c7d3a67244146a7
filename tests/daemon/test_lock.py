from __future__ import annotations

import os
import subprocess
import sys

import pytest

from steepboard.daemon.lock import reminder_lock
from steepboard.errors import AlreadyRunning

HOLD = """
import sys
from pathlib import Path
from steepboard.daemon.lock import reminder_lock
with reminder_lock(Path(sys.argv[1])):
    print("held", flush=True)
    sys.stdin.read()
"""


@pytest.fixture
def path(tmp_path):
    return tmp_path / "shelf" / "reminders.lock"


@pytest.fixture
def holder(path):
    """Another process that holds the lock."""
    command = [sys.executable, "-c", HOLD, str(path)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as process:
        assert process.stdout.readline() == b"held\n"
        yield process
        process.kill()


def test_a_second_keeper_is_refused_and_told_who_holds_it(path, holder):
    with pytest.raises(AlreadyRunning, match=str(holder.pid)), reminder_lock(path):
        pass


def test_a_killed_keeper_frees_the_lock_at_once(path, holder):
    holder.kill()
    holder.wait()
    with reminder_lock(path):
        assert path.read_text() == f"{os.getpid()}\n"


def test_the_lock_is_free_after_the_block_and_its_file_stays(path):
    with reminder_lock(path):
        pass
    assert path.exists()
    with reminder_lock(path):
        pass


def test_a_refusal_leaves_the_lock_with_its_holder(path):
    with reminder_lock(path):
        for _ in range(2):
            with pytest.raises(AlreadyRunning, match=str(os.getpid())), reminder_lock(path):
                pass


def test_nobody_else_may_read_the_file(path):
    with reminder_lock(path):
        assert path.stat().st_mode & 0o077 == 0
