"""Reading what bottled jars held and gave, thousands at once, without their diaries."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, NamedTuple

from steepboard.domain.records import BotanicalLine, Measure, Separation, SpiritLine

if TYPE_CHECKING:
    from collections.abc import Iterator

    from steepboard.store.connect import Store

# The same rule as `rows.Fold`: of each kind the last live entry counts, and the last of all that
# change the state must be the bottling.
_BOTTLED = """
    select fold.jar_id, code, charge_id, charge.separation, strain.separation, kept_ml,
        charged_at, bottled_at
    from (select jar_id,
            max(case when kind in ('plan', 'charge') then id end) as charge_id,
            max(case when kind = 'strain' then id end) as strain_id,
            max(case when kind = 'charge' then at end) as charged_at,
            max(case when kind = 'bottle' then at end) as bottled_at,
            max(case when kind = 'bottle' then id end) as bottle_id,
            max(id) as last_id
        from live where kind in ('plan', 'charge', 'strain', 'bottle', 'discard')
        group by jar_id) as fold
    join jar on jar.id = fold.jar_id
    join charge on charge.entry_id = charge_id
    left join entry as strain on strain.id = strain_id
    where bottle_id = last_id
    order by bottled_at, fold.jar_id"""
_BOTANICALS = """select entry_id, name, mass_g, typed, material_class, fresh, catalogue_id,
    moisture, soluble from botanical order by entry_id, position"""
_SPIRITS = """select entry_id, name, volume_ml, strength, temperature_c, typed_volume,
    typed_strength from spirit order by entry_id, position"""
_READINGS = """select jar_id, measure, value, resolution, temperature_c
    from reading join live on live.id = entry_id order by entry_id"""


class Read(NamedTuple):
    """A reading in the canonical unit of its measure, without what was typed."""

    value: float
    resolution: float
    temperature_c: float | None


class Strain(NamedTuple):
    """One bottled jar; instants as the record writes them, so that their order is time's."""

    code: str
    charged_at: str
    """Empty where it was never charged."""
    bottled_at: str
    separation: Separation
    kept_ml: float | None
    botanicals: tuple[BotanicalLine, ...]
    spirits: tuple[SpiritLine, ...]
    readings: dict[Measure, Read]


def strains(store: Store) -> Iterator[Strain]:
    """Yield every bottled jar whose bottling was not undone, the first bottled first."""
    botanicals: dict[int, list[BotanicalLine]] = defaultdict(list)
    for entry_id, name, mass_g, typed, kind, fresh, *rest in store.tuples(_BOTANICALS):
        botanicals[entry_id].append(BotanicalLine(name, mass_g, typed, kind, bool(fresh), *rest))
    spirits: dict[int, list[SpiritLine]] = defaultdict(list)
    for entry_id, *columns in store.tuples(_SPIRITS):
        spirits[entry_id].append(SpiritLine(*columns))
    readings: dict[int, dict[Measure, Read]] = defaultdict(dict)
    for jar_id, measure, *columns in store.tuples(_READINGS):
        readings[jar_id][_MEASURES[measure]] = Read(*columns)
    for jar_id, code, charge_id, planned, way, kept_ml, charged_at, at in store.tuples(_BOTTLED):
        yield Strain(
            code,
            charged_at or "",
            at,
            _SEPARATIONS[way or planned],
            kept_ml,
            tuple(botanicals[charge_id]),
            tuple(spirits[charge_id]),
            readings[jar_id],
        )


_MEASURES = {measure.value: measure for measure in Measure}
_SEPARATIONS = {separation.value: separation for separation in Separation}
