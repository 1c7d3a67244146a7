"""What is taken as known of a charge: from the maker, the catalogue, or the material's class."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import TYPE_CHECKING

from steepboard.catalogue.cautions import of_plant
from steepboard.catalogue.classes import classes
from steepboard.catalogue.load import SHIPPED, Library
from steepboard.catalogue.names import key
from steepboard.domain.liquor import Pour, Solid
from steepboard.domain.planning import Held
from steepboard.domain.readings import Measured
from steepboard.domain.records import BotanicalLine
from steepboard.text import clean

if TYPE_CHECKING:
    from collections.abc import Sequence

    from steepboard.catalogue.load import Botanical, Caution
    from steepboard.domain.records import Charge, Separation, SpiritLine
    from steepboard.settings import Instruments, Settings

UNKNOWN_CLASS = "other"  # the catalogue's class for what it knows nothing of
GIVEN_U = 0.2  # relative, of a held figure given by hand; assumed, about the spread of the priors
LABEL_TOLERANCE = (
    0.003  # by volume; published: Regulation (EU) 1169/2011, annex XII, read second-hand
)
KEPT_U = 0.5  # relative, of what filter and vessel keep; assumed, one paper keeps 2 to 6 mL


@dataclass(frozen=True, slots=True)
class Known:
    """A figure, its standard uncertainty, and where it comes from in plain words."""

    value: float
    u: float
    source: str


@dataclass(frozen=True, slots=True)
class DefaultDays:
    """How long a steep takes unless told otherwise, and who says so."""

    value: int
    source: str


def kind_named(name: str) -> str:
    """Return the class that the last word of a name says, as in “willow bark”; else `other`."""
    last = key(name).split(" ")[-1]
    return last if last in classes() else UNKNOWN_CLASS


def weighed(
    name: str,
    mass_g: float,
    typed: str,
    *,
    library: Library = SHIPPED,
    material_class: str | None = None,
    fresh: bool | None = None,
    moisture: float | None = None,
    soluble: float | None = None,
) -> BotanicalLine:
    """Return the line of a charge for a botanical named by a person; unknown ones go by class."""
    found, shown = library.find(name), library.find(name, fresh)
    return BotanicalLine(
        name=clean(shown.name if shown else name, 80),
        mass_g=mass_g,
        typed=typed,
        material_class=material_class or (found.material_class if found else kind_named(name)),
        fresh=fresh if fresh is not None else bool(found and found.fresh),
        catalogue_id=found.id if found else None,
        moisture=moisture,
        soluble=soluble,
    )


def known(line: BotanicalLine, library: Library = SHIPPED) -> Botanical | None:
    """Return what the catalogue knows of a botanical in the state, dried or fresh, it was used."""
    return library.find(line.catalogue_id, line.fresh) if line.catalogue_id else None


def moisture_of(line: BotanicalLine, library: Library = SHIPPED) -> Known:
    """Return the water of a botanical as a fraction of its mass."""
    if line.moisture is not None:
        return Known(line.moisture, 0.0, "given by you")
    moisture, _ = library.dryness(line)
    return Known(moisture.value, moisture.u, moisture.source)


def soluble_of(line: BotanicalLine, library: Library = SHIPPED) -> Known:
    """Return the soluble part of a botanical as a fraction of its dry mass."""
    if line.soluble is not None:
        return Known(line.soluble, 0.0, "given by you")
    _, soluble = library.dryness(line)
    return Known(soluble.value, soluble.u, soluble.source)


def held_of(
    line: BotanicalLine,
    separation: Separation,
    given_ml_per_g: float | None,
    library: Library = SHIPPED,
) -> tuple[Held, Known]:
    """Return what a gram of the spent botanical holds, and where that figure comes from."""
    if given_ml_per_g is not None:
        known = Known(given_ml_per_g, GIVEN_U * given_ml_per_g, "given by you")
        return Held(known.value, known.u, per_dry=True), known
    usual = library.absorption(line, separation)
    known = Known(usual.mean, usual.sd, usual.source)
    return Held(known.value, known.u, per_dry=usual.per_dry), known


def kept_of(given_ml: float | None, settings: Settings) -> Known:
    """Return what filter and vessel keep, in mL."""
    if given_ml is not None:
        return Known(given_ml, KEPT_U * given_ml, "given by you")
    house = settings.steep.kept_ml
    return Known(house, KEPT_U * house, "house setting")


def solids(
    charge: Charge, tools: Instruments | None = None, library: Library = SHIPPED
) -> tuple[Solid, ...]:
    """Return the botanicals of a charge as the arithmetic takes them.

    With `tools`, each mass carries the ± of the scale it is weighed on.
    """
    made = []
    for line in charge.botanicals:
        moisture, soluble = moisture_of(line, library), soluble_of(line, library)
        made.append(
            Solid(
                line.mass_g,
                moisture.value,
                soluble.value,
                moisture_u=moisture.u,
                soluble_u=soluble.u,
                mass_u_g=Measured(line.mass_g, tools.mass_step_g(line.mass_g) if tools else 0.0).u,
                fresh=line.fresh,
            )
        )
    return tuple(made)


def pours(spirits: Sequence[SpiritLine], tools: Instruments | None = None) -> tuple[Pour, ...]:
    """Return the spirits of a charge as the arithmetic takes them.

    With `tools`, each pour carries the ± of the house's cylinder and of a label's strength.
    """
    step_ml = tools.volume_step_ml if tools else 0.0
    label_u = LABEL_TOLERANCE / sqrt(3) if tools else 0.0
    return tuple(
        Pour(
            s.volume_ml,
            s.strength,
            s.temperature_c,
            volume_u_ml=Measured(s.volume_ml, step_ml).u,
            strength_u=label_u if 0 < s.strength < 1 else 0.0,
        )
        for s in spirits
    )


def held(charge: Charge, library: Library = SHIPPED) -> tuple[Held, ...]:
    """Return what each botanical's spent solids are expected to hold."""
    given = charge.held_ml_per_g
    return tuple(held_of(line, charge.separation, given, library)[0] for line in charge.botanicals)


