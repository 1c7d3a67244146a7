"""The bench trial: step a tincture up in a sample until it is right, then scale it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from steepboard.cli.bench_words import bracket_line, drawn_line, step_rows, trial_json, trial_line
from steepboard.cli.formulas import DRAW_HELP, TAKE_HELP, tell_blend
from steepboard.cli.keeping import say_kept
from steepboard.cli.params import STRENGTH, VOLUME, VOLUME_READ, taken
from steepboard.cli.place import Place
from steepboard.cli.render import json_option, say, say_findings, say_json, say_table
from steepboard.cli.why import say_why, why_json, why_option
from steepboard.domain.base import Base
from steepboard.domain.bench import Verdict
from steepboard.domain.readings import Measured

if TYPE_CHECKING:
    from steepboard.amounts import Amount
    from steepboard.services.bench import TrialView
    from steepboard.services.desk import Desk
    from steepboard.services.formulas import Blend

_NONE = "No trial is open. Begin one with `steepboard bench start`."
_VERDICTS = {"little": Verdict.LITTLE, "right": Verdict.RIGHT, "much": Verdict.MUCH}
_verdict = click.Choice(tuple(_VERDICTS))
_trial_option = click.option("--trial", default="", metavar="CODE", help="Else the last begun.")
_code_argument = click.argument("code", default="")


@click.group(invoke_without_command=True)
@json_option
@click.pass_context
def bench(ctx: click.Context, as_json: bool) -> None:
    """Step a tincture up in a sample until it is right, scale it.

    Without a command the open trials are shown.

    Example: steepboard bench add "2 drops" little
    """
    if ctx.invoked_subcommand is not None:
        return
    from steepboard.services import bench as trials

    place: Place = ctx.obj
    with place.desk() as desk:
        found = trials.views(desk, place.now)
        if as_json:
            say_json([trial_json(one) for one in found])
            return
        for one in found:
            _say(desk, one)
    if not found:
        say(_NONE)


@bench.command()
@click.argument("code")
@click.argument("sample", type=VOLUME)
@click.option("--base", required=True, help="What the sample is of.")
@click.option("--strength", type=STRENGTH, required=True, help="Of the base.")
@click.option("--sugar", default=0.0, metavar="G/L", help="In a litre of the base.")
@click.option("--dropper", default="", help="Else the house's that fits best, or a usual drop.")
@click.option("--thinned", default=1.0, metavar="PARTS", help="One part of tincture in so many.")
@click.option("--sip", type=VOLUME_READ, help="What each tasting takes out of the sample.")
@json_option
@click.pass_obj
def start(
    place: Place,
    code: str,
    sample: Amount,
    base: str,
    strength: Amount,
    sugar: float,
    dropper: str,
    thinned: float,
    sip: Amount | None,
    as_json: bool,
) -> None:
    """Begin a trial of a bottle in a measured sample of a base.

    Example: steepboard bench start CARA-01-A 100ml --base "platform sour" --strength 28%
    """
    from steepboard.services import bench as trials

    measured = Measured(sample.value, sample.resolution)
    with place.desk() as desk:
        made = trials.start(
            desk,
            code,
            Base(taken(base), sample.value, strength.value, sugar),
            place.now,
            sample_u_ml=measured.u,
            dropper=dropper,
            thinned=thinned,
            sip_ml=sip.value if sip else 0.0,
        )
        _tell(desk, made, as_json=as_json)


@bench.command()
@click.argument("amount")
@click.argument("verdict", type=_verdict, required=False)
@click.argument("remark", nargs=-1)
@_trial_option
@json_option
@click.pass_obj
def add(
    place: Place,
    amount: str,
    verdict: str | None,
    remark: tuple[str, ...],
    trial: str,
    as_json: bool,
) -> None:
    """Write down what was added, in drops or mL, and how it tastes.

    Without a verdict it waits for `steepboard bench taste`.

    Example: steepboard bench add "2 drops" little still thin
    """
    from steepboard.services import bench as trials

    with place.desk() as desk:
        if verdict is None:
            made = trials.put_in(desk, trial, amount, place.now)
        else:
            words = " ".join(remark)
            made = trials.add(desk, trial, amount, _VERDICTS[verdict], place.now, remark=words)
        _tell(desk, made, as_json=as_json)


@bench.command()
@click.argument("verdict", type=_verdict)
@click.argument("remark", nargs=-1)
@_trial_option
@json_option
@click.pass_obj
def taste(place: Place, verdict: str, remark: tuple[str, ...], trial: str, as_json: bool) -> None:
    """Say how it tastes with what was added since, here or on the board.

    Example: steepboard bench taste right round now
    """
    from steepboard.services import bench as trials

    with place.desk() as desk:
        words = " ".join(remark)
        made = trials.add(desk, trial, None, _VERDICTS[verdict], place.now, remark=words)
        _tell(desk, made, as_json=as_json)


@bench.command()
@click.argument("step", type=int)
@click.argument("verdict", type=_verdict)
@click.argument("remark", nargs=-1)
@_trial_option
@json_option
@click.pass_obj
def again(
    place: Place, step: int, verdict: str, remark: tuple[str, ...], trial: str, as_json: bool
) -> None:
    """Write down how a step tastes the next day; that counts.

    Example: steepboard bench again 4 much it grew overnight
    """
    from steepboard.services import bench as trials

    with place.desk() as desk:
        words = " ".join(remark)
        made = trials.taste_again(desk, trial, step, _VERDICTS[verdict], place.now, remark=words)
        _tell(desk, made, as_json=as_json)


@bench.command()
@_code_argument
@why_option
@json_option
@click.pass_obj
def show(place: Place, code: str, why: bool, as_json: bool) -> None:
    """Show a trial, an ended one too; else the last begun.

    Example: steepboard bench show BENCH-01
    """
    from steepboard.services import bench as trials
    from steepboard.services import why_bench

    with place.desk() as desk:
        view = trials.view(desk, code, place.now)
        answers = why_bench.of_trial(view) if why else ()
        if as_json:
            say_json(trial_json(view) | why_json(answers))
            return
        _say(desk, view)
    say_why(answers)


@bench.command()
@click.argument("amount", type=VOLUME)
@click.option("--trial", "trials", multiple=True, metavar="CODE", help="Several for one blend.")
@click.option("--take", multiple=True, metavar="CODE", help=TAKE_HELP)
@click.option("--draw", type=click.IntRange(1, 100), metavar="PERCENT", help=DRAW_HELP)
@click.option("--anew", is_flag=True, help="Make it once more, though some was drawn.")
@why_option
@json_option
@click.pass_obj
def scale(
    place: Place,
    amount: Amount,
    trials: tuple[str, ...],
    take: tuple[str, ...],
    draw: int | None,
    anew: bool,
    why: bool,
    as_json: bool,
) -> None:
    """Say what a whole blend takes, and draw it from stock.

    80 % go in first, the rest bit by bit, tasted after each. What was drawn for as much of the
    same base before counts: `--draw` draws so much more, until all is in.

    Example: steepboard bench scale 4.5L --draw 80
    """
    from steepboard.services import formulas

    with place.desk() as desk:

        def make(*, anew: bool) -> Blend:
            return formulas.from_trials(desk, trials, amount.value, place.now, take, anew=anew)

        tell_blend(desk, make, place.now, draw, anew=anew, why=why, as_json=as_json)


@bench.command()
@_code_argument
@json_option
@click.pass_obj
def end(place: Place, code: str, as_json: bool) -> None:
    """Say that a trial is done; else the last begun.

    What its drops took is drawn from the bottle for tasting. What it found can still be scaled
    and kept.

    Example: steepboard bench end BENCH-01
    """
    from steepboard.services import bench as trials

    with place.desk() as desk:
        made = trials.end(desk, code, place.now)
        if as_json:
            drawn_ml = made.drawn.volume.value if made.drawn else 0.0
            say_json({**trial_json(made.view), "drawn_ml": drawn_ml})
            return
        _say(desk, made.view)
        say(drawn_line(made))


@bench.command()
@_code_argument
@json_option
@click.pass_obj
def undo(place: Place, code: str, as_json: bool) -> None:
    """Take back what was said last of a trial, or of any.

    An end is taken back with what was drawn for it.

    Example: steepboard bench undo BENCH-01
    """
    from steepboard.services import undo_words, undoing

    with place.desk() as desk:
        last = undoing.undo_trial(desk, code, place.now)
        what = undo_words.what(desk, last)
    say_kept(last.code, "taken back", what, as_json=as_json)


def _tell(desk: Desk, view: TrialView, *, as_json: bool) -> None:
    if as_json:
        say_json(trial_json(view))
        return
    _say(desk, view)


def _say(desk: Desk, view: TrialView) -> None:
    say(trial_line(view))
    size = view.trial.portion
    say(f"A {size.tool.value} is {size.each_ml:.3g} mL ({size.source}).")
    say_table(step_rows(desk, view))
    if line := bracket_line(view.bracket):
        say(line)
    say_findings(view.findings)
    say(f"Next: {view.next_step}")
