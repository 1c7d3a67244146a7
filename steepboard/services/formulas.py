"""Whole blends: scaled from trials or from a formula, matched to bottles, and drawn from stock."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING

from steepboard.domain import blending
from steepboard.domain.blending import Formula, Ingredient, Pour, Scaled
from steepboard.domain.bottles import Purpose
from steepboard.domain.dosing import Tool
from steepboard.domain.figures import percent
from steepboard.domain.findings import Finding, Severity
from steepboard.domain.readings import Measured
from steepboard.errors import AlreadyDrawn, NoAnswer, NotKept
from steepboard.services import bench, bottle_shelf, house, pouring
from steepboard.services.bottles import Drawn, standing, write_draw
from steepboard.services.cautions import own_cautions
from steepboard.services.droppers import portion
from steepboard.services.limited import limited
from steepboard.store import bottles as bottle_store
from steepboard.store import house as store
from steepboard.text import clean

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from steepboard.catalogue.records import Caution
    from steepboard.domain.base import Base
    from steepboard.domain.bottles import Bottle
    from steepboard.domain.limits import DoseSum
    from steepboard.services.bench import TrialView
    from steepboard.services.desk import Desk

_ROUNDED = 1.0 + 1e-9
_MEASURED_U = 0.02  # ± of a volume drawn for a blend, as a part of it; assumed, a small cylinder's


@dataclass(frozen=True, slots=True)
class Blend:
    """A whole blend, from bottles that stand, and what to mind of it."""

    name: str
    note: str
    """What is noted with each draw for it, by which the record knows what is drawn."""
    scaled: Scaled
    bottles: tuple[Bottle, ...]
    """One for each pour."""
    limits: tuple[DoseSum, ...]
    """Of limited substances in a litre of the blend."""
    allergens: tuple[str, ...]
    """What its label must say that it contains."""
    cautions: tuple[Caution, ...]
    findings: tuple[Finding, ...]


def from_trials(
    desk: Desk,
    codes: Sequence[str],
    volume_ml: float,
    now: datetime,
    picked: Sequence[str] = (),
    *,
    anew: bool = False,
) -> Blend:
    """Scale what trials found to a whole of this base. Raises `NoAnswer` where one has no mark.

    `picked` names bottles to take instead of those that fit best. What was drawn for the same
    blend before is told with it; `anew` makes it once more, of which nothing is drawn.
    """
    views = _marked(desk, codes, now)
    wanted = [
        (
            Ingredient(one.trial.of, blending.index(mark, one.bottle.liquid.intensity)),
            u / mark,
        )
        for one, mark, u in views
    ]
    first = views[0][0].trial
    name = clean(first.base.name, 80)
    trials = " + ".join(sorted(one.trial.code for one, _, _ in views))
    label = f"{_amount(volume_ml)} of {name} ({trials})"
    return _blend(desk, name, label, first.base.of(volume_ml), wanted, picked, anew=anew)


def from_formula(
    desk: Desk, name: str, volume_ml: float, picked: Sequence[str] = (), *, anew: bool = False
) -> Blend:
    """Scale a formula to a whole, from the batches that stand. Raises `NotKept`, `NoAnswer`.

    What was drawn for it before is told, and `anew` makes it once more, as in `from_trials`.
    """
    found = formula(desk, name)
    wanted = [(one, 0.0) for one in found.ingredients]
    label = f"{_amount(volume_ml)} of {found.name}"
    return _blend(desk, found.name, label, found.base.of(volume_ml), wanted, picked, anew=anew)


def draw(desk: Desk, blend: Blend, part: float, now: datetime) -> tuple[Bottle, ...]:
    """Write down as drawn so much more of all that a blend takes, as one act.

    Raises `NotEnough` and `WrongState`, and `AlreadyDrawn` where more than the whole would be
    drawn, or where some was drawn since the blend was looked at; then nothing was drawn.
    """
    to, taken = blend.scaled.more(part), []
    with desk.store.writing() as db:
        before = bottle_store.drawn_for(desk.store, blend.note)
        shares = [pour.share for pour in blend.scaled.pours]
        if to is None or before != {one.bottle: one.drawn_ml for one in shares if one.drawn_ml}:
            raise AlreadyDrawn(blend.note, blend.scaled.reached)
        act = bottle_store.next_act(db)
        for pour in blend.scaled.pours:
            if not (missing := pour.missing_ml(to)):
                continue
            found = standing(desk, pour.share.bottle, "drawn from")
            drawn = Drawn(Measured(missing, 0.0), f"{missing:.4g} mL", "cylinder", _MEASURED_U)
            write_draw(desk, db, found, drawn, Purpose.BLEND, act, now, note=blend.note)
            taken.append(pour.share.bottle)
    return tuple(bottle_shelf.bottle(desk, code) for code in taken)


def drawn_last(desk: Desk, blend: Blend) -> str | None:
    """Return the code of the bottle drawn from last for a blend, whose undo takes that back."""
    return bottle_store.drawn_last_for(desk.store, blend.note)


def last_whole(desk: Desk, code: str) -> str:
    """Return how much of the base a trial was scaled to when it was drawn for last, as typed."""
    notes = bottle_store.blend_notes(desk.store)
    mine = [note for note in notes if f"({code})" in note]
    return mine[-1].partition(" of ")[0] if mine else ""


def keep(desk: Desk, name: str, codes: Sequence[str], now: datetime, *, note: str = "") -> Formula:
    """Keep what trials found as a formula. Raises `NoAnswer` where one has no mark."""
    views = _marked(desk, codes, now)
    made = Formula(
        house.named(desk, "formula", name),
        views[0][0].trial.base,
        tuple(
            Ingredient(one.trial.of, blending.index(mark, one.bottle.liquid.intensity))
            for one, mark, _ in views
        ),
        clean(note, 500),
    )
    with desk.store.writing() as db:
        store.add_formula(db, house.write(desk, db, "formula", made.name, "keep", now), made)
    return made


def formulas(desk: Desk) -> tuple[Formula, ...]:
    """Return the formulas, by name."""
    return store.formulas(desk.store)


def formula(desk: Desk, name: str) -> Formula:
    """Return the formula of a name; raises `NotKept`."""
    wanted = house.named(desk, "formula", name)
    for one in formulas(desk):
        if one.name == wanted:
            return one
    raise NotKept("formula", wanted)


def _marked(
    desk: Desk, codes: Sequence[str], now: datetime
) -> list[tuple[TrialView, float, float]]:
    found = []
    for code in codes or ("",):
        one = bench.view(desk, code, now)
        mark, u = one.bracket.mark_ml_l, one.bracket.mark_u_ml_l
        if mark is None or u is None:
            raise NoAnswer(bench.no_level(one))
        found.append((one, mark, u))
    twice = len({one.trial.of.casefold() for one, _, _ in found}) < len(found)
    if twice or len({one.trial.base.name.casefold() for one, _, _ in found}) > 1:
        raise NoAnswer("Trials go into one blend if they are of one base and each of its own.")
    return found


def _blend(
    desk: Desk,
    name: str,
    label: str,
    base: Base,
    wanted: Sequence[tuple[Ingredient, float]],
    picked: Sequence[str],
    *,
    anew: bool,
) -> Blend:
    note, drawn = _making(desk, label, anew=anew)
    row = pouring.poured(desk, name, base, wanted, picked, drawn)
    found = row.bottles
    made = blending.scaled(base, row.shares, desk.settings.arithmetic.solids_ml_per_g)
    litres = made.whole.volume_ml / 1e3
    poured = [(one, p.in_ml(1.0) / litres) for one, p in zip(found, made.pours, strict=True)]
    insides = [bottle_shelf.inside(desk, one) for one in found]
    lines = [line for one in insides for jar, _ in one.jars for line in jar.charge.botanicals]
    pairs = tuple(zip(found, made.pours, strict=True))
    short = [_short(one, pour) for one, pour in pairs]
    short += [_over(pour) for pour in made.pours]
    short += [_small(desk, one, pour) for one, pour in pairs]
    return Blend(
        name,
        note,
        made,
        found,
        limited(desk, poured),
        bottle_shelf.contained(insides),
        own_cautions(lines, desk.library),
        (*row.findings, *(one for one in short if one)),
    )


def _making(desk: Desk, label: str, *, anew: bool) -> tuple[str, dict[str, float]]:
    """Return what draws for a blend are noted with, and what they took of each bottle so far.

    Who makes the same once more has `no. 2` with it, and so on: so the record keeps them apart.
    """
    notes, number = set(bottle_store.blend_notes(desk.store)), 1
    while _numbered(label, number + 1) in notes:
        number += 1
    note = _numbered(label, number)
    if anew and note in notes:
        note = _numbered(label, number + 1)
    return note, bottle_store.drawn_for(desk.store, note)


def _numbered(label: str, number: int) -> str:
    return clean(label if number == 1 else f"{label}, no. {number}", 500)


def _amount(volume_ml: float) -> str:
    return f"{volume_ml / 1e3:g} L" if volume_ml >= 1e3 else f"{volume_ml:g} mL"


def _short(found: Bottle, pour: Pour) -> Finding | None:
    wanted_ml = pour.missing_ml(1.0)
    if wanted_ml <= found.left_ml * _ROUNDED:
        return None
    text = f"{found.code} holds {found.left_ml:.1f} mL, and {wanted_ml:.1f} mL are wanted of it."
    return Finding("bottle_short", Severity.WARN, text)


def _over(pour: Pour) -> Finding | None:
    if not pour.over_ml:
        return None
    text = (
        f"{pour.over_ml:.3g} mL more of {pour.share.bottle} are in than it takes now. What it is "
        "in the end is told with them."
    )
    return Finding("too_much_drawn", Severity.WARN, text)


def _small(desk: Desk, found: Bottle, pour: Pour) -> Finding | None:
    """Say how to thin what would have to be added in less than a drop."""
    strength, last_ml = found.liquid.strength, pour.then_ml[-1]
    if pour.share.span[1] < 1.0 or not last_ml:
        return None
    drop_ml = portion(desk, Tool.DROP, min(1.0, strength)).each_ml
    if last_ml >= drop_ml:
        return None
    parts = ceil(drop_ml / last_ml)
    text = (
        f"The last addition of {found.code}, {last_ml:.2g} mL, is less than a drop, {drop_ml:.2g} "
        f"mL. Thin it first: 1 mL of it with {parts - 1} mL of spirit of {percent(strength, 0)}, "
        f"and add {parts} times as much of that."
    )
    return Finding("addition_small", Severity.WARN, text)
