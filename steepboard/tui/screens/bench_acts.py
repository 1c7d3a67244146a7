"""What is done at the bench: steps, verdicts, the next day's, and what they come to."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from steepboard import amounts
from steepboard.domain.bench import MOST_STEPS, Trial, Verdict
from steepboard.domain.readings import Measured
from steepboard.services import bench, bottle_shelf, droppers, formulas, house
from steepboard.text import clean
from steepboard.tui.answers import whole_up_to
from steepboard.tui.screens.ask import Confirm
from steepboard.tui.screens.ask_form import AskForm, Line, Pick
from steepboard.tui.screens.base_form import base_lines, read_base

if TYPE_CHECKING:
    from steepboard.services.bench import TrialView
    from steepboard.services.formulas import Blend
    from steepboard.tui.app import SteepBoard
    from steepboard.tui.screens.ask_form import Given

_VERDICTS = [(verdict.value, verdict.value) for verdict in Verdict]
_TIRED = (
    f"{MOST_STEPS} steps were tasted. A tired tongue errs: rest for an hour at least, with water "
    "and plain bread. The trial waits.\n\nWrite this step down all the same?"
)


@dataclass(frozen=True, slots=True)
class Pending:
    """What was added since the last verdict, and what is to be noted with the next."""

    drops: int = 0
    typed: str = ""
    """An amount that was typed instead of counted."""
    remark: str = ""

    @property
    def is_empty(self) -> bool:
        """Whether nothing was added."""
        return not (self.drops or self.typed)

    def more(self, count: int) -> Pending:
        """Return it with so many drops more, or fewer."""
        return replace(self, drops=max(0, self.drops + count), typed="")

    def told(self, trial: Trial) -> str:
        """Return it as it is written down: `2 drops`."""
        tool = trial.portion.tool.value
        many = tool + ("es" if tool.endswith("sh") else "s")
        return self.typed or f"{self.drops} {tool if self.drops == 1 else many}"

    def ml(self, trial: Trial) -> float:
        """Return how many mL that are."""
        return 0.0 if self.is_empty else bench.read_step(self.told(trial), trial).value


Take = Callable[[Pending], None]


async def start(board: SteepBoard, begun: Callable[[str], None]) -> None:
    """Ask for bottle, sample and dropper, and begin a trial."""
    standing = [one.code for one in bottle_shelf.bottles(board.desk)]
    own = [(one.name, one.name) for one in droppers.droppers(board.desk)]
    lines: tuple[Line | Pick, ...] = (
        Line("code", "Bottle", _code, hint="its code; what it holds is tried",
             needed="Say which bottle, by its code.", suggestions=standing),
        Line("base", "Sample of", _words, hint="say platform bitter", needed="Say what it is of."),
        *base_lines("Sample", needed=True),
        *([Pick("dropper", "Dropper", [("", "what fits best"), *own])] if own else []),
        Line("thinned", "Thinned", whole_up_to(1000), lambda n: f"one part in {n}",
             hint="1, as it is; 10 is one part in ten"),
        Line("sip", "Each sip", amounts.parse_volume, _echo, hint="what tasting takes; or nothing"),
    )  # fmt: skip

    def act(given: Given, _sure: bool) -> TrialView:
        volume, sip = given["volume"], given["sip"]
        return bench.start(
            board.desk, given["code"], read_base(given, given["base"]), board.now(),
            sample_u_ml=Measured(volume.value, volume.resolution).u,
            dropper=given.get("dropper") or "", thinned=float(given["thinned"] or 1),
            sip_ml=sip.value if sip else 0.0,
        )  # fmt: skip

    about = "Measure two samples: one to step up, one to stay untouched beside it."
    made = await board.push_screen_wait(AskForm("Begin a trial", about, lines, act))
    if made:
        board.look_again()
        begun(made.trial.code)


async def step(
    board: SteepBoard, view: TrialView, pending: Pending, verdict: Verdict, take: Take
) -> None:
    """Write a step down; once the tongue is tired, after asking."""
    trial, now = view.trial, board.now()
    if view.steps_in_sitting >= MOST_STEPS:
        if not await board.push_screen_wait(Confirm("Rest", _TIRED)):
            return
        now = board.now()
    told, remark = pending.told(trial), pending.remark
    if board.done(lambda: bench.add(board.desk, trial.code, told, verdict, now, remark=remark)):
        take(Pending())
        board.tell(f"{told} more: {verdict.value}. u takes it back.")


async def ask_amount(board: SteepBoard, view: TrialView, take: Take) -> None:
    """Ask what was added, where it is not counted drop by drop."""
    trial = view.trial

    def read(text: str) -> str:
        bench.read_step(text, trial)
        return clean(text, 40)

    def echo(text: str) -> str:
        return f"= {bench.read_step(text, trial).value:.3g} mL"

    line = Line("typed", "Added", read, echo, hint="say 0.5 mL or 5 drops",
                needed="Say it like 0.5 mL.")  # fmt: skip
    form = AskForm("What was added", "", (line,), lambda given, _: str(given["typed"]))
    if typed := await board.push_screen_wait(form):
        take(Pending(typed=typed))


async def ask_remark(board: SteepBoard, pending: Pending, take: Take) -> None:
    """Ask how it tastes."""
    line = Line("remark", "Remark", _words, hint="goes with the next verdict", typed=pending.remark)
    form = AskForm("How it tastes", "", (line,), lambda given, _: str(given["remark"] or ""))
    remark = await board.push_screen_wait(form)
    if remark is not None:
        take(replace(pending, remark=remark))


async def taste_again(board: SteepBoard, view: TrialView) -> None:
    """Ask how a step tastes the next day; it counts from then on."""
    trial = view.trial
    if not trial.steps:
        board.tell("Nothing was tasted yet.")
        return
    right = [one.number for one in trial.steps if one.counts is Verdict.RIGHT]
    lines = (
        Pick("verdict", "It is", _VERDICTS, value=Verdict.RIGHT.value),
        Line("number", "Step", whole_up_to(len(trial.steps)), lambda n: f"step {n}",
             typed=str(right[-1] if right else len(trial.steps)), needed="Say which step."),
        Line("remark", "Remark", _words, hint="may stay empty"),
    )  # fmt: skip

    def act(given: Given, _sure: bool) -> TrialView:
        verdict, remark = Verdict(given["verdict"]), given["remark"] or ""
        return bench.taste_again(
            board.desk, trial.code, given["number"], verdict, board.now(), remark=remark
        )

    about = "What is found later counts instead of what was found at once."
    if await board.push_screen_wait(AskForm("Tasted again", about, lines, act)):
        board.look_again()
        board.tell("The later verdict is kept.")


async def end(board: SteepBoard, view: TrialView) -> None:
    """Ask whether a trial is done."""
    code = view.trial.code
    question = f"Is {code} done? What it found can still be scaled; v shows it again."
    if not await board.push_screen_wait(Confirm("End", question)):
        return
    if board.done(lambda: bench.end(board.desk, code, board.now())):
        board.tell(f"{code} is ended.")


async def undo(board: SteepBoard, view: TrialView) -> None:
    """Ask, and take back what was said last of a trial."""
    code, count = view.trial.code, len(view.trial.steps)
    question = f"Take back what was written last of {code}? It has {count} steps."
    if not await board.push_screen_wait(Confirm("Undo", question)):
        return
    if board.done(lambda: house.undo(board.desk, "trial", code, board.now())):
        board.tell("Taken back.")


async def scale(board: SteepBoard, code: str, marked: list[str]) -> None:
    """Ask how much the whole is, and show what it takes; several trials make one blend."""
    others = [one for one in marked if one != code]
    lines: tuple[Line | Pick, ...] = (
        Line("volume", "The whole", amounts.parse_volume, _echo, hint="of the base, say 4.5 L",
             needed="Say how much of the base there is, like 4.5 L."),
        *([Pick("with", "With", [("", "this alone"), *((one, one) for one in others)])]
          if others else []),
    )  # fmt: skip

    def act(given: Given, _sure: bool) -> tuple[Blend, list[str]]:
        codes = [code, *filter(None, [given.get("with")])]
        blend = formulas.from_trials(board.desk, codes, given["volume"].value, board.now())
        return blend, codes

    about = "The base as it was in the sample. 80 % goes in first."
    if made := await board.push_screen_wait(AskForm(f"Scale {code} up", about, lines, act)):
        _open(board, *made)


async def make_formula(board: SteepBoard) -> None:
    """Ask which formula, and how much of it."""
    kept = formulas.formulas(board.desk)
    if not kept:
        board.tell("No formula is kept yet. Scale a trial up, then k keeps it.")
        return
    lines = (
        Pick("name", "Formula", [(one.name, one.name) for one in kept]),
        Line("volume", "The whole", amounts.parse_volume, _echo, hint="of the base, say 4.5 L",
             needed="Say how much of the base there is, like 4.5 L."),
    )  # fmt: skip

    def act(given: Given, _sure: bool) -> Blend:
        return formulas.from_formula(board.desk, given["name"], given["volume"].value)

    if made := await board.push_screen_wait(AskForm("Make a blend", "", lines, act)):
        _open(board, made)


def _open(board: SteepBoard, made: Blend, codes: Sequence[str] = ()) -> None:
    from steepboard.tui.screens.blend import BlendScreen

    board.push_screen(BlendScreen(made, codes))


def _words(text: str) -> str:
    return clean(text, 200)


def _code(text: str) -> str:
    return clean(text, 40).upper()


def _echo(amount: Any) -> str:
    return str(amount.echo)
