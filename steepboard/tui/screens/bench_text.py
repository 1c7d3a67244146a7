"""What the bench says of a trial."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from steepboard.domain.bench import MOST_STEPS, Verdict
from steepboard.domain.figures import percent, short
from steepboard.text import visible
from steepboard.tui import words
from steepboard.tui.safe import plain
from steepboard.tui.telling import finding_lines, parts

if TYPE_CHECKING:
    from datetime import tzinfo

    from steepboard.domain.base import Base
    from steepboard.domain.bench import Bracket, Step
    from steepboard.services.bench import TrialView

_BEGIN = (
    "n begins one: which bottle, and a measured sample of what it is to go into, say 100 mL of a "
    "bitter. Set an untouched glass of the same beside it, and have your dropper ready."
)
EMPTY = (
    "No trial is open.",
    _BEGIN,
)
"""What an empty bench says, part by part."""
FIGURES = {
    "added": "added, not tasted",
    "so-far": "drops in all",
    "level": "mL to a litre",
    "steps-left": "steps left now",
}
"""The big figures and what they are."""
_UNTOUCHED = "Taste it beside the untouched glass."
_SIGNS = {Verdict.LITTLE: ("▿", "$accent"), Verdict.RIGHT: ("●", "$success bold"),
          Verdict.MUCH: ("▵", "$error")}  # fmt: skip


def base(one: Base) -> str:
    """Return a liquid by what was told of it."""
    sugar = f", {one.sugar_g_l:g} g/L sugar" if one.sugar_g_l else ""
    return f"{short(one.volume_ml)} mL of {one.name} ({percent(one.strength)}{sugar})"


def trial(view: TrialView, count: int) -> Content:
    """Return what a trial is."""
    one = view.trial
    thinned = f", thinned to one part in {one.thinned:g}" if one.thinned > 1.0 else ""
    others = f"   one of {count}, ← →" if count > 1 else ""
    ended = "   ended" if one.ended else ""
    return Content.assemble(
        (visible(one.code), "$primary b"), "  ", (visible(one.of), "b"),
        plain(f" from {one.bottle}{thinned}"),
        Content.styled(f"{ended}{others}", "$faint"),
        "\n",
        plain(f"in {base(one.base)}"),
    )  # fmt: skip


def figures(view: TrialView) -> dict[str, str]:
    """Return the big figures, those of what is not tasted yet included."""
    one = view.trial
    added = one.untasted_ml
    so_far = (view.added_ml + added) / one.portion.each_ml
    return {
        "added": f"+{added / one.portion.each_ml:.3g}",
        "so-far": f"{so_far:.3g}",
        "level": f"{view.now_ml_l:.3g}",
        "steps-left": f"{max(0, MOST_STEPS - view.steps_in_sitting)}",
    }


def what_next(view: TrialView) -> Content:
    """Return what to do next."""
    one = view.trial
    remark = f" Remark: {one.remark}." if one.remark else ""
    if not one.untasted:
        return plain(f"{view.next_step}{remark}")
    return plain(f"{_UNTOUCHED} Then 1 too little, 2 right, 3 too much.{remark}")


def steps(view: TrialView, zone: tzinfo) -> Content:
    """Return the bracket, what was found, and the steps, the last one first."""
    wide = max((len(visible(step.typed)) for step in view.trial.steps), default=0)
    told = [
        _step(step, level, zone, max(wide, 10))
        for step, level in zip(view.trial.steps, view.levels_ml_l, strict=True)
    ]
    size = view.trial.portion
    drop = f"A {size.tool.value} is {size.each_ml:.3g} mL ({size.source})."
    return parts(
        bracket(view.bracket),
        finding_lines(view.findings),
        Content("\n").join(reversed(told)),
        Content.styled(visible(drop), "$faint"),
    )


def bracket(found: Bracket) -> Content:
    """Return between which levels it is right."""
    if found.mark_ml_l is None or found.mark_u_ml_l is None:
        low = f"over {found.low_ml_l:.3g} mL/L"
        return plain(f"Not found yet: {low}." if found.low_ml_l else "")
    under = "" if found.high_ml_l is None else f" and under {found.high_ml_l:.3g}"
    mark = f"{found.mark_ml_l:.3g} ± {found.mark_u_ml_l:.2g} mL"
    return Content.assemble(
        ("Right at ", ""), (mark, "$success bold"),
        f" to a litre of the base: over {found.low_ml_l:.3g}{under}.",
    )  # fmt: skip


def _step(step: Step, level: float, zone: tzinfo, wide: int) -> Content:
    sign, style = _SIGNS[step.counts]
    later = f"  later: {step.later.value}" if step.later else ""
    remark = ". ".join(filter(None, (step.remark, step.later_remark)))
    return Content.assemble(
        f"{step.number:>2}  ",
        (words.moment(step.at, zone), "$faint"),
        f"  +{visible(step.typed):<{wide}} {level:>6.3g} mL/L  ",
        (f"{sign} {step.verdict.value}{later}", style),
        f"  {visible(remark)}",
    )
