"""Why the figures of a charged jar are what they are, and what they share with those of a plan."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from steepboard.domain.figures import one_to, percent, short
from steepboard.domain.liquor import SOLIDS_ML_PER_G_U, WALL_DENSITY_G_ML
from steepboard.domain.why import Input, Why
from steepboard.services import material, spirits

if TYPE_CHECKING:
    from steepboard.catalogue.load import Library
    from steepboard.domain.expected import Expected
    from steepboard.domain.liquor import Liquor
    from steepboard.domain.planning import Plan
    from steepboard.domain.records import BotanicalLine, Separation, SpiritLine
    from steepboard.services.details import Details
    from steepboard.settings import Settings

OIML = "published: OIML R 22, general formula for the density of ethanol and water"
GIVEN = "given by you"
CHARGED = "written down for this jar"
PLANNED = "worked out: see weigh and pour"
RATIO = "mL of solvent, mixed and at 20 °C, for each gram of botanical as it was weighed."
HOUSE_LINE = "1:5 at 40 %, 1:10 at 80 %, a straight line between; outside, the end value holds."
ADDING = f"masses add up, volumes do not; {OIML}"
HOUSE_RULE = "common practice, no source; a rule of thumb: taste"
GUM = "published: JCGM 100:2008 (GUM), 5.1.2, first order; 80 % from any table of the normal curve"


class Charged(Protocol):
    """What a charge and an order have in common."""

    @property
    def botanicals(self) -> tuple[BotanicalLine, ...]:
        """What was weighed."""

    @property
    def spirits(self) -> tuple[SpiritLine, ...]:
        """What was poured."""

    @property
    def held_ml_per_g(self) -> float | None:
        """What a dry gram holds, where it was given."""

    @property
    def kept_ml(self) -> float | None:
        """What filter and vessel keep, where it was given."""


@dataclass(frozen=True, slots=True)
class Known:
    """What goes into the figures of one charge, each with its source."""

    weighed: tuple[Input, ...]
    poured: tuple[Input, ...]
    dryness: tuple[Input, ...]
    held: tuple[Input, ...]
    kept: Input
    solids: Input

    @property
    def liquor(self) -> tuple[Input, ...]:
        """All that the liquor is worked out from."""
        return (*self.weighed, *self.poured, *self.dryness, self.solids)


def known(
    charged: Charged,
    separation: Separation,
    settings: Settings,
    library: Library,
    amounts: str = CHARGED,
) -> Known:
    """Return what goes into the figures of a charge; `amounts` says who gave its amounts."""
    dryness: list[Input] = []
    held = []
    for line in charged.botanicals:
        basis, keeps = material.held_of(line, separation, charged.held_ml_per_g, library)
        gram = "g as charged" if line.fresh and not basis.per_dry else "dry g"
        dryness += dryness_of(line, library)
        amount = f"{keeps.value:.2f} ± {keeps.u:.2f} mL per {gram}"
        held.append(Input(f"held by {line.name}, {separation.value}", amount, keeps.source))
    return Known(
        tuple(Input(line.name, line.typed, amounts) for line in charged.botanicals),
        tuple(one for line in charged.spirits for one in pour_of(line, amounts, library)),
        tuple(dryness),
        tuple(held),
        kept_of(charged.kept_ml, settings),
        solids_of(settings),
    )


def dryness_of(line: BotanicalLine, library: Library) -> tuple[Input, Input]:
    """Return how much water a botanical holds, and how much of it dissolves."""
    water, soluble = material.moisture_of(line, library), material.soluble_of(line, library)
    return (
        _share(f"water in {line.name}", water),
        _share(f"soluble part of dry {line.name}", soluble),
    )


def kept_of(given_ml: float | None, settings: Settings) -> Input:
    """Return what filter and vessel keep."""
    kept = material.kept_of(given_ml, settings)
    return Input("kept by filter and vessel", f"{kept.value:g} ± {kept.u:g} mL", kept.source)


def solids_of(settings: Settings) -> Input:
    """Return the volume that a gram of what dissolves takes."""
    return Input(
        "volume of what dissolves",
        f"{settings.arithmetic.solids_ml_per_g:g} ± {SOLIDS_ML_PER_G_U:g} mL/g",
        "house setting; from memory, for sugars and most plant salts",
    )


def of_charge(
    found: Details,
    charged: Charged,
    separation: Separation,
    settings: Settings,
    library: Library,
    amounts: str = CHARGED,
) -> tuple[Why, ...]:
    """Return the answers for the figures of a charged jar; `amounts` says who gave its amounts."""
    all_of = known(charged, separation, settings, library, amounts)
    return (
        _ratio(found.ratio, all_of),
        _house_ratio(found.house_ratio, found.solvent_strength, all_of),
        _intensity(found, all_of),
        *of_liquor(found.liquor, all_of),
        *of_expected(found.expected, found.liquor, all_of),
    )


def of_vessel(vessel_ml: float | None) -> tuple[Why, ...]:
    """Return the answer for what the jar holds, where that was written down."""
    if vessel_ml is None:
        return ()
    return (
        Why("holds", f"{short(vessel_ml)} mL", "A jar is filled to nine tenths at most.", CHARGED),
    )


def _ratio(ratio: float, all_of: Known) -> Why:
    inputs = (*all_of.weighed, *all_of.poured)
    return Why("ratio", one_to(ratio), RATIO, "the trade's way to write it", inputs)


def _house_ratio(ratio: float, strength: float, all_of: Known) -> Why:
    inputs = (Input("strength of all that was poured", percent(strength), OIML), *all_of.poured)
    return Why("house ratio", one_to(ratio), HOUSE_LINE, HOUSE_RULE, inputs)


def _intensity(found: Details, all_of: Known) -> Why:
    rule = (
        "Grams of botanical for each mL bottled (or expected, as long as none is), times the house "
        "ratio of the strength poured, divided by 5."
    )
    inputs = (*all_of.weighed, Input("house ratio", one_to(found.house_ratio), HOUSE_RULE))
    return Why("intensity", f"{found.intensity:.2g}", rule, HOUSE_RULE, inputs)


def of_liquor(made: Liquor, all_of: Known) -> tuple[Why, ...]:
    """Return the answers for what is in the jar, and for its strength."""
    inputs = all_of.liquor
    liquor = (Input("liquor", f"{made.volume_ml:.1f} mL", "worked out: see liquor"),)
    read = made.apparent_strength
    return (
        Why(
            "liquor",
            f"{made.volume_ml:.1f} mL at {made.density_g_ml:.4f} g/mL",
            "Ethanol and water as poured, the water of the botanicals, and what dissolves of them.",
            ADDING,
            inputs,
        ),
        Why(
            "strength",
            percent(made.true_strength),
            "The ethanol alone, as mL at 20 °C, in each mL of liquor.",
            OIML,
            inputs,
        ),
        Why(
            "without its solids",
            percent(made.solids_free_strength),
            "The strength of its ethanol and water alone, what is dissolved left out.",
            OIML,
            liquor,
        ),
        Why(
            "hydrometer",
            "cannot read it" if read is None else percent(read),
            "The strength of plain spirit as dense as the liquor: what is dissolved makes it "
            "heavier, and a hydrometer takes that for water.",
            OIML,
            liquor,
        ),
    )


def fills_jar(fill_ml: float, made: Liquor, all_of: Known) -> Why:
    """Return the answer for how much of the jar all of it fills."""
    rule = "The liquor and the walls of what does not dissolve."
    inputs = (
        Input("liquor", f"{made.volume_ml:.1f} mL", "worked out: see liquor"),
        *all_of.dryness,
        Input("density of dry plant matter", f"{WALL_DENSITY_G_ML:g} g/mL", "from memory"),
    )
    return Why("in the jar", f"{fill_ml:.1f} mL", rule, "volumes of what does not mix add", inputs)


def of_expected(expected: Plan | Expected, made: Liquor, all_of: Known) -> tuple[Why, ...]:
    """Return the answers for what should be bottled, and for its range."""
    liquor = Input("liquor", f"{made.volume_ml:.1f} mL", "worked out: see liquor")
    inputs = (liquor, *all_of.held, all_of.kept)
    return (
        Why(
            "expected",
            f"{expected.expected_ml:.0f} mL",
            "The liquor, less what the solids hold, less what filter and vessel keep.",
            "what goes in comes out or stays behind",
            inputs,
        ),
        Why(
            "range",
            f"{expected.low_ml:.0f} to {expected.high_ml:.0f} mL",
            "1.28 times the ± of all that goes in, added in squares: it should hold 8 in 10 times.",
            GUM,
            (*inputs, *all_of.dryness, all_of.solids),
        ),
    )


def pour_of(line: SpiritLine, amounts: str, library: Library) -> tuple[Input, ...]:
    """Return volume and strength of a pour; the strength apart where a name stands for it."""
    source = spirits.source_of(line, library)
    if source == GIVEN:
        of = f" of {line.typed_strength}" if line.strength else ""
        amount = f"{line.typed_volume}{of}"
        return (Input(line.name, amount, amounts),)
    return (
        Input(line.name, line.typed_volume, amounts),
        Input(f"strength of {line.name}", percent(line.strength), source),
    )


def _share(name: str, figure: material.Known) -> Input:
    doubt = f" ± {percent(figure.u)}" if figure.u else ""
    return Input(name, f"{percent(figure.value)}{doubt}", figure.source)
