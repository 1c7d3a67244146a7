"""The walk through a straining: one step a page, left and resumed, computed as one types."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Container, VerticalScroll
from textual.content import Content

from steepboard.domain.records import Jar, Measure, Reading, Separation, State
from steepboard.errors import BadAmount, SteepboardError, WrongState
from steepboard.services import acts, straining, views
from steepboard.tui.flow_commands import STRAIN, urgent
from steepboard.tui.safe import plain, say
from steepboard.tui.screens.base import BoardScreen
from steepboard.tui.screens.strain_page import StepPage
from steepboard.tui.screens.strain_steps import ASKS, FINAL, KEYS, STEPS, Step, is_read
from steepboard.tui.screens.strain_text import day_text, expect_text, label_text, review_text
from steepboard.tui.widgets.balance_table import BalanceTable
from steepboard.tui.widgets.step_path import Standing, StepPath

if TYPE_CHECKING:
    from steepboard.domain.balance import Balance

_NEEDED = "Measure what you bottle, by volume or on the scale: one reading is enough."
_RULES = (
    "Copy it by hand. What a label must say is set by your local rules: they and licensed "
    "practice come first."
)
_STRAINED = (State.STEEPING, State.SETTLING, State.BOTTLED)


class StrainScreen(BoardScreen):
    """The straining of one jar; of a bottled one, its review, where late readings can be added."""

    PLACE = "Strain"
    COMMANDS_HERE = STRAIN
    BINDINGS = urgent(STRAIN)
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (110, "-wide")]  # noqa: RUF012
    ABOUT = (
        "One step a page. Every reading but the measured volume or mass may be left out; each "
        "one more makes the balance surer. In a hurry, go straight to the measuring. A reading "
        "far from what is usual is asked about, and kept as you typed it. Leave at any step: "
        "the board comes back to it."
    )
    SIGNS = (
        ("●", "Read and kept."),
        ("○", "Passed without a reading."),
        ("◆", "The step you are at."),
        ("·", "Still ahead."),
        ("±", "The true figure lies so near about two times in three."),
        ("≈", "Not measured, but estimated from what is usual."),
        ("?", "A reading far from what is usual."),
    )

    def __init__(self, code: str) -> None:
        super().__init__()
        self._code = code
        self._at = 0
        self._typed: dict[str, str] = {}

    def body(self) -> ComposeResult:
        """Yield the path, the page and the balance."""
        yield StepPath(id="path")
        with Container(classes="walk"):
            yield VerticalScroll(id="page", can_focus=False)
            yield BalanceTable(id="balance")

    async def on_mount(self) -> None:
        """Come back to where the straining was left."""
        jar = self._jar = views.jar(self.desk, self._code)
        if jar.state not in _STRAINED:
            self.board.tell(str(WrongState(jar.code, jar.state.value, "strained")), "error")
            self.dismiss()
            return
        self._typed = {reading.measure.value: reading.typed for reading in jar.readings}
        if jar.state is State.BOTTLED:
            self._at = KEYS.index("review")
        elif left := straining.draft(self.desk, jar):
            step, typed = left
            self._typed |= typed
            self._at = KEYS.index(step) if step in KEYS else 0
        await self._show_page()

    def reload(self) -> None:
        """Take in what was changed elsewhere."""
        if self.query(StepPage):
            self._jar = views.jar(self.desk, self._code)
            self._work_out()

    def on_amount_input_changed(self) -> None:
        """Note what is typed, and work it out."""
        self._note()
        self._work_out()

    def on_choice_changed(self) -> None:
        """Note the way of straining, and work it out."""
        self._note()
        self._work_out()

    async def on_form_finished(self) -> None:
        """Go on: Enter was pressed on the last field."""
        await self.action_keep()

    async def action_keep(self) -> None:
        """Keep what was typed and go on, or say in place why not."""
        page = self.query_one(StepPage)
        if refused := [field for field in page.fields.values() if field.refusal]:
            refused[0].take_focus()
            return
        if self._step.key in ("measure", "bottle") and not self._final():
            await self._ask_for_final()
            return
        if self._step.key == "label":
            self.dismiss()
            return
        still_to_start = self._step.key == "ready" and self._jar.state is State.STEEPING
        if still_to_start or self._keep(bottled=self._step.key == "bottle"):
            await self.action_step(1)

    async def action_step(self, by: int) -> None:
        """Go a step on or back."""
        await self._go(max(0, min(len(STEPS) - 1, self._at + by)))

    async def action_measure(self) -> None:
        """Go straight to the one reading that is needed."""
        await self._go(KEYS.index("measure"))

    def action_leave(self) -> None:
        """Leave, and keep where."""
        self._save()
        self.dismiss()

    @property
    def _step(self) -> Step:
        return STEPS[self._at]

    async def _go(self, at: int) -> None:
        if at != self._at:
            self._at = at
            self._save()
            await self._show_page()

    async def _ask_for_final(self) -> None:
        await self.action_measure()
        field = self.query_one(StepPage).fields[Measure.RECOVERED]
        field.refuse(_NEEDED)
        field.take_focus()

    def _keep(self, *, bottled: bool) -> bool:
        """Write down what is new; returns whether that went well."""
        readings = self._new_readings()
        if not (readings or bottled or self._jar.state is State.STEEPING):
            return True
        if bottled and self._jar.state is State.BOTTLED and not readings:
            return True
        jar = self.board.done(
            lambda: acts.strain(
                self.desk,
                self._code,
                readings,
                self.now(),
                separation=self._separation(),
                bottled=bottled,
            )
        )
        if jar is None:
            return False
        self._jar = jar
        return True

    def _save(self) -> None:
        if self._jar.state is not State.BOTTLED:
            try:
                straining.leave(self.desk, self._jar, self._step.key, self._typed)
            except SteepboardError as fault:
                self.board.tell(str(fault), "error")

    def _note(self) -> None:
        page = self.query_one(StepPage)
        for measure, field in page.fields.items():
            self._typed[measure.value] = field.typed
        if page.separation:
            self._typed["separation"] = page.separation

    def _separation(self) -> Separation:
        chosen = self._typed.get("separation")
        steeping = self._jar.state is State.STEEPING
        return Separation(chosen) if chosen and steeping else self._jar.charge.separation

    def _new_readings(self) -> tuple[Reading, ...]:
        """Return what was typed and understood and is not kept yet."""
        found = []
        for measure, ask in ASKS.items():
            typed, kept = self._typed.get(measure.value, ""), self._jar.reading(measure)
            if not typed.strip() or (kept and kept.typed == typed):
                continue
            try:
                amount = ask.read(typed)
            except BadAmount:
                continue
            found.append(
                straining.reading(
                    self.desk, measure, amount.value, typed, amount.resolution, self.now()
                )
            )
        return tuple(found)

    def _final(self) -> bool:
        new = {reading.measure for reading in self._new_readings()}
        return any(measure in new or self._jar.reading(measure) for measure in FINAL)

    def _seen_jar(self, separation: Separation) -> Jar:
        return replace(self._jar, charge=replace(self._jar.charge, separation=separation))

    def _balance(self) -> Balance | None:
        jar = self._seen_jar(self._separation())
        return straining.balance(self.desk, jar, self._new_readings())

    async def _show_page(self) -> None:
        asks_way = self._step.key == "ready" and self._jar.state is State.STEEPING
        page = StepPage(
            self._step,
            say("$code  $name", code=self._jar.code, name=self._jar.name),
            self._typed,
            self._separation().value if asks_way else None,
        )
        holder = self.query_one("#page", VerticalScroll)
        await holder.remove_children()
        await holder.mount(page)
        self._work_out()
        page.start()

    def _work_out(self) -> None:
        page = self.query_one(StepPage)
        try:
            balance = self._balance()
            self._tell_page(page, balance)
        except SteepboardError as fault:
            balance = None
            page.words(plain(f"! {fault}"))
        table = self.query_one(BalanceTable)
        table.show(balance, bar=self.has_class("-wide"))
        table.display = balance is not None and self._step.key != "label"
        self.query_one(StepPath).show([self._standing(i) for i in range(len(STEPS))])

    def _tell_page(self, page: StepPage, balance: Balance | None) -> None:
        draining = self._step.key == "drain"
        jar = self._seen_jar(Separation.DRIP if draining else self._separation())
        expected = expect_text(self.desk, jar, tuple(page.fields))
        page.expect(day_text(self.desk, jar, self.now()) if self._step.key == "ready" else expected)
        page.doubt(
            [
                straining.doubt(self.desk, jar, measure, field.value.value)
                for measure, field in page.fields.items()
                if field.value
            ]
        )
        page.words(self._words(balance))

    def _words(self, balance: Balance | None) -> Content:
        match self._step.key:
            case "review":
                return review_text(balance)
            case "bottle" if self._jar.state is State.BOTTLED:
                return say("$code is bottled.", code=self._jar.code)
            case "label":
                label = label_text(self.desk, self._jar, self.now())
                return label + Content(f"\n\n{_RULES}")
        return Content("")

    def _standing(self, i: int) -> tuple[str, Standing]:
        step = STEPS[i]
        if i == self._at:
            return step.key, Standing.HERE
        bottled = step.key == "bottle" and self._jar.state is State.BOTTLED
        if bottled or is_read(step, self._jar):
            return step.key, Standing.READ
        return step.key, Standing.PASSED if i < self._at else Standing.AHEAD
