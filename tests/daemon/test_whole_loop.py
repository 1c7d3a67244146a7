"""The whole service through anything that happens to it, against a ledger kept beside it.

The record is real, and so are the acts of people.
"""

from __future__ import annotations

import asyncio
import shutil
import tempfile
from contextlib import suppress
from dataclasses import replace
from datetime import time, timedelta
from functools import cache
from pathlib import Path

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, precondition, rule

from steepboard.daemon.tick import tick
from steepboard.domain.notices import ANSWER
from steepboard.domain.records import Source
from steepboard.errors import SteepboardError
from steepboard.services import acts, reminder_acts
from steepboard.services.reminder_acts import Later
from steepboard.services.reminders import RecordReminders
from steepboard.store import jars
from tests.daemon.ledger import CLAIM, TIMES, Ledger, local_day
from tests.fakes import Clock, FakeNotifier, utc
from tests.shelves import desk_at, mute, order

DAY, MONTH = timedelta(days=1), timedelta(days=31)
STIRS = [time(8, 30), time(9), time(9, 8), time(17), time(23)]
BUTTONS = ["stirred", "all-stirred", "later", "tonight", "tomorrow"]
START = utc("2026-03-24T09:00")  # five days before clocks change in Vienna

jar_numbers = st.integers(0, 2)
moments = st.sampled_from(["before", "after", "written"])
waits = st.sampled_from([1, 9, 11, 61, 600, 1440, 3 * 1440, 9 * 1440])


class KilledError(BaseException):
    """Stands for a process that ends."""


def kill(notice):
    raise KilledError


class Mortal(RecordReminders):
    """Reminders of a process that may end after it wrote a delivery down."""

    dies = False

    def delivered(self, notice, now, token=""):
        super().delivered(notice, now, token)
        if self.dies:
            raise KilledError


@cache
def empty_record():
    folder = Path(tempfile.mkdtemp())
    desk_at(folder).store.close()
    record = (folder / "shelf.db").read_bytes()
    shutil.rmtree(folder)
    return record


