"""What a straining comes to, in one sentence each: for the hand that bottles and plans the next."""

from __future__ import annotations

from dataclasses import astuple, dataclass, replace
from statistics import fmean
from typing import TYPE_CHECKING

from steepboard.domain.expected import held_ml
from steepboard.domain.figures import percent
from steepboard.domain.liquor import liquor
from steepboard.domain.records import Measure, Separation
from steepboard.domain.washing import rinse
from steepboard.services import material, straining
from steepboard.services.details import details
from steepboard.services.history import plant_of
from steepboard.store.rows import stamp
from steepboard.store.strains import strains

if TYPE_CHECKING:
    from collections.abc import Iterator

    from steepboard.domain.balance import Balance
    from steepboard.domain.records import Jar, Reading
    from steepboard.services.desk import Desk
    from steepboard.store.strains import Strain

_LONGER = 0.1
"""Of what hangs in solids that only drip, what a night more brings. Assumed."""
_WORTH_ML = 2.0  # less than a cylinder's step nobody works for; assumed
_PAST = 20  # batches that are compared with; assumed, some years of one tincture


@dataclass(frozen=True, slots=True)
class Result:
    """One sentence for each question; empty where nothing can be said."""

    bottle: str
    """How much."""
    strength: str
    plan: str
    """Against what the charge was expected to bring."""
    past: str
    """Against earlier batches of the same botanicals, strained the same way."""
    kept: str
    """What the solids and the filter kept."""
    cost: str
    """What that is worth, in spirit as it was poured."""
    next_time: str
    """What would bring more."""

    @property
    def sentences(self) -> tuple[str, ...]:
        """All that there is to say, in this order."""
        return tuple(sentence for sentence in astuple(self) if sentence)


def result(desk: Desk, jar: Jar, found: Balance, extra: tuple[Reading, ...] = ()) -> Result:
    """Return what a straining comes to; `found` is its balance, with the same `extra` readings."""
    read = straining.readings_of((*jar.readings, *extra))
    lost_ml = found.liquor.ml - found.recovered.ml
    lost_ml += (found.rinse.ml if found.rinse else 0.0) - (
        found.sampled.ml if found.sampled else 0.0
    )
    return Result(
        bottle=_bottle(desk, jar, found, extra, final=read.is_final),
        strength=_strength(found),
        plan=_plan(desk, jar, found, read.rinse_brought_ml) if read.is_final else "",
        past=_past(desk, jar, found) if read.is_final else "",
        kept=_kept(jar, found),
        cost=_cost(jar, found, lost_ml),
        next_time=_next_time(desk, jar, found, rinsed=read.is_rinsed),
    )


def of_poured(yield_fraction: float) -> str:
    """Return what a yield is a share of; more than all is the water that a plant brought."""
    return "of what was poured" + (", with the plant's own water" if yield_fraction > 1.0 else "")


def _bottle(
    desk: Desk, jar: Jar, found: Balance, extra: tuple[Reading, ...], *, final: bool
) -> str:
    if final:
        return f"{found.recovered.ml:.1f} mL to bottle, ± {found.recovered.ml_u:.1f}."
    between = straining.expect(desk, jar, Measure.RECOVERED, extra)
    if between is None:
        return ""
    text = straining.amount_between(Measure.RECOVERED, between)
    return f"{text} to bottle in the end, eight times in ten."


def _strength(found: Balance) -> str:
    text = f"{percent(found.strength)} vol, ± {100 * found.strength_u:.1f}, by calculation"
    if found.hydrometer is not None:
        text += f"; {percent(found.hydrometer.value)} by the hydrometer, its solids allowed for"
    return f"{text}."


def _plan(desk: Desk, jar: Jar, found: Balance, rinsed_ml: float) -> str:
    expected, bottled_ml = details(desk, jar).expected, found.recovered.ml - rinsed_ml
    off_ml = bottled_ml - expected.expected_ml
    between = f"{expected.low_ml:.0f} to {expected.high_ml:.0f} mL"
    without = f"Without the {rinsed_ml:.0f} mL of the rinse" if rinsed_ml > 0.0 else ""
    if abs(off_ml) < 1.0:
        just = f"{without} it is just as expected" if without else "Just as expected"
        return f"{just}: {between}, eight times in ten."
    side = "more" if off_ml > 0.0 else "less"
    inside = expected.low_ml <= bottled_ml <= expected.high_ml
    off = f"{without}: {abs(off_ml):.0f}" if without else f"{abs(off_ml):.0f}"
    return (
        f"{off} mL {side} than the {expected.expected_ml:.0f} mL expected, "
        f"{'within' if inside else 'outside'} the {between} of eight times in ten."
    )


