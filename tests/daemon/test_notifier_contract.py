"""What every notifier must do, the one of the tests and the one of the desktop."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from functools import partial

import pytest

from tests.daemon.desks import NOTICE, STRAIN, fake_desk, real_desk, tell


class NotifierContract:
    """The contract; `desk` gives one with its service at hand."""

    desk = None

    def test_a_notice_arrives_with_its_words(self):
        async def go():
            async with self.desk() as desk:
                assert (await desk.notifier.send(NOTICE, print)).shown
                assert desk.texts() == [("Stir ROSE-01", "Rose, night bar")]

        asyncio.run(go())

    def test_a_pressed_button_answers_with_its_identifier(self):
        async def go():
            async with self.desk() as desk:
                answers = asyncio.Queue()
                await desk.notifier.send(NOTICE, answers.put_nowait)
                desk.press(0, "stirred")
                assert await asyncio.wait_for(answers.get(), 5) == "stirred"
                assert desk.on_screen() == []

        asyncio.run(go())

    def test_a_click_on_the_words_answers_open(self):
        async def go():
            async with self.desk() as desk:
                answers = asyncio.Queue()
                await desk.notifier.send(NOTICE, answers.put_nowait)
                desk.click(0)
                assert await asyncio.wait_for(answers.get(), 5) == "open"

        asyncio.run(go())

    def test_a_notice_takes_the_place_of_the_former_one_of_its_slot(self):
        async def go():
            async with self.desk() as desk:
                for title in ("Stir ROSE-01", "Stir 2 jars", "Stir 3 jars"):
                    assert (await desk.notifier.send(replace(NOTICE, title=title), print)).shown
                    assert desk.on_screen() == [title]

        asyncio.run(go())

    def test_after_a_replacement_the_new_notice_answers(self):
        async def go():
            async with self.desk() as desk:
                answers = asyncio.Queue()
                for age in ("old", "new"):
                    await desk.notifier.send(NOTICE, partial(tell, answers, age))
                desk.press(1, "stirred")
                assert await asyncio.wait_for(answers.get(), 5) == ("new", "stirred")

        asyncio.run(go())

    def test_slots_are_independent(self):
        async def go():
            async with self.desk() as desk:
                await desk.notifier.send(NOTICE, print)
                await desk.notifier.send(STRAIN, print)
                assert desk.on_screen() == [NOTICE.title, STRAIN.title]
                await desk.notifier.send(NOTICE, print)
                assert desk.on_screen() == [NOTICE.title, STRAIN.title]
                await desk.notifier.withdraw("strain")
                assert desk.on_screen() == [NOTICE.title]

        asyncio.run(go())

    def test_what_was_withdrawn_can_be_shown_again(self):
        async def go():
            async with self.desk() as desk:
                await desk.notifier.send(NOTICE, print)
                await desk.notifier.withdraw("stir")
                assert desk.on_screen() == []
                assert (await desk.notifier.send(NOTICE, print)).shown
                assert desk.on_screen() == [NOTICE.title]

        asyncio.run(go())

    def test_withdrawing_what_is_not_on_the_screen_does_nothing(self):
        async def go():
            async with self.desk() as desk:
                await desk.notifier.withdraw("stir")
                await desk.notifier.send(NOTICE, print)
                await desk.notifier.withdraw("taste")
                assert desk.on_screen() == [NOTICE.title]
                desk.press(0, "stirred")
                await desk.notifier.withdraw("stir")
                await desk.notifier.withdraw("stir")
                assert (await desk.notifier.send(STRAIN, print)).shown

        asyncio.run(go())

    def test_a_loud_notice_is_urgent_and_another_is_not(self):
        async def go():
            async with self.desk() as desk:
                await desk.notifier.send(STRAIN, print)
                await desk.notifier.send(replace(STRAIN, loud=True), print)
                assert desk.loud() == [False, True]

        asyncio.run(go())

    def test_the_check_shows_nothing(self):
        async def go():
            async with self.desk() as desk:
                assert (await desk.notifier.check()).shown
                assert desk.texts() == []

        asyncio.run(go())

    def test_a_missing_service_is_told_and_found_again(self):
        async def go():
            async with self.desk() as desk:
                assert (await desk.notifier.send(NOTICE, print)).shown
                await desk.lose_service()
                checked = await desk.notifier.check()
                sent = await desk.notifier.send(NOTICE, print)
                assert (checked.shown, sent.shown) == (False, False)
                assert checked.reason
                assert sent.reason
                await desk.regain_service()
                assert (await desk.notifier.send(NOTICE, print)).shown

        asyncio.run(go())

    def test_what_is_standing_is_told(self):
        async def go():
            async with self.desk() as desk:
                assert desk.notifier.standing() == frozenset()
                await desk.notifier.send(NOTICE, print)
                await desk.notifier.send(STRAIN, print)
                assert desk.notifier.standing() == {"stir", "strain"}
                await desk.notifier.withdraw("strain")
                assert desk.notifier.standing() == {"stir"}
                answers = asyncio.Queue()
                await desk.notifier.send(NOTICE, answers.put_nowait)
                desk.press(2, "stirred")
                await asyncio.wait_for(answers.get(), 5)
                assert desk.notifier.standing() == frozenset()

        asyncio.run(go())

    def test_what_another_process_showed_can_be_adopted(self):
        async def go():
            async with self.desk() as desk:
                answers = asyncio.Queue()
                notices = (NOTICE, STRAIN, replace(STRAIN, slot="taste", title="Taste SAGE-02"))
                tokens = [(await desk.notifier.send(notice, print)).token for notice in notices]
                await desk.succeed()
                for notice, token in zip(notices, tokens, strict=True):
                    desk.notifier.adopt(notice, token, partial(tell, answers, notice.slot))
                assert (await desk.notifier.check()).shown
                assert desk.notifier.standing() == {"stir", "strain", "taste"}
                desk.press(0, "stirred")
                assert await asyncio.wait_for(answers.get(), 5) == ("stir", "stirred")
                assert desk.on_screen() == [STRAIN.title, "Taste SAGE-02"]
                await desk.notifier.send(replace(STRAIN, title="Strain 2 jars"), print)
                assert desk.on_screen() == ["Strain 2 jars", "Taste SAGE-02"]
                await desk.notifier.withdraw("taste")
                assert desk.on_screen() == ["Strain 2 jars"]
                assert len(desk.texts()) == 4  # nothing was said twice

        asyncio.run(go())

    def test_what_another_service_showed_is_not_adopted(self):
        async def go():
            async with self.desk() as desk:
                answers = asyncio.Queue()
                token = (await desk.notifier.send(NOTICE, print)).token
                await desk.succeed()
                await desk.lose_service()
                await desk.regain_service()
                desk.notifier.adopt(NOTICE, token, partial(tell, answers, "old"))
                await desk.notifier.send(replace(STRAIN, title="Strain 2 jars"), print)
                assert desk.notifier.standing() == {"strain"}
                await desk.notifier.withdraw("stir")
                await desk.notifier.send(NOTICE, partial(tell, answers, "new"))
                assert desk.on_screen() == [NOTICE.title, "Strain 2 jars"]
                desk.press(len(desk.texts()) - 1, "stirred")
                assert await asyncio.wait_for(answers.get(), 5) == ("new", "stirred")
                assert answers.empty()

        asyncio.run(go())


class TestFakeNotifier(NotifierContract):
    desk = staticmethod(fake_desk)


@pytest.mark.usefixtures("bus")
class TestDesktopNotifier(NotifierContract):
    desk = staticmethod(real_desk)
