"""The walk through a straining: one step a page, left and resumed, computed as one types."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, VerticalScroll

from steepboard.domain.records import Measure, State
from steepboard.errors import Doubtful, SteepboardError, WrongState
from steepboard.services import acts, bottle_shelf, bottling, views
from steepboard.tui.flow_commands import STRAIN, urgent
from steepboard.tui.safe import plain, say
from steepboard.tui.screens.base import BoardScreen
from steepboard.tui.screens.strain_draft import StrainDraft
from steepboard.tui.screens.strain_page import FILLS, StepPage
from steepboard.tui.screens.strain_steps import KEYS, STEPS
from steepboard.tui.screens.strain_text import (
    beside,
    bottle_text,
    day_text,
    expect_text,
    label_text,
    mind_text,
    review_text,
)
from steepboard.tui.widgets.balance_table import BalanceTable
from steepboard.tui.widgets.choice import Choice
from steepboard.tui.widgets.step_path import StepPath

if TYPE_CHECKING:
    from textual.widget import Widget

    from steepboard.domain.balance import Balance
    from steepboard.domain.why import Why
    from steepboard.services.bottling import Fill

_NEEDED = "Measure what you bottle, by volume or on the scale: one reading is enough."
_STRAINED = (State.STEEPING, State.SETTLING, State.BOTTLED)


class StrainScreen(BoardScreen):
    """The straining of one jar; of a bottled one, its review, where late readings can be added."""

    PLACE = "Strain"
    COMMANDS_HERE = STRAIN
    BINDINGS: ClassVar[list[BindingType]] = [
        *urgent(STRAIN),
        Binding("down", "scroll(1)", "Down", show=False),
        Binding("up", "scroll(-1)", "Up", show=False),
    ]
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (110, "-wide")]  # noqa: RUF012
    ABOUT = (
        "One step a page. Every reading but the measured volume or mass may be left out; each "
        "one more makes the balance surer. In a hurry, go straight to the measuring. A reading "
        "far from what is usual is asked about once, and kept if you press Enter again. Leave at "
        "any step: the board comes back to it. Arrows move a long page."
    )
    SIGNS = (
        ("●", "Read, and counted in the balance."),
        ("○", "Passed; nothing of it is counted."),
        ("◆", "The step you are at."),
        ("·", "Still ahead."),
        ("±", "The true figure lies so near about two times in three."),
        ("≈", "Not measured, but estimated from what is usual."),
        ("?", "A reading far from what is usual."),
    )

    def __init__(self, code: str) -> None:
        super().__init__()
        self._code = code
        self._asked: dict[Measure, str] = {}
        self._doubted = ""
        self._early: list[events.Key] | None = None
        """What is typed while a page gives way to the next, which gets it; else None."""
        self._left: Widget | None = None
        """The field that was left meanwhile."""

    def body(self) -> ComposeResult:
        """Yield the path, the page and the balance."""
        yield StepPath(id="path")
        with Container(classes="walk"):
            yield VerticalScroll(id="page", can_focus=False)
            yield BalanceTable(id="balance")

    async def on_mount(self) -> None:
        """Come back to where the straining was left."""
        jar = views.jar(self.desk, self._code)
        if jar.state not in _STRAINED:
            self.board.tell(str(WrongState(jar.code, jar.state.value, "strained")), "error")
            self.dismiss()
            return
        self._draft = StrainDraft.resumed(self.desk, jar)
        await self._show_page()

    def reload(self) -> None:
        """Take in what was changed elsewhere."""
        if self.query(StepPage):
            self._draft.jar = views.jar(self.desk, self._code)
            self._work_out()

    def answers(self) -> tuple[Why, ...]:
        """Return where what is expected here comes from, and each figure of jar and balance."""
        from steepboard.services import why
        from steepboard.services.why_expected import of_expected

        jar, read = self._draft.jar_by(self._draft.separation), self._draft.readings(self.now())
        asked = self.query_one(StepPage).fields
        return (*of_expected(self.desk, jar, asked, read), *why.of_jar(self.desk, jar, read))

    def on_amount_input_changed(self) -> None:
        """Note what is typed, and work it out."""
        self._note(self.query_one(StepPage))
        self._work_out()

    def on_choice_changed(self, event: Choice.Changed) -> None:
        """Note the way of straining, and work it out."""
        self._draft.choose(event.choice.value)
        self._work_out()

    async def on_form_finished(self) -> None:
        """Go on: Enter was pressed on the last field. Where one stays, the rest is not typed on."""
        at = self._draft.at
        await self._finish()
        if self._draft.at == at:
            self._early = None
            if self.focused is None:
                self.set_focus(self._left)

    def on_key(self, event: events.Key) -> None:
        """Keep what is typed for the page that comes."""
        if self._comes_early(event.key, event.character):
            event.stop()

    async def action_keep(self) -> None:
        """Keep what was typed and go on, or say in place why not."""
        if not self._comes_early("enter"):
            await self._finish()

    async def _finish(self) -> None:
        page, step = self.query_one(StepPage), self._draft.step
        self._note(page)  # the last letter may be on its way
        if refused := page.refused:
            refused[0].take_focus()
        elif self._asks_once(page):
            page.doubt(self._asked.values(), ask=True)
        elif page.fills and page.fills.value:
            if self._fill(page, page.fills.value):
                await self._turn(1)
        elif step.key in ("measure", "bottle") and not self._draft.is_measured(self.now()):
            await self._ask_for_measure()
        elif step.key == "label":
            self.dismiss()
        elif self._keep(step.key):
            await self._turn(1)

    async def action_step(self, by: int) -> None:
        """Go a step on or back."""
        if not self._comes_early("pagedown" if by > 0 else "pageup"):
            await self._turn(by)

    async def _turn(self, by: int) -> None:
        await self._go(max(0, min(len(STEPS) - 1, self._draft.at + by)))

    async def action_measure(self) -> None:
        """Go straight to the one reading that is needed."""
        if not self._comes_early("ctrl+r"):
            await self._go(KEYS.index("measure"))

    def action_labels(self) -> None:
        """Print the labels of what this jar was filled into."""
        from steepboard.tui.screens import bottle_prints

        if bottle_shelf.standing_of(self.desk, self._draft.jar):
            self.board.ask(bottle_prints.labels_of(self.board, self._code))
        else:
            self.board.tell("Nothing of this jar stands in bottles here. Fill some first.")

    def action_scroll(self, by: int) -> None:
        """Move a page that is longer than the screen and has no answers."""
        self.query_one("#page", VerticalScroll).scroll_relative(y=by, animate=False)

    def action_leave(self) -> None:
        """Leave, and keep where."""
        if not self._comes_early("escape"):
            self._save()
            self.dismiss()

    async def _go(self, at: int) -> None:
        if at != self._draft.at:
            self._draft.at = at
            self._save()
            await self._show_page()

    async def _ask_for_measure(self) -> None:
        await self._go(KEYS.index("measure"))
        self._early = None
        field = self.query_one(StepPage).fields[Measure.RECOVERED]
        field.refuse(_NEEDED)
        field.take_focus()

    def _asks_once(self, page: StepPage) -> bool:
        """Whether a reading is far off that nobody was asked about before."""
        doubts = self._draft.doubts(page.measures, self.now())
        new = any(self._asked.get(measure) != doubt for measure, doubt in doubts.items())
        self._asked = doubts
        return new

    def _fill(self, page: StepPage, fills: tuple[Fill, ...]) -> bool:
        """Keep what was read and fill the bottles; returns whether that went well."""
        typed = self._draft.typed.get(FILLS, "")
        if not self._keep(FILLS):
            return False
        try:
            sure = typed == self._doubted
            made = bottling.fill(self.desk, self._code, fills, self.now(), sure=sure)
        except Doubtful as fault:
            self._doubted = typed
            page.doubt(fault.doubts, ask=True)
            return False
        except SteepboardError as fault:
            self.board.tell(str(fault), "error")
            return False
        self._draft.typed.pop(FILLS, None)
        self.board.look_again()
        self.board.tell(f"Filled: {', '.join(one.code for one in made.bottles)}.")
        return True

    def _keep(self, step: str) -> bool:
        """Write down what is new with this step; returns whether that went well."""
        jar, readings = self._draft.jar, self._draft.readings(self.now())
        starts = jar.state is State.STEEPING
        bottled = step == "bottle" and jar.state is not State.BOTTLED
        if (starts and step == "ready") or not (starts or readings or bottled):
            return True
        made = self.board.done(
            lambda: acts.strain(
                self.desk,
                self._code,
                readings,
                self.now(),
                separation=self._draft.separation,
                bottled=bottled,
            )
        )
        if made is None:
            return False
        self._draft.jar = made
        return True

    def _note(self, page: StepPage) -> None:
        """Note what stands in the fields of a page."""
        for measure, field in page.fields.items():
            self._draft.typed[measure.value] = field.typed
        if page.fills:
            self._draft.typed[FILLS] = page.fills.typed

    def _save(self) -> None:
        try:
            self._draft.leave()
        except SteepboardError as fault:
            self.board.tell(str(fault), "error")

    async def _show_page(self) -> None:
        draft = self._draft
        asks_way = draft.step.key == "ready" and draft.jar.state is State.STEEPING
        page = StepPage(
            draft.step,
            say("$code  $name", code=draft.jar.code, name=draft.jar.name),
            draft.typed,
            draft.separation.value if asks_way else None,
            self._wait,
        )
        if self._early is None:
            self._wait()
        holder = self.query_one("#page", VerticalScroll)
        await holder.remove_children()
        await holder.mount(page)
        self._work_out()
        # once the board and this screen have taken in what was typed meanwhile
        self.app.call_later(self.call_later, self._begin, page)

    def _wait(self) -> None:
        """Take the keys from the page from now on."""
        self._left, self._early = self.focused, []
        self.set_focus(None)

    def _comes_early(self, key: str, character: str | None = None) -> bool:
        """Whether a page gives way to the next now, which then gets this key."""
        if self._early is None:
            return False
        self._early.append(events.Key(key, character))
        return True

    def _begin(self, page: StepPage) -> None:
        """Begin a page, with what was typed before it stood."""
        early, self._early = self._early, None
        page.start()
        for key in early or ():
            self.app.post_message(key)

    def _work_out(self) -> None:
        page = self.query_one(StepPage)
        balance = None
        try:
            balance = self._draft.balance(self.now())
            self._tell_page(page, balance)
        except SteepboardError as fault:
            page.words(plain(f"! {fault}"))
        table = self.query_one(BalanceTable)
        table.show(balance, bar=self.has_class("-wide"))
        table.display = balance is not None and self._draft.step.key != "label"
        self.query_one(StepPath).show(self._draft.standings(self.now()))

    def _tell_page(self, page: StepPage, balance: Balance | None) -> None:
        draft, step, now = self._draft, self._draft.step.key, self.now()
        jar = draft.jar_by(draft.separation)
        expected = beside(draft.likely(now))
        text = expect_text(expected, page.fields)
        page.expect(day_text(self.desk, jar, now) if step == "ready" else text, expected)
        if step == "ready":
            page.words(mind_text(self.desk, jar))
        page.doubt(draft.doubts(page.measures, now).values())
        if step == "review":
            page.words(review_text(balance, draft.result(balance, now)))
        elif step == "label":
            page.words(label_text(self.desk, draft.jar, now))
        elif step == "bottle":
            fills = page.fills.value if page.fills else None
            page.words(bottle_text(self.desk, draft.jar, balance, fills))
