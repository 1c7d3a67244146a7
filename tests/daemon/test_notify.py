from __future__ import annotations

import asyncio
import gc
import os
import socket
from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest
from desktop_notifier.backends.dummy import DummyNotificationCenter

from steepboard.daemon.notify import DesktopNotifier
from steepboard.domain.notices import STIRRED
from tests.daemon.desks import NOTICE, STRAIN, real_desk, tell
from tests.notification_server import NotificationService, session_bus


def open_files():
    return sum(1 for _ in Path("/proc/self/fd").iterdir())


@pytest.mark.usefixtures("bus")
class TestDesktopNotifier:
    def test_the_buttons_carry_our_identifiers(self):
        async def go():
            async with real_desk() as desk:
                await desk.notifier.send(NOTICE, print)
                labels = desk.service.shown[0]["buttons"]
                assert labels == {"default": "", "stirred": "Stirred", "open": "Open"}
                assert desk.service.shown[0]["app"] == "Steepboard"

        asyncio.run(go())

    def test_a_click_on_a_notice_that_offers_nothing_to_open_answers_nothing(self):
        async def go():
            async with real_desk() as desk:
                answers = asyncio.Queue()
                await desk.notifier.send(replace(NOTICE, buttons=(STIRRED,)), answers.put_nowait)
                await desk.notifier.send(STRAIN, answers.put_nowait)
                desk.click(0)
                desk.click(1)
                assert await asyncio.wait_for(answers.get(), 5) == "open"
                assert answers.empty()

        asyncio.run(go())

    def test_what_the_person_closed_is_not_closed_again(self):
        async def go():
            async with real_desk() as desk:
                await desk.notifier.send(NOTICE, print)
                desk.service.dismiss(0)
                await desk.notifier.check()  # by then the signal has arrived
                assert desk.notifier.standing() == frozenset()
                await desk.notifier.withdraw("stir")
                assert desk.service.closed == []

        asyncio.run(go())

    def test_what_was_pressed_is_put_away_even_where_the_service_leaves_it(self):
        async def go():
            async with real_desk() as desk:
                answers = asyncio.Queue()
                await desk.notifier.send(STRAIN, print)
                await desk.notifier.send(NOTICE, answers.put_nowait)
                desk.service.ActionInvoked(2, "stirred")
                assert await asyncio.wait_for(answers.get(), 5) == "stirred"
                await desk.notifier.check()
                assert desk.service.closed == [2]

        asyncio.run(go())

    def test_numbers_of_a_service_that_went_mean_nothing_to_the_next_one(self):
        async def go():
            async with real_desk() as desk:
                answers = asyncio.Queue()
                await desk.notifier.send(NOTICE, answers.put_nowait)
                await desk.lose_service()
                await desk.regain_service()  # it counts from 1 again
                stranger = DesktopNotifier("Station clock")
                await stranger.send(STRAIN, partial(tell, answers, "clock"))
                await desk.notifier.withdraw("stir")
                await desk.notifier.check()  # by then all that was sent has arrived
                assert desk.service.closed == []
                desk.click(0)
                assert await asyncio.wait_for(answers.get(), 5) == ("clock", "open")
                await desk.notifier.check()
                assert answers.empty()
                await stranger.close()

        asyncio.run(go())

    @pytest.mark.parametrize(
        ("capabilities", "body"),
        [
            (("body", "body-markup"), "Rose &lt;b&gt; &amp; thyme"),
            (("body",), "Rose <b> & thyme"),
        ],
    )
    def test_markup_in_a_name_is_escaped_only_for_a_service_that_reads_markup(
        self, capabilities, body
    ):
        async def go():
            notifier = DesktopNotifier()
            async with NotificationService(*capabilities) as service:
                await notifier.send(replace(NOTICE, body="Rose <b> & thyme"), print)
                assert service.shown[0]["body"] == body
                await notifier.close()

        asyncio.run(go())

    def test_characters_that_the_bus_refuses_are_left_out(self):
        async def go():
            async with real_desk() as desk:
                notice = replace(NOTICE, title="Stir\x00 ROSE-01\ud800", body="Ro\x1b[1mse")
                assert (await desk.notifier.send(notice, print)).shown
                assert desk.texts() == [("Stir ROSE-01", "Ro[1mse")]

        asyncio.run(go())

    def test_a_very_long_body_is_cut(self):
        async def go():
            async with real_desk() as desk:
                await desk.notifier.send(replace(NOTICE, body="rose " * 1000), print)
                assert len(desk.texts()[0][1]) <= 300

        asyncio.run(go())

    def test_a_service_that_hangs_is_given_up_and_tried_afresh(self):
        async def go():
            notifier = DesktopNotifier(limit_s=0.2)
            async with NotificationService() as service:
                service.hangs = True
                sent = await notifier.send(NOTICE, print)
                assert not sent.shown
                assert "did not answer" in sent.reason
                service.hangs = False
                assert (await notifier.send(NOTICE, print)).shown
                await notifier.close()

        asyncio.run(go())

    def test_what_stood_before_a_service_hung_is_answered_and_withdrawn_after_it(self):
        async def go():
            notifier, answers = DesktopNotifier(limit_s=0.2), asyncio.Queue()
            async with NotificationService() as service:
                await notifier.send(NOTICE, answers.put_nowait)
                await notifier.send(STRAIN, print)
                service.hangs = True
                assert not (await notifier.check()).shown
                await notifier.withdraw("strain")
                assert notifier.standing() == {"stir", "strain"}
                service.hangs = False
                assert (await notifier.check()).shown
                service.press(0, "stirred")
                assert await asyncio.wait_for(answers.get(), 5) == "stirred"
                await notifier.withdraw("strain")
                assert service.on_screen() == []
                assert len(service.shown) == 2
                await notifier.close()

        asyncio.run(go())

    def test_a_former_notice_that_cannot_be_closed_takes_nothing_from_the_new_one(self):
        async def go():
            notifier, answers = DesktopNotifier(limit_s=0.2), asyncio.Queue()
            async with NotificationService() as service:
                await notifier.send(NOTICE, partial(tell, answers, "old"))
                service.keeps = True
                assert (await notifier.send(NOTICE, partial(tell, answers, "new"))).shown
                assert len(service.on_screen()) == 2
                for index, age in enumerate(("old", "new")):
                    service.press(index, "stirred")
                    assert await asyncio.wait_for(answers.get(), 5) == (age, "stirred")
                await notifier.close()

        asyncio.run(go())

    def test_calls_at_once_share_one_connection(self):
        async def go():
            notifier = DesktopNotifier()
            async with NotificationService():
                await notifier.check()
                await notifier.close()
                before = open_files()
                for _ in range(5):
                    both = await asyncio.gather(
                        notifier.send(NOTICE, print), notifier.send(STRAIN, print)
                    )
                    assert [sent.shown for sent in both] == [True, True]
                    await notifier.close()
                assert open_files() <= before

        if not Path("/proc/self/fd").is_dir():
            pytest.skip("no list of open files on this system")
        asyncio.run(go())

    def test_a_notice_that_the_service_refuses_does_not_count_as_shown(self):
        async def go():
            async with real_desk() as desk:
                desk.service.refuses = True
                assert (await desk.notifier.check()).shown
                sent = await desk.notifier.send(NOTICE, print)
                assert not sent.shown
                assert "did not take" in sent.reason

        asyncio.run(go())

    def test_failures_leave_no_open_sockets_behind(self):
        async def go():
            notifier = DesktopNotifier()
            await notifier.check()
            before = open_files()
            for _ in range(20):
                assert not (await notifier.check()).shown
            assert open_files() <= before

        if not Path("/proc/self/fd").is_dir():
            pytest.skip("no list of open files on this system")
        asyncio.run(go())


