"""Why the figures of a bench trial are what they are."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.domain.bench import MOST_STEPS, Verdict, added_u, together
from steepboard.domain.dosing import REPEAT
from steepboard.domain.figures import percent, short
from steepboard.domain.why import Input, Why
from steepboard.services.why_charge import GIVEN
from steepboard.services.why_findings import of_findings

if TYPE_CHECKING:
    from collections.abc import Iterator

    from steepboard.domain.base import Base
    from steepboard.domain.bench import Step
    from steepboard.domain.dosing import Portion
    from steepboard.services.bench import TrialView

_TASTED = "as it was tasted"
PER_LITRE = "the trade's way to write it: mL before they are together"


def of_trial(view: TrialView) -> tuple[Why, ...]:
    """Return the answers for a trial as it stands, what is not tasted yet included."""
    return (
        *_added(view),
        _steps_left(view),
        *_bracket(view),
        *(_step(view, at) for at in range(len(view.trial.steps))),
        sample(view.trial.base, "the sample"),
        drop(view.trial.portion),
        *of_findings(view.findings),
    )


def sample(base: Base, name: str) -> Why:
    """Return the answer for what a tincture goes into."""
    sugar = f", {base.sugar_g_l:g} g/L sugar" if base.sugar_g_l else ""
    told = f"{short(base.volume_ml)} mL of {base.name}, {percent(base.strength)}{sugar}"
    return Why(name, told, "As it was told.", GIVEN)


def drop(size: Portion) -> Why:
    """Return the answer for what a drop or a dash holds."""
    use = f"± {percent(REPEAT)} of it"
    again = "published: USP 32, chapter 1101: within 15 %, taken as spread evenly"
    return Why(
        f"a {size.tool.value}",
        f"{size.each_ml:.3g} mL ± {percent(size.u)}",
        f"What one {size.tool.value} holds of a liquid as strong as this.",
        size.source,
        (Input("from use to use", use, again),),
    )


def _added(view: TrialView) -> Iterator[Why]:
    """Yield the answers for what is in the sample now."""
    trial = view.trial
    steps = [_typed(step) for step in trial.steps]
    if trial.untasted:
        waiting = together(trial, trial.untasted).typed
        steps.append(Input("not tasted yet", waiting, GIVEN))
        yield Why(
            "added, not tasted",
            f"{waiting}, {trial.untasted_ml:.3g} mL",
            "What you counted or typed since the last verdict.",
            GIVEN,
            (_each(trial.portion),),
        )
    total_ml = view.added_ml + trial.untasted_ml
    yield Why(
        "drops in all",
        f"{total_ml / trial.portion.each_ml:.3g}",
        "All that was added, as it was added, divided by what one holds.",
        GIVEN,
        (*steps, _each(trial.portion)),
    )
    yield Why(
        "mL to a litre",
        f"{view.now_ml_l:.3g} mL/L",
        "All that was added, thinned or not, as mL of the tincture to a litre of the base. What "
        "tastings take away holds both alike.",
        PER_LITRE,
        (
            Input("added in all", f"{total_ml:.3g} mL", "see drops in all"),
            *_diluted(view),
        ),
    )


def _steps_left(view: TrialView) -> Why:
    return Why(
        "steps left now",
        f"{max(0, MOST_STEPS - view.steps_in_sitting)}",
        f"{MOST_STEPS} steps a sitting, less those tasted in this one; a pause of an hour begins "
        "another.",
        "common practice, no source; the hour is assumed",
        (Input("tasted in this sitting", f"{view.steps_in_sitting}", _TASTED),),
    )


def _diluted(view: TrialView) -> Iterator[Input]:
    trial = view.trial
    yield Input("the sample", f"{short(trial.base.volume_ml)} mL", GIVEN)
    if trial.thinned > 1.0:
        yield Input("thinned", f"one part in {trial.thinned:g}", GIVEN)
    if trial.sip_ml:
        yield Input("taken by each tasting", f"{short(trial.sip_ml)} mL", GIVEN)


def _bracket(view: TrialView) -> Iterator[Why]:
    """Yield the answers for where it is right, as far as that is found."""
    found, trial = view.bracket, view.trial
    littles, rights, muches = (_told(view, one) for one in Verdict)
    if found.low_ml_l:
        low = f"{found.low_ml_l:.3g} mL/L"
        yield Why("over", low, "The most that was too little.", _TASTED, littles)
    if found.high_ml_l is not None:
        high = f"{found.high_ml_l:.3g} mL/L"
        yield Why("under", high, "The least that was too much.", _TASTED, muches)
    if found.mark_ml_l is None or found.mark_u_ml_l is None:
        return
    yield Why(
        "right at",
        f"{found.mark_ml_l:.3g} mL/L",
        "The least that was right."
        if rights
        else "The middle between the most that was too little and the least that was too much.",
        _TASTED,
        rights or (*littles, *muches),
    )
    part = trial.sample_u_ml / trial.base.volume_ml
    yield Why(
        "± of right",
        f"± {found.mark_u_ml_l:.2g} mL/L",
        "How far from it the verdicts leave it, divided by the root of 3; and what was added and "
        "the sample, each by its ±; added in squares.",
        "published: JCGM 100:2008 (GUM), 5.1.2; a span spread evenly, 4.3.7",
        (
            Input("left by the verdicts", f"{found.half_ml_l:.3g} mL/L", "see over and under"),
            Input("what was added", f"± {percent(added_u(trial))}", trial.portion.source),
            Input("the sample", f"± {percent(part)}", "measured here, by its smallest step"),
        ),
    )


def _told(view: TrialView, verdict: Verdict) -> tuple[Input, ...]:
    """Return the steps of a verdict that counts, with the level of each."""
    return tuple(
        Input(f"step {step.number}", f"{level:.3g} mL/L", f"{_TASTED}: {verdict.value}")
        for step, level in zip(view.trial.steps, view.levels_ml_l, strict=True)
        if step.counts is verdict
    )


def _step(view: TrialView, at: int) -> Why:
    step = view.trial.steps[at]
    later = f", later {step.later.value}" if step.later else ""
    return Why(
        f"step {step.number}",
        f"{view.levels_ml_l[at]:.3g} mL/L, {step.verdict.value}{later}",
        "All that had been added by then, as mL of the tincture to a litre of the base.",
        _TASTED,
        (*map(_typed, view.trial.steps[: at + 1]), _each(view.trial.portion), *_diluted(view)),
    )


def _typed(step: Step) -> Input:
    return Input(f"step {step.number}", f"{step.typed}, {step.added.value:.3g} mL", GIVEN)


def _each(size: Portion) -> Input:
    return Input(f"a {size.tool.value}", f"{size.each_ml:.3g} mL", size.source)
