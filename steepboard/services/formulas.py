"""Whole blends: scaled from trials or from a formula, matched to bottles, and drawn from stock."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING

from steepboard.domain import blending
from steepboard.domain.blending import Formula, Ingredient, Pour, Scaled, Share
from steepboard.domain.bottles import Purpose
from steepboard.domain.dosing import Tool
from steepboard.domain.figures import percent
from steepboard.domain.findings import Finding, Severity
from steepboard.domain.readings import Measured
from steepboard.errors import NoAnswer, NothingWeighed, NotKept, OtherTincture
from steepboard.services import bench, bottle_shelf, house
from steepboard.services.bottles import Drawn, standing, write_draw
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

_MEASURED_U = 0.02  # ± of a volume drawn for a blend, as a part of it; assumed, a small cylinder's


@dataclass(frozen=True, slots=True)
class Blend:
    """A whole blend, from bottles that stand, and what to mind of it."""

    name: str
    scaled: Scaled
    bottles: tuple[Bottle, ...]
    """One for each pour."""
    limits: tuple[DoseSum, ...]
    """Of limited substances in a litre of the blend."""
    cautions: tuple[Caution, ...]
    findings: tuple[Finding, ...]


def from_trials(
    desk: Desk, codes: Sequence[str], volume_ml: float, now: datetime, picked: Sequence[str] = ()
) -> Blend:
    """Scale what trials found to a whole of this base. Raises `NoAnswer` where one has no mark.

    `picked` names bottles to take instead of those that fit best.
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
    return _blend(desk, name, first.base.of(volume_ml), wanted, picked)


def from_formula(desk: Desk, name: str, volume_ml: float, picked: Sequence[str] = ()) -> Blend:
    """Scale a formula to a whole, from the batches that stand. Raises `NotKept`, `NoAnswer`."""
    found = formula(desk, name)
    wanted = [(one, 0.0) for one in found.ingredients]
    return _blend(desk, found.name, found.base.of(volume_ml), wanted, picked)


def draw(desk: Desk, blend: Blend, part: float, now: datetime) -> tuple[Bottle, ...]:
    """Write down as drawn this part of all that a blend takes, as one act.

    Raises `NotEnough` and `WrongState`; then nothing was drawn.
    """
    with desk.store.writing() as db:
        act = bottle_store.next_act(db)
        for pour in blend.scaled.pours:
            found = standing(desk, pour.share.bottle, "drawn from")
            volume = Measured(part * pour.total_ml, 0.0)
            drawn = Drawn(volume, f"{volume.value:.4g} mL", "cylinder", _MEASURED_U)
            note = clean(blend.name, 500)
            write_draw(desk, db, found, drawn, Purpose.BLEND, act, now, note=note)
    return tuple(bottle_shelf.bottle(desk, pour.share.bottle) for pour in blend.scaled.pours)


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
            raise NoAnswer(f"{one.trial.code} has found no level yet: {one.next_step}")
        found.append((one, mark, u))
    twice = len({one.trial.of.casefold() for one, _, _ in found}) < len(found)
    if twice or len({one.trial.base.name.casefold() for one, _, _ in found}) > 1:
        raise NoAnswer("Trials go into one blend if they are of one base and each of its own.")
    return found


def _blend(
    desk: Desk,
    name: str,
    base: Base,
    wanted: Sequence[tuple[Ingredient, float]],
    picked: Sequence[str],
) -> Blend:
    hands = [standing(desk, code, "drawn from") for code in picked]
    _refuse_others(name, [one for one, _ in wanted], hands)
    found = [_bottle(desk, one, base, hands) for one, _ in wanted]
    shares = []
    for (one, u), stands in zip(wanted, found, strict=True):
        ml_per_l = blending.level(one, stands.liquid.intensity)
        shares.append(Share(stands.code, one.of, stands.liquid, ml_per_l, u * ml_per_l))
    made = blending.scaled(base, shares, desk.settings.arithmetic.solids_ml_per_g)
    litres = made.whole.volume_ml / 1e3
    poured = [(one, p.total_ml / litres) for one, p in zip(found, made.pours, strict=True)]
    cautions = {c.code: c for one in found for c in bottle_shelf.inside(desk, one).own_cautions}
    pairs = tuple(zip(found, made.pours, strict=True))
    short = [_short(one, pour) for one, pour in pairs]
    short += [_small(desk, one, pour) for one, pour in pairs]
    return Blend(
        name,
        made,
        tuple(found),
        limited(desk, poured),
        tuple(cautions.values()),
        tuple(one for one in short if one),
    )


def _bottle(desk: Desk, one: Ingredient, base: Base, hands: Sequence[Bottle]) -> Bottle:
    """Return the bottle picked, or else the oldest that holds enough, or else the fullest."""
    for found in hands:
        if _holds(found, one):
            return found
    stands = [found for found in bottle_shelf.bottles(desk) if _holds(found, one)]
    if not stands:
        allowed = "bottle some, or pick a bottle that holds it"
        raise NothingWeighed(f"bottle of {one.of}", allowed)
    litres = base.volume_ml / 1e3
    enough = [
        found
        for found in stands
        if found.left_ml >= litres * blending.level(one, found.liquid.intensity)
    ]
    if enough:
        return min(enough, key=lambda found: (found.filled_at, found.code))
    return max(stands, key=lambda found: found.left_ml * found.liquid.intensity)


def _refuse_others(name: str, wanted: Sequence[Ingredient], hands: Sequence[Bottle]) -> None:
    for found in hands:
        if not any(_holds(found, one) for one in wanted):
            of = " and ".join(one.of for one in wanted)
            raise OtherTincture(name, of, found.code, found.tag.name)


def _holds(found: Bottle, one: Ingredient) -> bool:
    return found.tag.name.casefold() == one.of.casefold() and found.liquid.intensity > 0.0


def _short(found: Bottle, pour: Pour) -> Finding | None:
    if pour.total_ml <= found.left_ml:
        return None
    text = (
        f"{found.code} holds {found.left_ml:.1f} mL, and {pour.total_ml:.1f} mL are wanted of it."
    )
    return Finding("bottle_short", Severity.WARN, text)


def _small(desk: Desk, found: Bottle, pour: Pour) -> Finding | None:
    """Say how to thin what would have to be added in less than a drop."""
    strength, last_ml = found.liquid.strength, pour.then_ml[-1]
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
