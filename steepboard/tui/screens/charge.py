"""Charging a jar: four answers, and everything else a default that says where it came from."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Container, VerticalScroll
from textual.content import Content
from textual.widgets import Static

from steepboard.amounts import parse_volume
from steepboard.domain.figures import every
from steepboard.domain.records import Jar, Separation
from steepboard.errors import NotForDrinking, SteepboardError
from steepboard.services import acts, material, views
from steepboard.services.acts import Order
from steepboard.tui import answers
from steepboard.tui.flow_commands import CHARGE, answering
from steepboard.tui.safe import plain
from steepboard.tui.screens.acknowledge import charge_asking
from steepboard.tui.screens.base import BoardScreen
from steepboard.tui.screens.charge_fields import (
    SEPARATIONS,
    BotanicalLines,
    Lines,
    SpiritLines,
    echo,
    preview,
)
from steepboard.tui.screens.charge_outcome import charged_text, outcome
from steepboard.tui.screens.tape import Tape
from steepboard.tui.telling import SIGNS, parts
from steepboard.tui.widgets.amount_input import AmountInput
from steepboard.tui.widgets.choice import Choice
from steepboard.tui.widgets.form import Form, once
from steepboard.tui.widgets.hanging import Hanging

if TYPE_CHECKING:
    from steepboard.domain.records import BotanicalLine, SpiritLine
    from steepboard.domain.why import Why

_AS_PLANNED = (
    "This jar is charged as it was planned. To weigh or pour anything else, charge a new jar."
)


class ChargeScreen(BoardScreen):
    """A new jar, or the planned one of that code."""

    PLACE = "Charge a jar"
    COMMANDS_HERE = CHARGE
    BINDINGS = answering(CHARGE)
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (110, "-wide")]  # noqa: RUF012
    ABOUT = (
        "Say what goes in, how much of it, how much spirit and how strong that is. "
        "The rest has defaults; each says where it comes from. Enter and the arrow keys go "
        "from answer to answer. The kind of a botanical, where it is asked, tells how much "
        "liquid it will hold back."
    )
    SIGNS = SIGNS

    def __init__(self, code: str | None = None) -> None:
        super().__init__()
        self._code = code

    def body(self) -> ComposeResult:
        """Yield the answers and what follows from them."""
        with Container(classes="two-part"):
            with Form(classes="answers"):
                yield BotanicalLines()
                yield SpiritLines()
                yield AmountInput("Steeps for", answers.days, self._until, id="days")
                yield AmountInput("Stir every", answers.days, every, id="stir")
                yield Choice("Straining", SEPARATIONS, id="separation")
                yield AmountInput("The jar holds", parse_volume, echo, id="vessel",
                                  hint="not said, so its fill is not checked")  # fmt: skip
                yield AmountInput("Signed", answers.initials, str, id="initials",
                                  hint=f"{self.desk.initials}, as always")  # fmt: skip
            with VerticalScroll(classes="outcome"):
                yield Static(id="outcome")

    async def on_mount(self) -> None:
        """Fill in a planned jar, and what the house does."""
        house = self.desk.settings
        self.query_one("#separation", Choice).value = house.steep.separation.value
        self.query_one("#separation", Choice).note("house setting")
        self.query_one("#stir", AmountInput).hint(
            f"{every(house.reminders.stir_every_days)}, house setting"
        )
        if self._code:
            await self._fill_in(views.jar(self.desk, self._code))
        self._work_out()
        asked = (
            self.query_one("#initials", AmountInput) if self._code else self.query(AmountInput)[0]
        )
        asked.take_focus()

    def reload(self) -> None:
        """Count the days from today."""
        if self.query("#outcome"):
            self._work_out()

    def answers(self) -> tuple[Why, ...]:
        """Return where each figure comes from, as far as they can be worked out."""
        from steepboard.services import why

        jar = self._preview()
        try:
            return why.of_new_jar(self.desk, jar) if jar else ()
        except SteepboardError:
            return ()  # the page says what is wrong

    def on_amount_input_changed(self) -> None:
        """Work out what follows."""
        self._work_out()

    def on_choice_changed(self) -> None:
        """Work out what follows."""
        self._work_out()

    @once
    def on_form_finished(self) -> None:
        """Charge: the last answer was given."""
        self.action_charge()

    async def action_add_botanical(self) -> None:
        """Put another botanical into the same jar."""
        more = BotanicalLines(more=True)
        await self.query_one(Form).mount(more, after=self.query(BotanicalLines).last())
        more.name_answer.take_focus()

    async def action_add_spirit(self) -> None:
        """Pour another spirit, or water, into the same jar."""
        more = SpiritLines(more=True)
        await self.query_one(Form).mount(more, after=self.query(SpiritLines).last())
        more.answers[0].take_focus()

    def check_action(
        self,
        action: str,
        parameters: tuple[object, ...],  # noqa: ARG002 - Textual's own signature
    ) -> bool | None:
        """Leave a planned jar as it was planned."""
        return not (self._code and action.startswith("add_"))

    def action_charge(self) -> None:
        """Charge the jar, or show which answer is missing."""
        order = self._order()
        if order is None:
            self._show_missing()
            return
        desk = self.desk
        if signed := self.query_one("#initials", AmountInput).value:
            desk = replace(desk, initials=signed)

        def act(codes: tuple[str, ...]) -> Jar:
            if self._code:
                return acts.charge_planned(desk, self._code, self.now(), codes)
            return acts.charge(desk, replace(order, acknowledged=codes), self.now())

        charge_asking(self.board, order.botanicals, act, self._charged, self._refused)

    def _charged(self, jar: Jar) -> None:
        self.app.push_screen(Tape(jar.code, charged_text(self.desk, jar)), lambda _: self.dismiss())

    def _refused(self, fault: SteepboardError) -> None:
        if isinstance(fault, NotForDrinking):
            lines = [s for s in self.query(SpiritLines) if (p := s.line()) and p.name == fault.name]
            for poured in lines:
                poured.answers[2].refuse(str(fault))
                poured.answers[2].take_focus()
        self.board.tell(str(fault), "error")

    def _order(self) -> Order | None:
        """Return the order with every default filled in, or None while an answer is missing."""
        botanicals, spirits = self._lines()
        optional = [self.query_one(f"#{name}", AmountInput) for name in ("days", "stir", "vessel")]
        if not botanicals or not spirits or any(answer.refusal for answer in optional):
            return None
        days, stir, vessel = (answer.value for answer in optional)
        return Order(
            botanicals,
            spirits,
            days=days
            or material.steep_days(
                botanicals, self.desk.settings.steep.days, self.desk.library
            ).value,
            stir_every_days=stir or self.desk.settings.reminders.stir_every_days,
            separation=Separation(self.query_one("#separation", Choice).value),
            vessel_ml=vessel.value if vessel else None,
        )

    def _preview(self) -> Jar | None:
        """Return the jar that the answers would make, or None while one is missing."""
        order = self._order()
        if order is None:
            return None
        assert order.days  # noqa: S101 - filled in
        return preview(order, self._strain_on(order.days))

    def _lines(self) -> tuple[tuple[BotanicalLine, ...], tuple[SpiritLine, ...]]:
        """Return what goes in; nothing as long as one line of it is not complete."""
        weighed = [one.line() for one in self.query(BotanicalLines) if not one.is_empty]
        poured = [one.line() for one in self.query(SpiritLines) if not one.is_empty]
        if None in weighed or None in poured:
            return (), ()
        return tuple(filter(None, weighed)), tuple(filter(None, poured))

    def _until(self, days: int) -> str:
        ends = self._strain_on(days)
        return f"{days} day{'s' * (days != 1)}, to {ends:%A} {ends.day} {ends:%B}"

    def _strain_on(self, days: int) -> date:
        return self.desk.day(self.now()) + timedelta(days=days)

    def _work_out(self) -> None:
        weighed = tuple(filter(None, (one.line() for one in self.query(BotanicalLines))))
        usual = material.steep_days(weighed, self.desk.settings.steep.days, self.desk.library)
        self.query_one("#days", AmountInput).hint(f"{self._until(usual.value)}; {usual.source}")
        jar = self._preview()
        if jar is None:
            told = plain("What follows from your answers will stand here.")
        else:
            told = outcome(self.desk, jar)
        planned = plain(_AS_PLANNED) if self._code else Content("")
        self.query_one("#outcome", Static).update(Hanging(parts(planned, told)))

    def _show_missing(self) -> None:
        """Say in place what is missing, and go there."""
        for group in self.query("BotanicalLines, SpiritLines").results(Lines):
            for answer, why in group.needed():
                if answer.value is None:
                    answer.refuse(answer.refusal or why)
                    answer.take_focus()
                    return
        refused = next((answer for answer in self.query(AmountInput) if answer.refusal), None)
        if refused:
            refused.take_focus()

    async def _fill_in(self, jar: Jar) -> None:
        charge = jar.charge
        form = self.query_one(Form)
        await form.query("BotanicalLines, SpiritLines").remove()
        await form.mount_all(
            [
                *(BotanicalLines(line, more=i > 0) for i, line in enumerate(charge.botanicals)),
                *(SpiritLines(line, more=i > 0) for i, line in enumerate(charge.spirits)),
            ],
            before=0,
        )
        length = (jar.strain_on - self.desk.day(jar.planned_at or self.now())).days
        self.query_one("#days", AmountInput).typed = f"{length}"
        self.query_one("#stir", AmountInput).typed = f"{charge.stir_every_days}"
        self.query_one("#separation", Choice).value = charge.separation.value
        if charge.vessel_ml:
            self.query_one("#vessel", AmountInput).typed = f"{charge.vessel_ml:g} mL"
        for answer in form.children:
            answer.disabled = answer.id != "initials"
