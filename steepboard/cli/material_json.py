"""Botanicals and spirits for programs; strengths, water and soluble part are fractions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.services import material
from steepboard.services.material_facts import facts

if TYPE_CHECKING:
    from steepboard.catalogue.load import Botanical, Library, Sourced, Spirit
    from steepboard.catalogue.records import Estimate


def botanical_row(one: Botanical) -> dict[str, object]:
    """Return what a list has of a botanical."""
    return {
        "id": one.id,
        "name": one.name,
        "latin": one.latin,
        "material_class": one.material_class,
        "fresh": one.fresh,
        "use": one.use,
        "own": one.own,
        "ratio_min_ml_per_g": one.ratio_min,
        "ratio_max_ml_per_g": one.ratio_max,
        "usual_days": one.days_typical,
    }


def botanical_json(library: Library, one: Botanical) -> dict[str, object]:
    """Return all that is known of a botanical, and every value in words with its source."""
    water, soluble = library.dryness(material.weighed(one.id, 1.0, "", library=library))
    return {
        **botanical_row(one),
        "part": one.part,
        "form": one.form,
        "aliases": list(one.aliases),
        "preparation": one.preparation,
        "least_strength": one.strength_min,
        "most_strength": one.strength_max,
        "least_days": one.days_min,
        "most_days": one.days_max,
        "taste_from_day": one.taste_from_day,
        "moisture": _figure(water, one.moisture),
        "soluble": _figure(soluble, one.soluble),
        "pungency_0_to_3": one.pungency,
        "bitterness_0_to_3": one.bitterness,
        "allergens_eu": list(one.allergens_eu),
        "allergens_us": list(one.allergens_us),
        "cautions": list(one.cautions),
        "facts": [
            {"label": fact.label, "text": fact.text, "source": fact.source}
            for fact in facts(library, one)
        ],
    }


def spirit_row(one: Spirit) -> dict[str, object]:
    """Return a spirit."""
    return {
        "id": one.id,
        "name": one.name,
        "strength": one.strength,
        "note": one.note,
        "own": one.own,
        "source": one.source,
    }


def _figure(now: Estimate, usual: Sourced) -> dict[str, object]:
    """Return what is taken to be so; a range only where none was measured here."""
    unmeasured = now.source == usual.source
    return {
        "value": now.value,
        "u": now.u,
        "low": usual.low if unmeasured else None,
        "high": usual.high if unmeasured else None,
        "source": now.source,
    }