class WholeLoop(RuleBasedStateMachine):
    """A bar with up to three jars, and a service to which everything happens."""

    def __init__(self):
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        (self.folder / "shelf.db").write_bytes(empty_record())
        self.clock = Clock(START)
        self.desk = desk_at(self.folder)
        self.notifier = FakeNotifier()
        self.ledger = Ledger(self.desk, self.clock)
        self.service = None
        self.restart()
        self.charge(5, 1)
        self.charge(8, 3)

    def jar(self, number):
        """Return one of the jars, or none where none is left."""
        found = jars.active(self.desk.store)
        return [found[number % len(found)]] if found else []

    def wake(self, *, first):
        """Let time pass until something may be due, where that comes first."""
        if first:
            self.clock.now = self.service.next_wake(self.clock.now) or self.clock.now

    def send(self):
        before = len(self.notifier.shown)
        try:
            asyncio.run(tick(self.service, self.notifier, self.clock, lambda *answer: None))
        finally:
            shown = self.notifier.shown[before:]
        self.ledger.note(shown)

    @rule()
    def look(self):
        self.send()
        self.ledger.settle()

    @rule(minutes=waits)
    def wait_and_look(self, minutes):
        self.clock.forward(minutes=minutes)
        self.look()

    @rule(minutes=waits)
    def sleep(self, minutes):
        self.clock.forward(minutes=minutes)

    @rule()
    def sleep_until_woken(self):
        self.look()
        self.wake(first=True)
        self.look()

    @rule(reason=st.sampled_from(["no service", ""]), due=st.booleans())
    def look_in_vain(self, reason, due):
        self.wake(first=due)
        self.notifier.broken, self.notifier.refusals = reason, 99
        self.send()
        self.notifier.broken, self.notifier.refusals = "", 0
        self.look()

    @rule()
    def restart(self):
        if self.service:
            self.service._desk.store.close()
        self.service = Mortal(replace(desk_at(self.folder), source=Source.NOTIFICATION))

    @rule(moment=moments, due=st.booleans())
    def be_killed(self, moment, due):
        self.wake(first=due)
        claimed = []
        shown = len(self.notifier.shown)
        self.notifier.before = claimed.append
        self.service.dies = moment == "written"
        if moment == "before":
            self.notifier.before = lambda notice: (claimed.append(notice), kill(notice))
        if moment == "after":
            self.notifier.after = kill
        with suppress(KilledError):
            asyncio.run(tick(self.service, self.notifier, self.clock, lambda *answer: None))
        self.notifier.before = self.notifier.after = lambda notice: None
        self.ledger.note(self.notifier.shown[shown:])
        if moment != "written":
            keys = [key for notice in claimed[-1:] for key in notice.keys]
            self.ledger.dead |= dict.fromkeys(keys, self.clock.now)
            self.ledger.repeats.update(keys if moment == "after" else ())
        self.restart()

    @rule()
    def set_the_clock_an_hour_back(self):
        self.clock.forward(hours=-1)
        self.look()

    @rule(minutes=waits, moment=moments, data=st.data())
    def run_a_month_ahead_for_a_while(self, minutes, moment, data):
        self.clock.now += MONTH
        self.look()
        self.wait_and_look(minutes)
        if self.notifier.shown:
            self.press(data)
        self.be_killed(moment, due=True)
        self.clock.now -= MONTH
        self.ledger.forget_what_is_ahead()
        self.look()

    @precondition(lambda self: len(jars.active(self.desk.store)) < 3)
    @rule(days=st.integers(1, 8), every=st.integers(1, 3))
    def charge(self, days, every):
        acts.charge(self.desk, order(days=days, stir_every_days=every), self.clock.now)

    @rule(number=jar_numbers)
    def stir(self, number):
        for jar in self.jar(number):
            with suppress(SteepboardError):
                acts.stir(self.desk, (jar.code,), self.clock.now)

    @rule(number=jar_numbers)
    def taste(self, number):
        for jar in self.jar(number):
            with suppress(SteepboardError):
                acts.taste(self.desk, jar.code, "thin", self.clock.now)

    @rule(number=jar_numbers, bottled=st.booleans())
    def strain(self, number, bottled):
        for jar in self.jar(number):
            acts.strain(self.desk, jar.code, (), self.clock.now, bottled=bottled)

    @rule(number=jar_numbers)
    def undo(self, number):
        for jar in self.jar(number):
            acts.undo(self.desk, jar.code, self.clock.now)

    @rule(number=jar_numbers, days=st.integers(0, 6))
    def move(self, number, days):
        for jar in self.jar(number):
            with suppress(SteepboardError):
                strain_on = self.ledger.today + days * DAY
                acts.move(self.desk, jar.code, strain_on, "by taste", self.clock.now)

    @rule(number=jar_numbers, days=st.integers(0, 4))
    def mute(self, number, days):
        until = self.ledger.today + days * DAY if days else None
        for jar in self.jar(number):
            mute(self.desk, jar.code, until, self.clock.now)

    @rule(number=jar_numbers, at=st.sampled_from(STIRS), every=st.integers(1, 3))
    def take_another_rhythm(self, number, at, every):
        for jar in self.jar(number):
            habit = replace(jar.habit, stir_at=at, stir_every_days=every)
            reminder_acts.remind(self.desk, jar.code, habit, self.clock.now)

    @rule(ahead=st.integers(0, 2), days=st.integers(0, 4))
    def leave(self, ahead, days):
        first = self.ledger.today + ahead * DAY
        self.ledger.away = first, first + days * DAY
        reminder_acts.set_away(self.desk, *self.ledger.away, self.clock.now)

    @rule()
    def come_back(self):
        self.ledger.away = None
        reminder_acts.end_away(self.desk)

    @rule(number=jar_numbers, choice=st.sampled_from(Later))
    def put_off(self, number, choice):
        for jar in self.jar(number):
            tasks = [(jar.id, kind) for kind in TIMES]
            self.ledger.later(tasks, choice)
            with suppress(SteepboardError):
                reminder_acts.later(self.desk, jar.code, choice, self.clock.now)

    @precondition(lambda self: self.notifier.shown)
    @rule(data=st.data())
    def press(self, data):
        notice = data.draw(st.sampled_from(self.notifier.shown[-4:]))
        button = data.draw(st.sampled_from(BUTTONS))
        ledger, active = self.ledger, {jar.id: jar for jar in jars.active(self.desk.store)}
        tasks = [(task.jar_id, task.kind.value) for task in notice.tasks]
        if not button.endswith("stirred"):
            choice = {"later": Later.HOUR}.get(button) or Later(button)
            ledger.later(tasks, choice)
            answer = self.service.answer(notice, button, self.clock.now)
            assert (answer.stirred, answer.reply.slot) == ((), ANSWER)
            return
        wanted = [
            active[jar_id].code
            for jar_id, kind in tasks
            if kind == "stir" and jar_id in active and self.may_stir(active[jar_id])
        ]
        answer = self.service.answer(notice, button, self.clock.now)
        assert answer.stirred == tuple(wanted)

    def may_stir(self, jar):
        stirred = map(local_day, jar.stirred_at)
        due = self.ledger.wanted(jar, "stir", snoozed=False)
        return due is not None and self.ledger.today not in stirred

    def teardown(self):
        self.clock.now = self.ledger.awake(self.clock.now)
        self.look()
        self.clock.now = self.ledger.awake(self.clock.now + 2 * CLAIM)
        self.look()
        assert self.service.due(self.clock.now) == ()
        self.service._desk.store.close()
        self.desk.store.close()
        shutil.rmtree(self.folder)


TestWholeLoop = WholeLoop.TestCase
TestWholeLoop.settings = settings(
    max_examples=40,
    stateful_step_count=40,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
)
