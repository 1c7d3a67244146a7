"""The same path against a notification service that people use, on a screen nobody sees."""

from __future__ import annotations

import asyncio
import json
import os
import subprocess
from dataclasses import replace

import pytest

from steepboard.daemon.notify import DesktopNotifier
from tests.daemon.desks import NOTICE
from tests.notification_server import need, session_bus

# The menu of a notification goes through this script, which picks our button.
PICK = "#!/bin/sh\ngrep -m1 Stirred\n"


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
    pick, config = tmp_path / "pick", tmp_path / "dunstrc"
    pick.write_text(PICK)
    pick.chmod(0o700)
    config.write_text(f"[global]\nmarkup = full\ndmenu = {pick}\n")
    with session_bus(tmp_path) as address:
        monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", address)
        with subprocess.Popen(["dunst", "-conf", config], stderr=subprocess.DEVNULL) as process:
            yield
            process.kill()


async def dunstctl(*words):
    process = await asyncio.create_subprocess_exec(
        "dunstctl", *words, stdout=asyncio.subprocess.PIPE
    )
    return (await process.communicate())[0].decode()


async def until(ready):
    """Ask until the other program is ready; it gives no sign by itself."""
    async with asyncio.timeout(20):
        while not await ready():
            await asyncio.sleep(0.05)


@pytest.mark.usefixtures("dunst")
def test_the_text_arrives_and_the_button_answers():
    async def go():
        notifier, answers = DesktopNotifier(), asyncio.Queue()

        async def up():
            return (await notifier.check()).shown

        async def displayed():
            return (await dunstctl("count", "displayed")).strip() == "1"

        await until(up)
        assert (await notifier.send(NOTICE, answers.put_nowait)).shown
        await until(displayed)
        await dunstctl("context")  # opens the menu
        assert await asyncio.wait_for(answers.get(), 20) == "stirred"

        await dunstctl("close")  # what was closed is kept with its text

        await notifier.send(replace(NOTICE, body="Rose <b> & thyme", buttons=()), print)
        await until(displayed)
        await dunstctl("close")
        kept = json.loads(await dunstctl("history"))["data"][0]
        bodies = [notification["body"]["data"] for notification in kept]
        assert bodies == ["Rose &lt;b&gt; &amp; thyme", "Rose, night bar"]
        assert kept[0]["summary"]["data"] == "Stir ROSE-01"
        await notifier.close()

    asyncio.run(go())