@pytest.mark.parametrize("tried_meanwhile", [True, False])
def test_a_bus_that_was_restarted_is_found_again(tmp_path, monkeypatch, tried_meanwhile):
    async def go():
        notifier = DesktopNotifier()
        for _ in range(2):
            with session_bus(tmp_path) as address:
                monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", address)
                async with NotificationService() as service:
                    assert (await notifier.send(NOTICE, print)).shown
                    assert len(service.shown) == 1
            if tried_meanwhile:
                assert not (await notifier.send(NOTICE, print)).shown
        await notifier.close()

    asyncio.run(go())
    gc.collect()  # here the bus library logs writes that failed, not in the midst of a later test


def test_a_bus_that_is_killed_and_comes_back_at_its_address_is_used_again(tmp_path, monkeypatch):
    address = f"unix:path={tmp_path / 'bus'}"
    monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", address)

    async def go():
        notifier = DesktopNotifier()
        for _ in range(3):
            with session_bus(tmp_path, address):
                async with NotificationService() as service:
                    assert (await notifier.send(NOTICE, print)).shown
                    assert (await notifier.send(NOTICE, print)).shown
                    assert len(service.on_screen()) == 1
            await notifier.withdraw("stir")
        await notifier.close()

    asyncio.run(go())
    gc.collect()  # as above


def test_no_bus_at_all_is_told_in_one_plain_line(monkeypatch, capfd):
    monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", "unix:path=/nonexistent/bus")
    sent = asyncio.run(DesktopNotifier().send(NOTICE, print))
    assert not sent.shown
    assert sent.reason.startswith("No notification service can be reached")
    assert "\n" not in sent.reason
    assert capfd.readouterr().err == ""


@pytest.mark.parametrize("named", [None, ""])
def test_the_usual_bus_is_named_where_the_surroundings_do_not(tmp_path, monkeypatch, named):
    monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", "")
    if named is None:
        monkeypatch.delenv("DBUS_SESSION_BUS_ADDRESS")
    monkeypatch.setenv("XDG_RUNTIME_DIR", str(tmp_path))
    with socket.socket(socket.AF_UNIX) as usual:
        usual.bind(str(tmp_path / "bus"))
        asyncio.run(DesktopNotifier(limit_s=0.1).check())
    assert os.environ["DBUS_SESSION_BUS_ADDRESS"] == f"unix:path={tmp_path / 'bus'}"


def test_a_backend_that_shows_nothing_is_not_believed(monkeypatch):
    monkeypatch.setattr("desktop_notifier.main.get_backend_class", lambda: DummyNotificationCenter)
    sent = asyncio.run(DesktopNotifier().send(NOTICE, print))
    assert not sent.shown
    assert "cannot show notifications" in sent.reason
