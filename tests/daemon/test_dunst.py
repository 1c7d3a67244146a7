"""The same path against a notification service that people use, on a screen nobody sees."""

from __future__ import annotations

import asyncio
import json
import os
import subprocess
from contextlib import asynccontextmanager
from dataclasses import replace

import pytest

from steepboard.daemon.notify import DesktopNotifier
from steepboard.domain.notices import LATER, OPEN, STIRRED
from tests.cli.test_watch_again import lived, make_a_tasting_due
from tests.cli.test_watching import charge_a_jar_to_be_stirred
from tests.cli.watching import logged, until
from tests.daemon.desks import NOTICE, STRAIN
from tests.notification_server import need, session_bus

WITHIN_S = 20
NOTICE_OF_ALL = replace(NOTICE, buttons=(STIRRED, LATER, OPEN))


@pytest.fixture
def screen(monkeypatch):
    need("Xvfb", "dunst", "dunstctl")
    read, write = os.pipe()
    command = ["Xvfb", "-displayfd", str(write), "-screen", "0", "800x600x24"]
    with subprocess.Popen(command, pass_fds=[write], stderr=subprocess.DEVNULL) as process:
        os.close(write)
        with os.fdopen(read) as number:
            monkeypatch.setenv("DISPLAY", f":{number.readline().strip()}")
        yield
        process.kill()


@pytest.fixture
def dunst(screen, tmp_path, monkeypatch):
    """The service; yields the file that says which button is picked from its menu."""
    wanted, pick, config = tmp_path / "wanted", tmp_path / "pick", tmp_path / "dunstrc"
    pick.write_text(f"#!/bin/sh\ngrep -m1 -f '{wanted}'\n")
    pick.chmod(0o700)
    formats = (f'[urgency_{one}]\nformat = "{one} %s"\n' for one in ("normal", "critical"))
    config.write_text(f"[global]\nmarkup = full\ndmenu = {pick}\n{''.join(formats)}")
    with session_bus(tmp_path) as address:
        monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", address)
        with subprocess.Popen(["dunst", "-conf", config], stderr=subprocess.DEVNULL) as process:
            yield wanted
            process.kill()


async def dunstctl(*words):
    process = await asyncio.create_subprocess_exec(
        "dunstctl", *words, stdout=asyncio.subprocess.PIPE
    )
    return (await process.communicate())[0].decode()


@asynccontextmanager
async def ready():
    """Give a notifier once the service answers; it gives no sign by itself."""
    notifier = DesktopNotifier()
    async with asyncio.timeout(WITHIN_S):
        while not (await notifier.check()).shown:
            await asyncio.sleep(0.05)
    yield notifier
    await notifier.close()


async def displayed(count):
    """Wait until so many are on the screen, and none waits to be."""
    async with asyncio.timeout(WITHIN_S):
        while await counts() != (count, 0):
            await asyncio.sleep(0.05)


async def counts():
    return tuple([int(await dunstctl("count", which)) for which in ("displayed", "waiting")])


async def kept():
    """Return urgency with title, and body, of what was closed, the last one first."""
    history = json.loads(await dunstctl("history"))["data"][0]
    return [tuple(one[part]["data"] for part in ("message", "body")) for one in history]


@pytest.mark.usefixtures("dunst")
def test_words_and_urgency_arrive():
    async def go():
        async with ready() as notifier:
            assert (await notifier.send(NOTICE, print)).shown
            loud = replace(STRAIN, body="Rose <b> & thyme", loud=True)
            assert (await notifier.send(loud, print)).shown
            await displayed(2)
            await dunstctl("close-all")  # what was closed is kept with its text
            assert sorted(await kept()) == [
                ("critical Strain SAGE-01 today", "Rose &lt;b&gt; &amp; thyme"),
                ("normal Stir ROSE-01", "Rose, night bar"),
            ]

    asyncio.run(go())


