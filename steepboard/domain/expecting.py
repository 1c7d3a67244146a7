"""What each reading of a straining should be, given what was charged and what was read already.

What is expected of all readings follows from the same causes, so they are correlated to first order
(`propagation`). What was read is then taken as known: the expectation of the next reading moves,
and its ± shrinks (the conditional Normal; any text on statistics).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from steepboard.domain.expected import Held, held_ml
from steepboard.domain.liquor import Pour, Solid, liquor
from steepboard.domain.matrices import dot, lower_triangle, set_apart
from steepboard.domain.propagation import Propagated, propagate
from steepboard.domain.readings import Measured, Readings
from steepboard.domain.swings import charge_swings

Z_80, Z_99 = 1.2816, 2.5758
"""Half-widths of a Normal 80 % and 99 % interval in standard deviations; any Normal table."""

LOST_U = 0.02  # of the liquor, evaporated or spilt; common practice: it adds up to within 2 %
CAME_BACK_U = 0.1  # of a rinse, ± of what comes back of it; assumed
POURED_U_ML = 1.5  # ± of what is left in vessels between pressing and filter; assumed
MUD_U_ML = 4.0  # ± of mud that nobody measured; assumed


@dataclass(frozen=True, slots=True)
class Charged:
    """What a straining is expected from; held and kept with their ±."""

    solids: tuple[Solid, ...]
    pours: tuple[Pour, ...]
    held: tuple[Held, ...]
    """After pressing, where the jar is pressed."""
    held_dripping: tuple[Held, ...]
    """After dripping alone."""
    kept_ml: float
    kept_u_ml: float
    solids_ml_per_g: float
    lost_share: float = 0.0
    came_back: float = 1.0
    left_in_vessels_ml: float = 0.0
    mud_ml: float = 0.0


@dataclass(frozen=True, slots=True)
class Likely:
    """What a reading should be, with its ±."""

    value: float
    u: float

    def between(self, z: float) -> tuple[float, float]:
        """Return the ends of an interval; no reading is below 0."""
        return max(0.0, self.value - z * self.u), max(0.0, self.value + z * self.u)


def expectations(charged: Charged, read: Readings) -> dict[str, Likely]:
    """Return what is expected of readings, by their names in `Readings`.

    Each is expected given all others that were read, but for those far from what is usual and from
    those before them: of them nothing can be learned. Readings of which nothing is known are left
    out.
    """
    found = propagate(lambda case: dict(_predicted(case, read)), charged, _swings(charged))
    given: dict[str, Measured] = {}
    for name in found.value:
        reading: Measured | None = getattr(read, name)
        if reading is not None and not is_far(_given(found, name, given), reading):
            given[name] = reading
    return {name: _given(found, name, given) for name in found.value}


def is_far(likely: Likely, reading: Measured) -> bool:
    """Whether a reading lies outside the 99 % interval, its own ± allowed for."""
    gap = reading.value - likely.value
    return gap**2 > Z_99**2 * (likely.u**2 + reading.u**2)


def _given(found: Propagated, name: str, read: Mapping[str, Measured]) -> Likely:
    known = {other: reading for other, reading in read.items() if other != name}
    if not known:
        return Likely(found.value[name], found.u(name))
    table = [[found.covariance(a, b) for b in known] for a in known]
    for i, reading in enumerate(known.values()):
        table[i][i] += reading.u**2
    lower = lower_triangle(table)
    gaps = set_apart(lower, [reading.value - found.value[n] for n, reading in known.items()])
    pull = set_apart(lower, [found.covariance(name, other) for other in known])
    rest = found.u(name) ** 2 - dot(pull, pull)
    return Likely(found.value[name] + dot(pull, gaps), max(rest, 0.0) ** 0.5)


def _predicted(case: Charged, read: Readings) -> Iterator[tuple[str, float]]:
    """Yield what each reading should show; the mud, tastings and rinses count as read."""
    made = liquor(case.solids, case.pours, case.solids_ml_per_g)
    density, dissolved = made.density_g_ml, made.dissolved_g / made.volume_ml
    held, dripping = held_ml(case.solids, case.held), held_ml(case.solids, case.held_dripping)
    lost_ml = case.lost_share * made.volume_ml
    rinse_ml = _value(read.washed_out_ml, _value(read.wash_ml) * case.came_back)
    off_ml = made.volume_ml - _value(read.sampled_ml) - lost_ml
    filtered_ml = off_ml - held - case.kept_ml - case.left_in_vessels_ml + rinse_ml
    volumes = {
        "drained": off_ml - dripping,
        "pressed": dripping - held,
        "filtered": filtered_ml,
        "recovered": filtered_ml - _value(read.sediment_ml, case.mud_ml),
    }
    for stage, volume_ml in volumes.items():
        yield f"{stage}_ml", volume_ml
        yield f"{stage}_g", volume_ml * density
    solid_g = sum(s.undissolved_g for s in case.solids)
    yield "marc_g", solid_g + held * density
    yield "dry_marc_g", solid_g + held * dissolved
    if read.filter_before_g is not None:
        yield "filter_after_g", read.filter_before_g.value + case.kept_ml * density
    if read.gross_charged_g is not None:
        gone_ml = _value(read.sampled_ml) + lost_ml
        yield "gross_before_g", read.gross_charged_g.value - gone_ml * density
    if read.wash_ml is not None:
        yield "washed_out_ml", read.wash_ml.value * case.came_back
    if read.residue_ml is not None:
        yield "residue_g", read.residue_ml.value * dissolved
    at_c = 20.0 if read.hydrometer is None else read.hydrometer.temperature_c
    if read.wash_ml is None and (shown := made.apparent_at(at_c)) is not None:
        yield "hydrometer", shown


def _value(reading: Measured | None, otherwise: float = 0.0) -> float:
    return otherwise if reading is None else reading.value


def _swings(case: Charged) -> Iterator[tuple[Charged, Charged, float]]:
    for high, low, weight in charge_swings(case.solids, case.pours):
        yield (
            replace(case, solids=high[0], pours=high[1]),
            replace(case, solids=low[0], pours=low[1]),
            weight,
        )
    for name in ("held", "held_dripping"):
        usual: tuple[Held, ...] = getattr(case, name)
        firmer = tuple(replace(h, ml_per_g=h.ml_per_g + h.u) for h in usual)
        yield replace(case, **{name: firmer}), case, 1.0  # type: ignore[arg-type]
    yield replace(case, kept_ml=case.kept_ml + case.kept_u_ml), case, 1.0
    yield replace(case, lost_share=LOST_U), case, 1.0
    yield replace(case, came_back=1.0 - CAME_BACK_U), case, 1.0
    yield replace(case, left_in_vessels_ml=POURED_U_ML), case, 1.0
    yield replace(case, mud_ml=MUD_U_ML), case, 1.0