def _past(desk: Desk, jar: Jar, found: Balance) -> str:
    told = (_yield(desk, jar, strain) for strain in _alike(desk, jar))
    yields = [one for one in told if one is not None][-_PAST:]
    if not yields:
        return ""
    count = "The one batch before" if len(yields) == 1 else f"{len(yields)} batches before"
    return (
        f"{count} gave {percent(fmean(yields), 0)} of what was poured; "
        f"this one gave {percent(found.yield_fraction, 0)}."
    )


def _alike(desk: Desk, jar: Jar) -> Iterator[Strain]:
    """Yield the jars of the same botanicals, strained the same way, that were bottled before."""
    plants = {plant_of(line) for line in jar.charge.botanicals}
    for strain in strains(desk.store):
        if strain.code == jar.code or strain.separation is not jar.charge.separation:
            continue
        if jar.bottled_at and strain.bottled_at >= stamp(jar.bottled_at):
            return
        if {plant_of(line) for line in strain.botanicals} == plants:
            yield strain


def _yield(desk: Desk, jar: Jar, strain: Strain) -> float | None:
    """Return what was bottled of what was poured, rinses too; by the scale where it was weighed."""
    rinse, volume, mass = (
        strain.readings.get(measure)
        for measure in (Measure.WASH, Measure.RECOVERED, Measure.RECOVERED_MASS)
    )
    poured_ml = sum(line.volume_ml for line in strain.spirits) + (rinse.value if rinse else 0.0)
    if mass is not None:
        charge = replace(jar.charge, botanicals=strain.botanicals)
        solids = material.solids(charge, library=desk.library)
        per_g = desk.settings.arithmetic.solids_ml_per_g
        made = liquor(solids, material.pours(strain.spirits), per_g)
        return mass.value / made.density_g_ml / poured_ml
    return volume.value / poured_ml if volume is not None else None


def _kept(jar: Jar, found: Balance) -> str:
    """Say what stayed behind; by the dry gram, but of what is fresh by the gram as charged."""
    marc, held, gram = found.held_in_marc, found.held_per_dry_g_ml, "dry gram"
    if marc.ml < 0.0:
        return ""
    if all(line.fresh for line in jar.charge.botanicals):
        held, gram = marc.ml / sum(line.mass_g for line in jar.charge.botanicals), "gram as charged"
    about = "about " if marc.estimated else ""
    each = f", {held:.2f} mL for each {gram}" if held is not None else ""
    text = f"The solids kept {about}{marc.ml:.1f} mL{each}"
    filtered = found.held_in_filter
    if filtered.ml > 0.0:
        about = "about " if filtered.estimated else ""
        text += f"; filter and vessel {about}{filtered.ml:.1f} mL"
    return f"{text}."


def _cost(jar: Jar, found: Balance, lost_ml: float) -> str:
    """Say how much of the poured spirit holds as much alcohol as was not bottled."""
    poured = liquor((), material.pours(jar.charge.spirits))
    if lost_ml < _WORTH_ML or poured.true_strength <= 0.0:
        return ""
    spirit_ml = lost_ml * found.strength / poured.true_strength
    return (
        f"What was not bottled holds the alcohol of {spirit_ml:.1f} mL of the "
        f"{percent(poured.true_strength, 0)} that was poured."
    )


def _next_time(desk: Desk, jar: Jar, found: Balance, *, rinsed: bool) -> str:
    """Say what more would have come of pressing, of dripping longer, and of a rinse."""
    held_now = found.held_in_marc.ml
    if held_now < _WORTH_ML:
        return ""
    told = []
    ways = list(Separation)
    for way in ways[ways.index(jar.charge.separation) + 1 :]:
        charge = replace(jar.charge, separation=way, held_ml_per_g=None)
        solids = material.solids(jar.charge, library=desk.library)
        brings_ml = held_now - held_ml(solids, material.held(charge, desk.library))
        if brings_ml >= _WORTH_ML:
            told.append(f"{way.value}, about {brings_ml:.0f} mL")
    if jar.charge.separation is Separation.DRIP and _LONGER * held_now >= _WORTH_ML:
        told.append(f"left to drip a night longer, perhaps {_LONGER * held_now:.0f} mL")
    if not rinsed:
        poured = liquor((), material.pours(jar.charge.spirits)).true_strength
        brought = rinse(held_now, found.strength, found.recovered.ml, held_now, poured)
        told.append(
            "rinsed with as much of the same spirit as the solids hold, the flavour of "
            f"{brought.brought_ml:.0f} mL, at {percent(brought.pooled_strength)} in all"
        )
    return f"More next time: {'; '.join(told)}." if told else ""
