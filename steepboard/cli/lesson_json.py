"""What jars taught, for programs; water and soluble part are fractions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.cli.render import iso
from steepboard.services.dry_lessons import WATER

if TYPE_CHECKING:
    from steepboard.services.dry_lessons import BatchDried, DrySeen
    from steepboard.services.lessons import BatchSeen, GroupSeen, PlantSeen


def lesson_json(group: GroupSeen) -> dict[str, object]:
    """Return what solids of one kind hold."""
    return {
        "material": group.material,
        "separation": group.separation,
        "per_dry_g": group.usual.per_dry,
        "prior_ml_per_g": group.usual.mean,
        "prior_ml_per_g_u": group.usual.sd,
        "prior_source": group.usual.source,
        "botanicals": [_plant_json(plant) for plant in group.plants],
    }


def _plant_json(plant: PlantSeen) -> dict[str, object]:
    return {
        "name": plant.name,
        "held_ml_per_g": plant.learned.mean,
        "held_ml_per_g_u": plant.learned.u,
        "between_batches_ml_per_g": plant.learned.spread,
        "as_expected_jars": plant.as_expected,
        "judged_jars": plant.judged,
        "batches": [_batch_json(batch) for batch in plant.batches],
    }


def _batch_json(batch: BatchSeen) -> dict[str, object]:
    return {
        "code": batch.code,
        "bottled_on": iso(batch.bottled_on),
        "held_ml_per_g": batch.value,
        "held_ml_per_g_u": batch.u,
        "counted_ml_per_g_u": batch.counted_u,
        "marc_weighed": batch.marc_weighed,
        "as_expected": batch.as_expected,
    }


def dry_json(seen: DrySeen) -> dict[str, object]:
    """Return what is known of the water of a botanical, or of its soluble part."""
    return {
        "name": seen.name,
        "of": "water" if seen.share == WATER else "soluble part",
        "prior_fraction": seen.usual.value,
        "prior_fraction_u": seen.usual.u,
        "prior_source": seen.usual.source,
        "fraction": seen.learned.mean,
        "fraction_u": seen.learned.u,
        "between_batches_fraction": seen.learned.spread,
        "batches": [_dried_json(batch) for batch in seen.batches],
    }


def _dried_json(batch: BatchDried) -> dict[str, object]:
    return {
        "code": batch.code,
        "bottled_on": iso(batch.bottled_on),
        "fraction": batch.value,
        "fraction_u": batch.u,
        "counted_fraction_u": batch.counted_u,
        "by_dried_marc": batch.by_marc,
        "by_dry_residue": batch.by_residue,
    }
