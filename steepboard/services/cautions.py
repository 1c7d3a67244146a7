"""What to mind with a charge: its cautions, those to be read first, and its dose sums."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from steepboard.catalogue.cautions import caution, situation_cautions
from steepboard.catalogue.limits import limits, share
from steepboard.catalogue.load import SHIPPED, Library
from steepboard.domain.limits import LIGHT_KG_PER_L, DoseSum, dose_sum
from steepboard.services.material import cautions_of

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Sequence

    from steepboard.catalogue.load import Botanical, Caution
    from steepboard.domain.liquor import Liquor
    from steepboard.domain.records import BotanicalLine
    from steepboard.settings import Settings

HOW_DOSED = (
    "Dose sums assume that all of the most that the plants are known to hold ends up in the "
    f"bottle, and that a litre of drink weighs {LIGHT_KG_PER_L:g} kg, as strong spirit does. The "
    "dose is a setting, dose_ml_per_l."
)

_ALLERGENS = {"ALLERGEN_EU": "allergens_eu", "ALLERGEN_US": "allergens_us"}
"""Cautions of allergens that a law wants named, and where a botanical keeps their names."""


def cautions(
    settings: Settings,
    botanicals: Sequence[BotanicalLine],
    strongest: float,
    made: Liquor,
    library: Library = SHIPPED,
) -> tuple[Caution, ...]:
    """Return what to mind with a charge, each caution once, the material's own first.

    `strongest` is the strength of the strongest spirit that is poured.
    """
    own = own_cautions(botanicals, library)
    general = situation_cautions(
        strongest,
        any(line.fresh for line in botanicals),
        made.solids_free_strength,
        settings.arithmetic.keeps_strength,
        soft=any(_is_soft(line, library) for line in botanicals),
        limited=any(found.substances for found in own),
    )
    return tuple({found.code: found for found in (*own, *general)}.values())


def own_cautions(
    botanicals: Iterable[BotanicalLine], library: Library = SHIPPED
) -> tuple[Caution, ...]:
    """Return what to mind with the botanicals themselves, each caution once.

    Of a plant that the program did not bring, it cannot know what to mind, and that is said.
    Allergens that a law wants named are named, with the botanicals that bring them.
    """
    botanicals = tuple(botanicals)
    every = (
        found
        for line in botanicals
        for found in (
            *cautions_of(line, library),
            *(() if line.catalogue_id in SHIPPED.books.botanicals else (caution("UNLISTED"),)),
        )
    )
    return tuple({c.code: _allergens_named(c, botanicals, library) for c in every}.values())


def to_read(
    botanicals: Iterable[BotanicalLine],
    library: Library = SHIPPED,
    read: Collection[str] = (),
) -> tuple[Caution, ...]:
    """Return the cautions that a person must still say they read, before a jar is charged.

    Of several botanicals each names those that it is of.
    """
    botanicals = tuple(botanicals)
    asked = (c for c in own_cautions(botanicals, library) if c.needs_acknowledging)
    return tuple(_of_whom(c, botanicals, library) for c in asked if c.code not in read)


def in_full(found: Caution) -> str:
    """Return a caution with its figures in plain sentences."""
    figures = f" {found.figures}." if found.figures else ""
    return f"{found.title}. {found.text}{figures}"


def titles(codes: Iterable[str]) -> str:
    """Return the titles of cautions in one run; a code that is no longer known stands as it is."""
    return ", ".join(map(_title, codes))


def doses(
    settings: Settings,
    botanicals: Sequence[BotanicalLine],
    bottled_ml: float,
    library: Library = SHIPPED,
) -> tuple[DoseSum, ...]:
    """Return a sum for each limited substance of a charge; none where nothing can be bottled."""
    return dose_sums(botanicals, bottled_ml, settings.arithmetic.dose_ml_per_l, library)


def dose_sums(
    botanicals: Sequence[BotanicalLine],
    bottled_ml: float,
    dose_ml_per_l: float,
    library: Library = SHIPPED,
) -> tuple[DoseSum, ...]:
    """Return what so much of a charge's `bottled_ml` brings into a litre of drink."""
    if bottled_ml <= 0:
        return ()
    brought: dict[str, list[BotanicalLine]] = {}
    for line in botanicals:
        own = (name for found in cautions_of(line, library) for name in found.substances)
        for substance in dict.fromkeys(own):
            brought.setdefault(substance, []).append(line)
    latins = [plant.latin for line in botanicals if (plant := _plant(line, library))]
    return tuple(
        dose_sum(
            substance,
            [
                share(library.books.contents, substance, plant, line.name, line.mass_g)
                for line in lines
                if (plant := _plant(line, library))
            ],
            bottled_ml,
            dose_ml_per_l,
            limits(substance, latins),
        )
        for substance, lines in brought.items()
    )


def _plant(line: BotanicalLine, library: Library) -> Botanical | None:
    """Return the plant of a line, dried or fresh: what it holds does not depend on that."""
    return library.find(line.catalogue_id) if line.catalogue_id else None


def _is_soft(line: BotanicalLine, library: Library) -> bool:
    """Return whether a line is fresh and soft; of leaves that nobody knows it is assumed."""
    plant = _plant(line, library)
    return line.fresh and (plant.fresh_soft if plant else line.material_class == "leaf")


def _of_whom(found: Caution, botanicals: Sequence[BotanicalLine], library: Library) -> Caution:
    names = dict.fromkeys(
        line.name
        for line in botanicals
        if found.code in {one.code for one in cautions_of(line, library)}
    )
    told = names and len(botanicals) > 1
    return replace(found, title=f"{found.title}: {', '.join(names)}") if told else found


def _allergens_named(
    found: Caution, botanicals: Sequence[BotanicalLine], library: Library
) -> Caution:
    """Return a caution of allergens with their names in its title, any other as it is.

    Of several botanicals it is told besides which of them bring it.
    """
    if found.code not in _ALLERGENS:
        return found
    named: dict[str, list[str]] = {}
    for line in botanicals:
        plant = _plant(line, library)
        for allergen in getattr(plant, _ALLERGENS[found.code], ()):
            named.setdefault(allergen, []).append(line.name)
    whose = {what: f" ({', '.join(dict.fromkeys(by))})" for what, by in named.items()}
    if len(botanicals) == 1:
        whose = dict.fromkeys(named, "")
    each = ", ".join(f"{what}{by}" for what, by in whose.items())
    return replace(found, title=f"{found.title}: {each}") if each else found


def _title(code: str) -> str:
    try:
        return caution(code).title
    except KeyError:
        return code
