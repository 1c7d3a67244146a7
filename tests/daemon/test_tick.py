from __future__ import annotations

import asyncio
from datetime import date, timedelta

import pytest

from steepboard.daemon.tick import tick
from tests.fakes import FakeNotifier, FakeReminders, FakeShelf, steep, utc

# Jars of an invented railway hotel bar.
ROSE = steep(1, "ROSE-01", "Rose petals", date(2026, 11, 20), date(2026, 12, 4))
ORANGE = steep(2, "ORAN-02", "Orange peel", date(2026, 11, 20), date(2026, 12, 4))
AFTER_NINE = utc("2026-11-25T08:05")  # 09:05 in Berlin


class KilledError(Exception):
    """Stands for a process that ends in the midst of a send."""


def kill(notice):
    raise KilledError


def shelf_of(*steeps):
    return FakeShelf({steep.jar_id: steep for steep in steeps})


def one_pass(shelf, notifier, now, leave=()):
    answers = []
    attempts = asyncio.run(
        tick(FakeReminders(shelf), notifier, lambda: now, lambda *a: answers.append(a), leave)
    )
    return attempts, answers


def test_what_is_due_goes_out_once_as_one_notice():
    shelf, notifier = shelf_of(ROSE, ORANGE), FakeNotifier()
    one_pass(shelf, notifier, AFTER_NINE)
    one_pass(shelf, notifier, AFTER_NINE)
    assert [notice.title for notice in notifier.shown] == ["Stir 2 jars"]


def test_a_notice_that_was_not_shown_stays_due_and_the_claim_is_given_back():
    shelf, notifier = shelf_of(ROSE), FakeNotifier()
    notifier.broken = "no service"
    attempts, _ = one_pass(shelf, notifier, AFTER_NINE)
    assert [attempt.sent.reason for attempt in attempts] == ["no service"]
    assert shelf.failures == ["no service"]
    notifier.broken = ""
    one_pass(shelf, notifier, AFTER_NINE)
    assert len(notifier.shown) == 1


def test_a_notice_claimed_elsewhere_is_left_alone():
    shelf, notifier = shelf_of(ROSE), FakeNotifier()
    (notice,) = FakeReminders(shelf).due(AFTER_NINE)
    assert FakeReminders(shelf).claim(notice, AFTER_NINE)
    assert one_pass(shelf, notifier, AFTER_NINE) == ((), [])


def test_notices_that_are_to_wait_are_not_tried():
    shelf, notifier = shelf_of(ROSE), FakeNotifier()
    one_pass(shelf, notifier, AFTER_NINE, leave={"stir/1/2026-11-25"})
    assert notifier.tries == 0


@pytest.mark.parametrize(("moment", "shown"), [("before", 1), ("after", 2)])
def test_a_process_killed_while_sending_repeats_at_most_once_and_loses_nothing(moment, shown):
    shelf, notifier = shelf_of(ROSE), FakeNotifier()
    setattr(notifier, moment, kill)
    with pytest.raises(KilledError):
        one_pass(shelf, notifier, AFTER_NINE)
    setattr(notifier, moment, lambda notice: None)
    one_pass(shelf, notifier, AFTER_NINE + timedelta(seconds=30))
    assert len(notifier.shown) == shown - 1  # the claim still holds
    for seconds in (61, 122, 183):
        one_pass(shelf, notifier, AFTER_NINE + timedelta(seconds=seconds))
    assert len(notifier.shown) == shown


def test_two_loops_at_once_send_one_notice():
    shelf, notifier = shelf_of(ROSE), FakeNotifier()

    async def go():
        notifier.hold = asyncio.Event()
        passes = [
            asyncio.create_task(
                tick(FakeReminders(shelf), notifier, lambda: AFTER_NINE, lambda *a: None)
            )
            for _ in range(2)
        ]
        asyncio.get_running_loop().call_soon(notifier.hold.set)
        return await asyncio.gather(*passes)

    assert sorted(map(len, asyncio.run(go()))) == [0, 1]
    assert len(notifier.shown) == 1


def test_an_answer_comes_back_with_its_notice():
    shelf, notifier = shelf_of(ROSE), FakeNotifier()

    async def go():
        answers = asyncio.Queue()
        await tick(
            FakeReminders(shelf), notifier, lambda: AFTER_NINE, lambda *a: answers.put_nowait(a)
        )
        notifier.press(0, "stirred")
        return await answers.get()

    assert asyncio.run(go()) == (notifier.shown[0], "stirred")
