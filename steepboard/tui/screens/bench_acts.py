"""What is done at the bench: steps, verdicts, the next day's, and what they come to."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from steepboard import amounts
from steepboard.domain.bench import MOST_STEPS, Verdict
from steepboard.domain.readings import Measured
from steepboard.services import bench, bottle_shelf, droppers, formulas, undo_words, undoing
from steepboard.text import clean
from steepboard.tui.answers import whole_up_to
from steepboard.tui.screens.ask import Confirm
from steepboard.tui.screens.ask_form import AskForm, Line, Pick
from steepboard.tui.screens.base_form import base_lines, read_base
from steepboard.tui.screens.blend import BlendScreen

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


def drop(board: SteepBoard, view: TrialView, count: int) -> None:
    """Write down drops that went in, or for a count below nothing take back what went in last."""
    trial = view.trial
    if count > 0:
        told = trial.portion.words(count)
        board.done(lambda: bench.put_in(board.desk, trial.code, told, board.now()))
    elif trial.untasted:
        board.done(lambda: bench.take_out(board.desk, trial.code, board.now()))
    elif trial.steps:
        board.tell("All that went in is tasted: u takes back the last step.")
    else:
        board.tell("Nothing went in yet.")


async def step(board: SteepBoard, view: TrialView, verdict: Verdict) -> None:
    """Write a step down; once the tongue is tired, after asking."""
    trial, now = view.trial, board.now()
    if view.steps_in_sitting >= MOST_STEPS:
        if not await board.push_screen_wait(Confirm("Rest", _TIRED)):
            return
        now = board.now()
    if made := board.done(lambda: bench.add(board.desk, trial.code, None, verdict, now)):
        told = made.trial.steps[-1].typed
        board.tell(f"{told} more: {verdict.value}. u takes it back.")


async def ask_amount(board: SteepBoard, view: TrialView) -> None:
    """Ask what was added, where it is not counted drop by drop."""
    trial = view.trial

    def read(text: str) -> str:
        bench.read_step(text, trial)
        return clean(text, 40)

    def echo(text: str) -> str:
        return f"= {bench.read_step(text, trial).value:.3g} mL"

    line = Line("typed", "Added", read, echo, hint="say 0.5 mL or 5 drops",
                needed="Say it like 0.5 mL.")  # fmt: skip

    def act(given: Given, _sure: bool) -> TrialView:
        return bench.put_in(board.desk, trial.code, given["typed"], board.now())

    if await board.push_screen_wait(AskForm("What was added", "", (line,), act)):
        board.look_again()


async def ask_remark(board: SteepBoard, view: TrialView) -> None:
    """Ask how it tastes."""
    code, before = view.trial.code, view.trial.remark
    line = Line("remark", "Remark", _words, hint="goes with the next verdict", typed=before)

    def act(given: Given, _sure: bool) -> TrialView:
        return bench.remark(board.desk, code, given["remark"] or "", board.now())

    if await board.push_screen_wait(AskForm("How it tastes", "", (line,), act)):
        board.look_again()


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
    question = (
        f"Is {code} done? What it found can still be scaled; v shows ended trials.\n\n"
        f"What its drops took is drawn from {view.trial.bottle} for tasting."
    )
    if not await board.push_screen_wait(Confirm("End", question)):
        return
    if made := board.done(lambda: bench.end(board.desk, code, board.now())):
        told = f"{code} is ended"
        if made.drawn:
            told += f": {made.drawn.volume.value:.3g} mL are drawn from {view.trial.bottle}"
        board.tell(f"{told}; u takes it back.")


async def undo(board: SteepBoard, view: TrialView) -> None:
    """Ask, and take back what was said last of a trial."""
    code = view.trial.code
    last = undoing.last_of_trial(board.desk, code)
    if last is None:
        board.tell("There is nothing left to take back.")
        return
    told = undo_words.what(board.desk, last)
    question = f"Take this back?\n\n{told[0].upper()}{told[1:]}."
    if not await board.push_screen_wait(Confirm("Undo", question)):
        return
    if board.done(lambda: undoing.undo_trial(board.desk, code, board.now())):
        board.tell(f"Taken back: {told}.")


async def scale(board: SteepBoard, code: str, marked: list[str]) -> None:
    """Ask how much the whole is, and show what it takes; several trials make one blend."""
    others = [one for one in marked if one != code]
    lines: tuple[Line | Pick, ...] = (
        Line("volume", "The whole", amounts.parse_volume, _echo, hint="of the base, say 4.5 L",
             typed=formulas.last_whole(board.desk, code),
             needed="Say how much of the base there is, like 4.5 L."),
        *([Pick("with", "With", [("", "this alone"), *((one, one) for one in others)])]
          if others else []),
    )  # fmt: skip

    def act(given: Given, _sure: bool) -> BlendScreen:
        codes, whole_ml = [code, *filter(None, [given.get("with")])], given["volume"].value

        def make(anew: bool) -> Blend:
            return formulas.from_trials(board.desk, codes, whole_ml, board.now(), anew=anew)

        return BlendScreen(make, codes)

    about = "The base as it was in the sample. 80 % goes in first."
    if made := await board.push_screen_wait(AskForm(f"Scale {code} up", about, lines, act)):
        board.push_screen(made)


async def make_formula(board: SteepBoard) -> None:
    """Ask which formula, and how much of it."""
    kept = formulas.formulas(board.desk)
    if not kept:
        board.tell("No formula is kept yet. Scale a trial up, then k keeps it.")
        return
    standing = [one.code for one in bottle_shelf.bottles(board.desk)]
    lines = (
        Pick("name", "Formula", [(one.name, one.name) for one in kept]),
        Line("volume", "The whole", amounts.parse_volume, _echo, hint="of the base, say 4.5 L",
             needed="Say how much of the base there is, like 4.5 L."),
        Line("take", "Out of", _codes, hint="bottles; else what fits", suggestions=standing),
    )  # fmt: skip

    def act(given: Given, _sure: bool) -> BlendScreen:
        name, whole_ml, take = given["name"], given["volume"].value, given["take"] or ()
        return BlendScreen(
            lambda anew: formulas.from_formula(board.desk, name, whole_ml, take, anew=anew)
        )

    if made := await board.push_screen_wait(AskForm("Make a blend", "", lines, act)):
        board.push_screen(made)


def _words(text: str) -> str:
    return clean(text, 200)


def _codes(text: str) -> tuple[str, ...]:
    return tuple(clean(text, 200).upper().replace(",", " ").split())


def _code(text: str) -> str:
    return clean(text, 40).upper()


def _echo(amount: Any) -> str:
    return str(amount.echo)