@pytest.mark.parametrize("button", NOTICE_OF_ALL.buttons, ids=lambda button: button.identifier)
def test_each_button_answers(dunst, button):
    dunst.write_text(button.label)

    async def go():
        async with ready() as notifier:
            answers = asyncio.Queue()
            await notifier.send(NOTICE_OF_ALL, answers.put_nowait)
            await displayed(1)
            await dunstctl("context")  # opens the menu
            assert await asyncio.wait_for(answers.get(), WITHIN_S) == button.identifier
            await displayed(0)

    asyncio.run(go())


@pytest.mark.usefixtures("dunst")
def test_a_click_on_the_words_answers_open():
    async def go():
        async with ready() as notifier:
            answers = asyncio.Queue()
            await notifier.send(NOTICE_OF_ALL, answers.put_nowait)
            await displayed(1)
            await dunstctl("action", "0")
            assert await asyncio.wait_for(answers.get(), WITHIN_S) == "open"

    asyncio.run(go())


@pytest.mark.usefixtures("dunst")
def test_a_slot_holds_one_notice_until_it_is_withdrawn():
    async def go():
        async with ready() as notifier:
            for body in ("Rose", "Rose, Sage", "Rose, Sage, Thyme"):
                assert (await notifier.send(replace(NOTICE, body=body), print)).shown
                await displayed(1)
            await notifier.send(STRAIN, print)
            await displayed(2)
            await notifier.withdraw("stir")
            await displayed(1)
            assert (await kept())[0][1] == "Rose, Sage, Thyme"
            await notifier.withdraw("strain")
            await displayed(0)

    asyncio.run(go())


@asynccontextmanager
async def left_on_the_screen(*notices):
    """Show notices as a process does that is no more, and give the token of each."""
    async with ready() as former:
        tokens = [(await former.send(notice, print)).token for notice in notices]
        await displayed(len(notices))
    yield tokens


def test_what_another_process_showed_is_answered_replaced_and_withdrawn(dunst):
    dunst.write_text(STIRRED.label)
    taste = replace(STRAIN, slot="taste", title="Taste SAGE-02")
    notices = (NOTICE_OF_ALL, STRAIN, taste)

    async def go():
        notifier, answers = DesktopNotifier(), asyncio.Queue()
        async with left_on_the_screen(*notices) as tokens:
            for notice, token in zip(notices, tokens, strict=True):
                notifier.adopt(notice, token, answers.put_nowait)
            assert (await notifier.check()).shown
            await displayed(3)  # each once
            await notifier.send(replace(STRAIN, body="Sage, Thyme"), print)
            await displayed(3)
            await notifier.withdraw("strain")
            await notifier.withdraw("taste")
            await displayed(1)
            await dunstctl("context")
            assert await asyncio.wait_for(answers.get(), WITHIN_S) == "stirred"
            await displayed(0)
            await notifier.close()

    asyncio.run(go())


@pytest.mark.usefixtures("dunst")
def test_what_was_closed_while_no_process_ran_is_not_shown_again():
    async def go():
        notifier = DesktopNotifier()
        async with left_on_the_screen(NOTICE, STRAIN) as tokens:
            await dunstctl("close")  # the one on top
            await displayed(1)
            for notice, token in zip((NOTICE, STRAIN), tokens, strict=True):
                notifier.adopt(notice, token, print)
            assert (await notifier.check()).shown
            await displayed(1)
            assert len(notifier.standing()) == 1
            await notifier.close()

    asyncio.run(go())


def test_a_press_after_a_kill_and_a_restart_is_written_down(dunst, tmp_path):
    dunst.write_text(STIRRED.label)
    charge_a_jar_to_be_stirred(tmp_path)

    async def go():
        async with ready():
            async with lived(tmp_path):
                await until(lambda: logged(tmp_path, "Sent: Stir CARA-01"))
            make_a_tasting_due(tmp_path)
            async with lived(tmp_path):
                await until(lambda: logged(tmp_path, "Sent: Taste CARA-01"))
                await displayed(2)
                await dunstctl("context")
                await until(lambda: logged(tmp_path, "Stirred, by the notification: CARA-01."))
                await displayed(1)

    asyncio.run(go())
