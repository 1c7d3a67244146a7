"""Trials, formulas and whole blends in words for people and in JSON for programs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.cli.dose_words import base_json
from steepboard.cli.minding import mind_json
from steepboard.cli.render import finding_rows, iso, word
from steepboard.domain.bench import together
from steepboard.domain.blending import FIRST, STAGES
from steepboard.domain.figures import amount, percent, short
from steepboard.services.bottle_words import left

if TYPE_CHECKING:
    from collections.abc import Iterator

    from steepboard.domain.base import Base
    from steepboard.domain.bench import Bracket, Step
    from steepboard.domain.blending import Formula, Made, Pour
    from steepboard.services.bench import Ended, TrialView
    from steepboard.services.desk import Desk
    from steepboard.services.formulas import Blend


def trial_line(view: TrialView) -> str:
    """Return what a trial is, in a line."""
    trial = view.trial
    thinned = f", thinned to one part in {trial.thinned:g}" if trial.thinned > 1.0 else ""
    ended = " Ended." if trial.ended else ""
    return f"{trial.code}: {trial.of} from {trial.bottle}{thinned}, in {_base(trial.base)}.{ended}"


def step_rows(desk: Desk, view: TrialView) -> Iterator[tuple[str, ...]]:
    """Return the steps of a trial, each with the level that was tasted."""
    for step, level in zip(view.trial.steps, view.levels_ml_l, strict=True):
        later = f"later {step.later.value}" if step.later else ""
        remarks = (step.remark, later, step.later_remark)
        at = step.at.astimezone(desk.zone)
        yield (
            f"{step.number}",
            f"{at:%Y-%m-%d %H:%M}",
            f"+ {step.typed}",
            f"{level:.3g} mL/L",
            step.verdict.value,
            "; ".join(filter(None, remarks)),
        )
    if view.trial.untasted:
        waiting = together(view.trial, view.trial.untasted)
        now = f"{view.now_ml_l:.3g} mL/L"
        yield ("", "", f"+ {waiting.typed}", now, "not tasted", view.trial.remark)


def drawn_line(made: Ended) -> str:
    """Return what was drawn for a trial that is ended."""
    trial, found = made.view.trial, made.view.bottle
    if made.drawn is None:
        return f"Nothing is drawn from {trial.bottle} for it."
    drawn = f"{amount(made.drawn.volume.value)} mL"
    return f"Drawn from {trial.bottle} for tasting: {drawn}. {found.code}: {left(found)}."


def bracket_line(found: Bracket) -> str:
    """Return between which levels it is right."""
    if found.mark_ml_l is None or found.mark_u_ml_l is None:
        return f"Not found yet: over {found.low_ml_l:.3g} mL/L." if found.low_ml_l else ""
    over = f"over {found.low_ml_l:.3g}" if found.low_ml_l else "over 0"
    under = "" if found.high_ml_l is None else f" and under {found.high_ml_l:.3g}"
    mark = f"{found.mark_ml_l:.3g} ± {found.mark_u_ml_l:.2g} mL to a litre of the base"
    return f"Right at {mark}, {over}{under}."


def blend_rows(blend: Blend) -> Iterator[tuple[str, str]]:
    """Return what goes into a blend, and what it is then."""
    made = blend.scaled
    yield ("base", _base(made.base))
    for pour in made.pours:
        yield from _pour_rows(pour)
    if made.reached and made.stage < len(STAGES):
        to = percent(STAGES[made.stage], 0)
        yield ("drawn", f"{percent(made.reached, 0)} of it; the next addition leads to {to}")
    elif made.reached:
        yield ("drawn", "all of it; --anew makes it once more")
    else:
        yield ("in this order", f"{percent(FIRST, 0)} of each; stir, rest a day, taste")
        yield ("", "then the small ones; taste after each, stop when it is right")
    yield ("after the first", _made(made.first))
    yield ("in the end", _made(made.whole))


def formula_rows(one: Formula) -> Iterator[tuple[str, str]]:
    """Return what a formula consists of."""
    yield ("base", _base(one.base))
    for part in one.ingredients:
        yield (part.of, f"{part.index_ml_l:.3g}, its mL to the litre times its intensity")
    if one.note:
        yield ("note", one.note)


def trial_json(view: TrialView) -> dict[str, object]:
    """Return a trial for programs."""
    trial, found = view.trial, view.bracket
    return {
        "code": trial.code,
        "of": trial.of,
        "bottle": trial.bottle,
        "base": base_json(trial.base),
        "begun_at": iso(trial.at),
        "ended": trial.ended,
        "dropper": trial.portion.name,
        "each_ml": trial.portion.each_ml,
        "each_ml_u": trial.portion.each_ml * trial.portion.u,
        "thinned": trial.thinned,
        "sip_ml": trial.sip_ml,
        "added_ml": view.added_ml,
        "untasted_ml": trial.untasted_ml,
        "untasted": together(trial, trial.untasted).typed,
        "level_now_ml_per_l": view.now_ml_l,
        "steps": [
            _step_json(step, level)
            for step, level in zip(trial.steps, view.levels_ml_l, strict=True)
        ],
        "low_ml_per_l": found.low_ml_l,
        "high_ml_per_l": found.high_ml_l,
        "mark_ml_per_l": found.mark_ml_l,
        "mark_ml_per_l_u": found.mark_u_ml_l,
        "findings": finding_rows(view.findings),
        "next": view.next_step,
    }


def blend_json(blend: Blend) -> dict[str, object]:
    """Return a whole blend for programs."""
    made = blend.scaled
    return {
        "name": blend.name,
        "note": blend.note,
        "base": base_json(made.base),
        "drawn_part": made.reached,
        "pours": [
            {
                "of": pour.share.of,
                "bottle": pour.share.bottle,
                "ml_per_l": pour.share.ml_per_l,
                "total_ml": pour.total_ml,
                "total_ml_u": pour.u_ml,
                "first_ml": pour.first_ml,
                "then_ml": list(pour.then_ml),
                "drawn_ml": pour.share.drawn_ml,
            }
            for pour in made.pours
        ],
        "first": _made_json(made.first),
        "whole": _made_json(made.whole),
        "allergens": list(blend.allergens),
        "cautions": [caution.code for caution in blend.cautions],
        "limits": mind_json((), blend.limits)["doses"],
        "findings": finding_rows(blend.findings),
    }


def formula_json(one: Formula) -> dict[str, object]:
    """Return a formula for programs."""
    return {
        "name": one.name,
        "base": base_json(one.base),
        "ingredients": [
            {"of": part.of, "index_ml_per_l": part.index_ml_l} for part in one.ingredients
        ],
        "note": one.note,
    }


def _step_json(step: Step, level_ml_l: float) -> dict[str, object]:
    return {
        "number": step.number,
        "at": iso(step.at),
        "added_ml": step.added.value,
        "typed": step.typed,
        "level_ml_per_l": level_ml_l,
        "verdict": word(step.verdict),
        "remark": step.remark,
        "later_verdict": word(step.later) if step.later else None,
        "later_remark": step.later_remark,
    }


def _base(base: Base) -> str:
    sugar = f", {base.sugar_g_l:g} g/L sugar" if base.sugar_g_l else ""
    return f"{short(base.volume_ml)} mL of {base.name} ({percent(base.strength)}{sugar})"


def _pour_rows(pour: Pour) -> Iterator[tuple[str, str]]:
    share, about = pour.share, f" ± {pour.u_ml:.2g}" if pour.u_ml else ""
    if pour.total_ml:
        amount = f"{pour.total_ml:.3g}{about} mL of {share.bottle}, {share.ml_per_l:.3g} mL/L"
        yield (share.of, amount)
        yield ("", _then(pour))
    else:
        yield (share.of, f"no more of {share.bottle}")
    if share.drawn_ml:
        yield ("", f"{share.drawn_ml:.3g} mL of it are drawn")


def _then(pour: Pour) -> str:
    first = [f"first {pour.first_ml:.3g} mL"] if pour.first_ml else []
    then = ", ".join(f"{ml:.2g} mL" for ml in pour.then_ml if ml)
    return ", ".join([*first, *([f"then {then}"] if then else [])])


def _made(made: Made) -> str:
    sugar = f"{made.sugar_g_l:.1f} g/L of the base's sugar"
    return (
        f"{made.volume_ml:.1f} mL of {percent(made.strength, 2)}, {sugar}, "
        f"{made.dissolved_g_l:.1f} g/L dissolved in all"
    )


def _made_json(made: Made) -> dict[str, object]:
    return {
        "volume_ml": made.volume_ml,
        "strength": made.strength,
        "sugar_g_per_l": made.sugar_g_l,
        "dissolved_g_per_l": made.dissolved_g_l,
    }