def steep_days(
    botanicals: Sequence[BotanicalLine], house_days: int, library: Library = SHIPPED
) -> DefaultDays:
    """Return the usual length of a steep: the catalogue's for the heaviest botanical it knows."""
    for line in sorted(botanicals, key=lambda line: -line.mass_g):
        found = known(line, library)
        if found and found.days_typical is not None:
            days = max(round(found.days_typical), 1)
            return DefaultDays(days, f"usual for {found.name}: {found.days_source}")
        if found and found.days_max is not None and found.days_max < house_days:
            most = max(int(found.days_max), 1)
            return DefaultDays(most, f"the most for {found.name}: {found.days_source}")
    return DefaultDays(house_days, "house setting")


def taste_from_day(botanicals: Sequence[BotanicalLine], library: Library = SHIPPED) -> int | None:
    """Return the days after charging from which to taste: of the first that is known, or None."""
    for line in botanicals:
        found = known(line, library)
        if found and found.taste_from_day is not None:
            return max(round(found.taste_from_day), 1)
    return None


def usual_ratio(
    botanicals: Sequence[BotanicalLine], library: Library = SHIPPED
) -> tuple[float, float] | None:
    """Return the ratios that are usual for a charge of one botanical that the catalogue knows."""
    found = known(botanicals[0], library) if len(botanicals) == 1 else None
    if found is None or found.ratio_min is None or found.ratio_max is None:
        return None
    return found.ratio_min, found.ratio_max


def cautions_of(line: BotanicalLine, library: Library = SHIPPED) -> tuple[Caution, ...]:
    """Return what to mind with one botanical."""
    found = library.find(line.catalogue_id) if line.catalogue_id else None
    return of_plant(found) if found else ()
