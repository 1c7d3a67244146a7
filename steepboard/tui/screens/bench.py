"""Bench: a trial as it is done, one hand on the keys, the other on the dropper."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Digits, Static

from steepboard.domain.bench import MOST_STEPS, Verdict
from steepboard.services import bench
from steepboard.tui.commands import bindings
from steepboard.tui.flow_commands import BENCH
from steepboard.tui.safe import plain
from steepboard.tui.screens import bench_acts, bench_text
from steepboard.tui.screens.base import BoardScreen
from steepboard.tui.telling import parts
from steepboard.tui.widgets.hanging import Hanging

if TYPE_CHECKING:
    from textual.app import ComposeResult

    from steepboard.domain.bench import Trial
    from steepboard.domain.why import Why
    from steepboard.services.bench import TrialView

_NEED_TRIAL = frozenset({"drop", "amount", "verdict", "remark", "again", "scale", "end", "undo"})
_NEED_OPEN = frozenset({"drop", "amount", "verdict", "remark", "again", "end"})


class BenchScreen(BoardScreen):
    """What was added in big figures, what to do next, and the steps so far."""

    PLACE = "Bench"
    COMMANDS_HERE = BENCH
    BINDINGS: ClassVar[list[BindingType]] = [
        *bindings(BENCH),
        Binding("up,plus", "drop(1)", "Drop", show=False),
        Binding("down,backspace", "drop(-1)", "Take out", show=False),
    ]
    ABOUT = (
        "A tincture is stepped up in a measured sample until it tastes right. For each drop that "
        "you add press Space; taste beside the untouched glass; then 1, 2 or 3 says how it is and "
        "writes the step down. Drops are kept as they fall: leave and come back as you like. No "
        "more than six steps a sitting. What is right today is tasted again tomorrow. Then s "
        "scales it up to the whole blend. x ends it, and draws from the bottle what was tasted."
    )
    SIGNS = (
        ("mL/L", "of the undiluted tincture to a litre of the base"),
        ("mark", "where to go: the least that was right, or the middle of the bracket"),
        ("later", "a later verdict, the next day's best; it counts instead of the first one"),
        ("±", "in two of three cases the true figure lies within it"),
    )

    def __init__(self) -> None:
        super().__init__()
        self._trials: tuple[TrialView, ...] = ()
        self._code = ""
        self._ended = False

    def body(self) -> ComposeResult:
        """Yield what the trial is, the big figures, what to do, and the steps."""
        yield Static(id="trial")
        with Horizontal(id="figures"):
            for name, label in bench_text.FIGURES.items():
                with Vertical(classes="figure"):
                    yield Digits(id=name)
                    yield Static(label)
        yield Static(id="next")
        with VerticalScroll(id="trial-page", can_focus=False):
            yield Static(id="trial-steps")

    def reload(self) -> None:
        """Show the trial as the record has it now."""
        found = bench.views(self.desk, self.now(), ended=True)
        self._trials = tuple(one for one in found if self._is_shown(one.trial))
        codes = [one.trial.code for one in self._trials]
        if self._code not in codes:
            self._code = (codes or [""])[0]
        self._show()

    def answers(self) -> tuple[Why, ...]:
        """Return where the figures of the trial come from, what is not tasted yet included."""
        from steepboard.services import why_bench

        view = self.chosen()
        return () if view is None else why_bench.of_trial(view)

    def chosen(self) -> TrialView | None:
        """Return the trial that is shown, or None where there is none."""
        return next((one for one in self._trials if one.trial.code == self._code), None)

    def check_action(self, action: str, _parameters: tuple[object, ...]) -> bool:
        """Offer only what fits the trial."""
        view = self.chosen()
        if action in _NEED_TRIAL and view is None:
            return False
        if action in _NEED_OPEN and view and view.trial.ended:
            return False
        return action != "other" or len(self._trials) > 1

    def action_drop(self, count: int) -> None:
        """Write down a drop that was added, or take the last addition back."""
        if view := self.chosen():
            bench_acts.drop(self.board, view, count)

    def action_amount(self) -> None:
        """Type what was added, in mL or drops."""
        if view := self.chosen():
            self.board.ask(bench_acts.ask_amount(self.board, view))

    def action_remark(self) -> None:
        """Note how it tastes, to go with the next verdict."""
        if view := self.chosen():
            self.board.ask(bench_acts.ask_remark(self.board, view))

    def action_verdict(self, verdict: str) -> None:
        """Write the step down with how it tastes."""
        view = self.chosen()
        if view is None:
            return
        if not view.trial.untasted:
            self.board.tell("Add something first: Space for each drop.")
            return
        self.board.ask(bench_acts.step(self.board, view, Verdict(verdict)))

    def action_again(self) -> None:
        """Write down how a step tastes later."""
        if view := self.chosen():
            self.board.ask(bench_acts.taste_again(self.board, view))

    def action_scale(self) -> None:
        """Scale it up to the whole."""
        codes = [one.trial.code for one in self._trials if one.bracket.mark_ml_l is not None]
        if (view := self.chosen()) and self._code not in codes:
            self.board.tell(bench.no_level(view))
            return
        self.board.ask(bench_acts.scale(self.board, self._code, codes))

    def action_formula(self) -> None:
        """Make a blend that was kept."""
        self.board.ask(bench_acts.make_formula(self.board))

    def action_new_trial(self) -> None:
        """Begin a trial."""
        self.board.ask(bench_acts.start(self.board, self._begun))

    def action_end(self) -> None:
        """Say that it is done."""
        if view := self.chosen():
            self.board.ask(bench_acts.end(self.board, view))

    def action_undo(self) -> None:
        """Take back what was said last of it."""
        if view := self.chosen():
            self.board.ask(bench_acts.undo(self.board, view))

    def action_other(self, by: int) -> None:
        """Show another trial."""
        codes = [one.trial.code for one in self._trials]
        self._begun(codes[(codes.index(self._code) + by) % len(codes)])

    def action_ended(self) -> None:
        """Show ended trials too, or no longer."""
        self._ended = not self._ended
        if (view := self.chosen()) and view.trial.ended and not self._ended:
            self._code = ""
        self.reload_or_tell()

    def _is_shown(self, trial: Trial) -> bool:
        """Say whether a trial is among those shown: one that was just ended stays in sight."""
        return self._ended or not trial.ended or trial.code == self._code

    def _begun(self, code: str) -> None:
        self._code = code
        self.reload_or_tell()

    def _show(self) -> None:
        self.refresh_bindings()
        view = self.chosen()
        for part in ("#figures", "#next", "#trial-page"):
            self.query_one(part).display = view is not None
        empty = parts(*map(plain, bench_text.EMPTY))
        told = bench_text.trial(view, len(self._trials)) if view else empty
        self.query_one("#trial", Static).update(told)
        if view is None:
            return
        for name, figure in bench_text.figures(view).items():
            self.query_one(f"#{name}", Digits).update(figure)
        tired = view.steps_in_sitting >= MOST_STEPS
        self.query_one("#next", Static).update(bench_text.what_next(view))
        self.query_one("#next").set_class(tired, "-tired")
        steps = Hanging(bench_text.steps(view, self.desk.zone))
        self.query_one("#trial-steps", Static).update(steps)
