"""Making a past jar again, larger or smaller, with today's botanical and spirit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from steepboard.domain import ratio
from steepboard.domain.figures import one_to, percent
from steepboard.services import material
from steepboard.services.details import Details, bottled, details
from steepboard.services.plans import Wish

if TYPE_CHECKING:
    from steepboard.domain.records import Jar
    from steepboard.services.desk import Desk
    from steepboard.services.plans import Planned

_SAME = 0.005  # relative; assumed, less than a kitchen scale and a cylinder tell apart


@dataclass(frozen=True, slots=True)
class Past:
    """What a past jar was, as far as the next one is to match it."""

    jar: Jar
    details: Details
    bottled_ml: float
    """As it was read, or else as it is expected."""
    read: bool
    """Whether it was read."""
    moistures: tuple[float, ...]
    """Water of each botanical, as a fraction of its mass."""


def past(desk: Desk, jar: Jar) -> Past:
    """Return what there is to match of a jar."""
    known = details(desk, jar)
    read_ml = bottled(jar, known.liquor)
    lines = jar.charge.botanicals
    moistures = tuple(material.moisture_of(line, desk.library).value for line in lines)
    return Past(jar, known, read_ml or known.expected.expected_ml, read_ml > 0.0, moistures)


def wish_like(found: Past) -> Wish:
    """Return the wish for the same jar again: as much of it, as strong, strained as it was."""
    charge = found.jar.charge
    strongest = max(charge.spirits, key=lambda line: line.strength)
    made = any(line.strength == 0.0 for line in charge.spirits)
    return Wish(
        round(found.details.solvent_strength, 4),
        want_ml=found.bottled_ml,
        separation=charge.separation,
        held_ml_per_g=charge.held_ml_per_g,
        kept_ml=charge.kept_ml,
        spirit_name=strongest.name,
        strength_source=f"as {found.jar.code} was charged",
        made_from=strongest.strength if made and len(charge.spirits) == 2 else None,
        intensity=found.details.intensity,
        lines=charge.botanicals,
    )


def changes(found: Past, wish: Wish, planned: Planned) -> tuple[str, ...]:
    """Return in plain sentences what a plan does otherwise than the past jar, and why."""
    told = (
        _size(found, planned),
        _spirit(found, wish),
        _water(found, planned),
        _straining(found, planned),
        _ratio(found, wish, planned),
        _flavour(found, wish, planned),
    )
    return tuple(sentence for sentence in told if sentence)


def _size(found: Past, planned: Planned) -> str:
    was_ml, is_ml = found.bottled_ml, planned.plan.expected_ml
    code = found.jar.code
    how = "bottled" if found.read else "was expected to bottle"
    if _alike(was_ml, is_ml):
        return f"As much as {code} {how}: {was_ml:.0f} mL."
    return f"{is_ml / was_ml:.2g} times {code}, which {how} {was_ml:.0f} mL: now {is_ml:.0f} mL."


def _spirit(found: Past, wish: Wish) -> str:
    was, now = found.details.solvent_strength, wish.strength
    if abs(was - now) < _SAME:
        return ""
    then, today = ratio.house_ratio(was), ratio.house_ratio(now)
    more = "less" if today > then else "more"
    text = f"The spirit has {percent(now)} instead of {percent(was)}"
    if _alike(then, today):
        return f"{text}; the house rule makes no difference between them."
    change = percent(abs(then / today - 1.0), 0)
    return f"{text}: by the house rule {change} {more} botanical does the same."


def _water(found: Past, planned: Planned) -> str:
    told = []
    known = (planned.known, *planned.also_known)
    for then, line, figures in zip(found.moistures, planned.order.botanicals, known, strict=False):
        now = figures["moisture"].value
        if abs(then - now) < _SAME:
            continue
        less = "less" if now > then else "more"
        told.append(
            f"{line.name} holds {percent(now)} of water instead of {percent(then)}: there is "
            f"{less} of the plant in each gram, which the index does not count."
        )
    return " ".join(told)


def _straining(found: Past, planned: Planned) -> str:
    was, now = found.jar.charge.separation, planned.order.separation
    if now is None or was == now:
        return ""
    return f"Straining: {now.value}, where it was {was.value}."


def _ratio(found: Past, wish: Wish, planned: Planned) -> str:
    was, now = found.details.ratio, planned.plan.ratio
    if _alike(was, now):
        return f"The ratio stays at {one_to(was)}."
    why = ", so that what is bottled tastes as strong as then" if wish.ratio is None else ""
    return f"The ratio goes from {one_to(was)} to {one_to(now)}{why}."


def _flavour(found: Past, wish: Wish, planned: Planned) -> str:
    plan, was = planned.plan, found.details.intensity
    if plan.expected_ml <= 0.0 or was <= 0.0:
        return ""
    now = ratio.intensity(plan.botanical_g, plan.expected_ml, wish.strength)
    taste = "A rule of thumb: taste it beside the last."
    if _alike(was, now):
        return f"Intensity {was:.2f}, as before. {taste}"
    return f"Intensity {now:.2f}, where {found.jar.code} has {was:.2f}. {taste}"


def _alike(one: float, other: float) -> bool:
    return abs(one - other) <= _SAME * max(abs(one), abs(other))
