"""From which bottles a blend is poured: those it was begun with, those picked, or what fits."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from steepboard.domain import blending
from steepboard.domain.blending import Ingredient, Share
from steepboard.domain.findings import Finding, Severity
from steepboard.errors import NothingWeighed, OtherTincture
from steepboard.services import bottle_shelf
from steepboard.services.bottles import standing

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from steepboard.domain.base import Base
    from steepboard.domain.bottles import Bottle
    from steepboard.services.desk import Desk

_LEAST = 1e-6
"""Part of a tincture that is nothing but rounding."""


@dataclass(frozen=True, slots=True)
class Poured:
    """The shares of a blend, each with its bottle, and what there is to say of bottles picked."""

    shares: tuple[Share, ...]
    bottles: tuple[Bottle, ...]
    findings: tuple[Finding, ...]


def poured(
    desk: Desk,
    name: str,
    base: Base,
    wanted: Sequence[tuple[Ingredient, float]],
    picked: Sequence[str],
    drawn: Mapping[str, float],
) -> Poured:
    """Return from which bottles the ingredients come, each with the ± of its level as a part.

    `drawn` has the mL that were drawn for it so far, by bottle. Of several bottles of one
    tincture the next gives what the one before does not hold. What was drawn is a share even where
    no more is taken of it, as by a formula that was kept anew. Raises `OtherTincture` for a bottle
    picked that is of none of them, `NothingWeighed` where a tincture stands in no bottle.
    """
    hands = [standing(desk, code, "drawn from") for code in dict.fromkeys(map(str.upper, picked))]
    _refuse_others(name, [one for one, _ in wanted], hands)
    begun = [bottle_shelf.bottle(desk, code) for code in drawn]
    shares: list[Share] = []
    bottles: list[Bottle] = []
    for one, u in wanted:
        row = _row(desk, one, base, hands, begun, drawn)
        for share, found in _split(one, u, base, row, drawn):
            shares.append(share)
            bottles.append(found)
    known = {found.code for found in bottles}
    for found in begun:
        if found.code not in known:
            shares.append(_no_more(found, found.tag.name, drawn[found.code]))
            bottles.append(found)
    spare = [_spare(one) for one in hands if one.code not in {found.code for found in bottles}]
    return Poured(tuple(shares), tuple(bottles), tuple(spare))


def _row(
    desk: Desk,
    one: Ingredient,
    base: Base,
    hands: Sequence[Bottle],
    begun: Sequence[Bottle],
    drawn: Mapping[str, float],
) -> list[tuple[Bottle, float]]:
    """Return the bottles of one tincture in their order, each with the mL it can give in all."""
    mine = [found for found in hands if _holds(found, one)]
    before = [found for found in begun if _holds(found, one)]
    codes = {found.code for found in mine}
    # Of bottles that gave something only the last goes on giving, unless others were picked.
    goes_on = codes if mine else {found.code for found in before[-1:]}
    row = [
        (found, drawn[found.code] + (found.left_ml if found.code in goes_on else 0.0))
        for found in before
    ]
    row += [(found, found.left_ml) for found in mine if found.code not in drawn]
    missing = _index(one, base) - sum(found.liquid.intensity * ml for found, ml in row)
    if not mine and missing > _LEAST * _index(one, base):
        others = [found for found, _ in row]
        more = _fitting(desk, one, missing, others)
        row += [(more, more.left_ml)] if more else []
    return row


def _split(
    one: Ingredient,
    u: float,
    base: Base,
    row: Sequence[tuple[Bottle, float]],
    drawn: Mapping[str, float],
) -> list[tuple[Share, Bottle]]:
    """Return what each bottle gives: all it can, and the last of them whatever is missing."""
    at, made = 0.0, []
    for n, (found, gives_ml) in enumerate(row):
        part = gives_ml * found.liquid.intensity / _index(one, base)
        ends = 1.0 if n == len(row) - 1 else min(1.0, at + part)
        if ends - at < _LEAST:
            if given_ml := drawn.get(found.code):
                made.append((_no_more(found, one.of, given_ml), found))
            continue
        ml_per_l = (ends - at) * blending.level(one, found.liquid.intensity)
        share = Share(
            found.code,
            one.of,
            found.liquid,
            ml_per_l,
            u * ml_per_l,
            (at, ends),
            drawn.get(found.code, 0.0),
        )
        made.append((share, found))
        at = ends
    return made


def _no_more(found: Bottle, of: str, drawn_ml: float) -> Share:
    return Share(found.code, of, found.liquid, 0.0, 0.0, blending.NOTHING, drawn_ml)


def _index(one: Ingredient, base: Base) -> float:
    """Return the mL times intensity that the whole takes of an ingredient."""
    return one.index_ml_l * base.volume_ml / 1e3


def _fitting(
    desk: Desk, one: Ingredient, index_ml: float, others: Sequence[Bottle]
) -> Bottle | None:
    """Return the oldest bottle that holds enough, or else the fullest, beside these others."""
    codes = {found.code for found in others}
    stands = [
        found
        for found in bottle_shelf.bottles(desk)
        if _holds(found, one) and found.code not in codes
    ]
    if not stands:
        if others:
            return None
        allowed = "bottle some, or pick a bottle that holds it"
        raise NothingWeighed(f"bottle of {one.of}", allowed)
    enough = [found for found in stands if found.left_ml * found.liquid.intensity >= index_ml]
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


def _spare(found: Bottle) -> Finding:
    why = "the bottles before it hold enough" if found.left_ml > 0.0 else "it is empty"
    text = f"Nothing is taken of {found.code}: {why}."
    return Finding("bottle_spare", Severity.NOTE, text)
