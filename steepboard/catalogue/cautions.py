"""What to mind with a botanical or in a situation."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import replace

from steepboard.catalogue.documents import document, tables
from steepboard.catalogue.records import Botanical, Caution
from steepboard.catalogue.tables import unknown
from steepboard.domain.alcohol import FLAMMABLE_C, flash_point_c
from steepboard.domain.figures import percent
from steepboard.domain.plan_findings import KEEPS
from steepboard.text import clean

LAST_WORD = "Follow local law and licensed practice: both come before anything said here."
"""What every block of cautions ends with."""

_WEIGHT = {"stop": 0, "limit": 1, "warn": 2, "note": 3}
_HOT = 2  # clear, on the catalogue's scale of pungency
_ALWAYS = ("NONPOT", "GRADE", "CHILD", "PREG", "VESSEL", "SERVE", "LICENCE")


def caution(code: str) -> Caution:
    """Return the caution of that code; raises KeyError for a code that is not in the catalogue."""
    entry = document("cautions")[code]
    binding = entry["severity"] in ("limit", "stop") and not entry.get("general", False)
    return Caution(
        code,
        title=entry["title"],
        severity=entry["severity"],
        text=entry["text"],
        figures=entry["figures"],
        authority=entry["authority"],
        obtained=entry["obtained"],
        substances=tuple(entry.get("substances", ())),
        needs_acknowledging=binding,
    )


def of_plant(plant: Botanical) -> tuple[Caution, ...]:
    """Return what to mind with a plant itself: what it is listed with, and what it calls for."""
    codes = (("NEVER",) if plant.use == "never" else ()) + plant.cautions
    if (plant.pungency or 0) >= _HOT and not {"PUNGENT", "CAPSAICIN"} & set(codes):
        codes += ("PUNGENT",)
    lists = (("ALLERGEN_EU", plant.allergens_eu), ("ALLERGEN_US", plant.allergens_us))
    codes += tuple(code for code, named in lists if named and code not in codes)
    return tuple(map(caution, codes))


def caution_codes() -> Collection[str]:
    """Return the codes of all cautions."""
    return tables("cautions")


def caution_code(text: str) -> str:
    """Return the code of a caution that a plant may have; raises `UnknownWord`."""
    code = text.strip().upper()
    if code in caution_codes():
        return code
    every = document("cautions")
    known = sorted(one for one in every if not every[one].get("general", False))
    raise unknown(clean(code, 40), "a caution", known)


def source(found: Caution) -> str:
    """Return how it came here and who says so."""
    return f"{found.obtained}: {found.authority}"


def gravest_first(cautions: Iterable[Caution]) -> tuple[Caution, ...]:
    """Return cautions by severity, else in the order they came."""
    return tuple(sorted(cautions, key=lambda found: _WEIGHT[found.severity]))


def situation_cautions(
    strength: float,
    fresh: bool,
    end_strength: float | None = None,
    keeps: float = KEEPS,
    *,
    soft: bool = False,
    limited: bool = False,
) -> tuple[Caution, ...]:
    """Return what to mind whatever the botanical is, the gravest first.

    `strength` is that of the strongest spirit, `end_strength` that of the liquor, where known, and
    `keeps` the one under which the house counts a steep as perishable. `soft` are fresh leaves,
    `limited` is a plant that brings a limited substance.
    """
    found = [caution(code) for code in _ALWAYS]
    flash_c = flash_point_c(strength)
    if flash_c is not None and flash_c <= FLAMMABLE_C:
        title = f"Spirit burns: {percent(strength, 0)} from about {flash_c:.0f} °C"
        found.append(replace(caution("FLAM"), title=title, figures=""))
        found.append(caution("HEAT"))
    if fresh:
        found.append(caution("LOWABV"))
    if soft:
        found.append(caution("FRESHSOFT"))
    if limited:
        found += [caution("ESSOIL"), caution("NOTADDED")]
    if end_strength is not None and end_strength < keeps:
        found += [caution("WEAK"), caution("PRESSURE")]
    return gravest_first(found)
