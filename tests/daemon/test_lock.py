from __future__ import annotations

import asyncio
import fcntl
import os
import subprocess
import sys
from contextlib import contextmanager

import pytest

from steepboard.daemon.lock import held_lock, holder, lock_when_free
from steepboard.errors import AlreadyRunning

HOLD = """
import sys
from pathlib import Path
from steepboard.daemon.lock import held_lock
with held_lock(Path(sys.argv[1])):
    print("held", flush=True)
    sys.stdin.read()
"""


@pytest.fixture
def path(tmp_path):
    return tmp_path / "shelf" / "reminders.lock"


@pytest.fixture
def other(path):
    """Another process that holds the lock."""
    command = [sys.executable, "-c", HOLD, str(path)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as process:
        assert process.stdout.readline() == b"held\n"
        yield process
        process.kill()


@contextmanager
def asking(path):
    """Do what one does who looks whether the lock is free, but for as long as the block runs."""
    with path.open("rb") as file:
        fcntl.flock(file, fcntl.LOCK_SH | fcntl.LOCK_NB)
        yield


def test_a_second_keeper_is_refused_and_told_who_holds_it(path, other):
    with pytest.raises(AlreadyRunning, match=str(other.pid)), held_lock(path):
        pass


def test_a_killed_keeper_frees_the_lock_at_once(path, other):
    other.kill()
    other.wait()
    assert holder(path) is None
    with held_lock(path):
        assert path.read_text() == f"{os.getpid()}\n"


def test_the_lock_is_free_after_the_block_and_its_file_stays(path):
    with held_lock(path):
        pass
    assert path.exists()
    with held_lock(path):
        pass


def test_a_refusal_leaves_the_lock_with_its_holder(path):
    with held_lock(path):
        for _ in range(2):
            with pytest.raises(AlreadyRunning, match=str(os.getpid())), held_lock(path):
                pass


def test_nobody_else_may_read_the_file(path):
    with held_lock(path):
        assert path.stat().st_mode & 0o077 == 0


def test_who_asks_is_told_the_holder_and_changes_nothing(path, other):
    assert holder(path) == str(other.pid)
    with pytest.raises(AlreadyRunning), held_lock(path):
        pass


def test_a_lock_that_nobody_ever_held_is_free_and_asking_makes_no_file(path):
    assert holder(path) is None
    assert not path.exists()


def test_two_who_ask_do_not_take_one_another_for_a_holder(path):
    with held_lock(path):
        pass
    with asking(path):
        assert holder(path) is None


def test_whoever_starts_while_another_asks_gets_the_lock_all_the_same(path):
    with held_lock(path):
        pass

    async def start(held):
        async with lock_when_free(path, patience_s=10):
            held.set()

    async def go():
        held = asyncio.Event()
        with asking(path):
            starting = asyncio.create_task(start(held))
            await asyncio.sleep(0)  # it has tried, and not got it
            assert not starting.done()
            assert not held.is_set()
        await asyncio.wait_for(starting, 10)
        assert held.is_set()

    asyncio.run(go())


def test_patience_ends_with_the_name_of_the_holder(path, other):
    async def go():
        async with lock_when_free(path, patience_s=0.0):
            pass

    with pytest.raises(AlreadyRunning, match=str(other.pid)):
        asyncio.run(go())


def test_waiting_ends_when_the_holder_dies(path, other):
    async def go():
        async with asyncio.timeout(10), lock_when_free(path):
            assert holder(path) == str(os.getpid())

    async def kill_and_wait():
        waiting = asyncio.create_task(go())
        await asyncio.sleep(0)
        other.kill()
        await waiting

    asyncio.run(kill_and_wait())
