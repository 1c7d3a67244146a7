"""Planning a jar for named botanicals: what the house knows fills in what was not said."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import sqrt
from typing import TYPE_CHECKING

from steepboard.catalogue.load import SHIPPED, Library
from steepboard.catalogue.tables import GIVEN
from steepboard.domain import planning
from steepboard.domain.planning import Held, Material, Terms, Tools
from steepboard.domain.readings import Measured
from steepboard.domain.records import BotanicalLine, Separation
from steepboard.errors import NoAnswer
from steepboard.services import material
from steepboard.services.acts import Order
from steepboard.services.cautions import cautions, doses
from steepboard.services.material import Known
from steepboard.services.plan_offers import harder_ways, instead_of, more_of, would_do
from steepboard.services.plan_orders import Rounded, order_of, rounded
from steepboard.services.poisons import refuse_plant, refuse_poison
from steepboard.services.spirits import strength_findings

if TYPE_CHECKING:
    from collections.abc import Mapping

    from steepboard.catalogue.load import Caution
    from steepboard.domain.limits import DoseSum
    from steepboard.domain.offers import Offer
    from steepboard.domain.planning import Plan
    from steepboard.settings import Instruments, Settings

UNNAMED = "botanical"


@dataclass(frozen=True, slots=True)
class Further:
    """One more botanical of the same jar, with its parts by mass."""

    name: str
    parts: float
    material_class: str | None = None
    fresh: bool | None = None


@dataclass(frozen=True, slots=True)
class Wish:
    """What a person asks of a plan; what is None is filled in.

    With `want_ml` (bottled) the plan goes backwards, and what is in hand is checked; without it
    `have_g`, `spirit_ml` or `vessel_ml` set the size.
    """

    strength: float
    name: str = UNNAMED
    want_ml: float | None = None
    have_g: float | None = None
    """Of all botanicals together."""
    spirit_ml: float | None = None
    vessel_ml: float | None = None
    ratio: float | None = None
    moisture: float | None = None
    soluble: float | None = None
    held_ml_per_g: float | None = None
    kept_ml: float | None = None
    separation: Separation | None = None
    material_class: str | None = None
    fresh: bool | None = None
    spirit_name: str = "spirit"
    strength_source: str = GIVEN
    """Of the strength of what is poured from the bottle."""
    strength_typed: str = ""
    """The name that stood for that strength; empty where it is a figure."""
    parts: float = 1.0
    """Of the first botanical by mass, beside those of the further ones."""
    further: tuple[Further, ...] = ()
    made_from: float | None = None
    """Strength of the spirit that is let down with water to `strength`."""
    room_c: float = 20.0
    intensity: float | None = None
    """The index to match; gives the ratio where none is said."""
    lines: tuple[BotanicalLine, ...] = ()
    """The botanicals of a past jar, in place of those named; their masses are their parts."""


@dataclass(frozen=True, slots=True)
class Planned:
    """A plan, what was taken as known for it, and what to mind."""

    plan: Plan
    wish: Wish
    """What was asked."""
    known: dict[str, Known]
    """By `moisture`, `soluble`, `held`, `kept`, `days` and `strength` (of the spirit that is
    poured or let down), each with its source."""
    also_known: tuple[dict[str, Known], ...]
    """By `moisture`, `soluble` and `held`, for each further botanical."""
    preparations: tuple[str, ...]
    """How to prepare each botanical, empty where it is not known."""
    taste_from_day: int
    """Days after charging from which to taste."""
    cautions: tuple[Caution, ...]
    doses: tuple[DoseSum, ...]
    """Of what is expected."""
    order: Order
    """What to charge a jar with; amounts rounded to what a scale and a cylinder show."""
    rounded: Rounded
    offers: tuple[Offer, ...]
    """What would bring more, where much stays in the solids."""
    instead: str
    """With how much less the wanted volume could be had then, in plain sentences."""

    @property
    def preparation(self) -> str:
        """How to prepare the botanicals, in one run; of several, each with its name."""
        lines = self.order.botanicals
        if len(lines) == 1:
            return self.preparations[0]
        named = zip(lines, self.preparations, strict=True)
        return " ".join(f"{line.name}: {how}" for line, how in named if how)


def make(settings: Settings, wish: Wish, library: Library = SHIPPED) -> Planned:
    """Return the plan.

    Raises `OutOfRange`, `TooStrong`, `NoAnswer`, `NothingWeighed`, `NotForDrinking` or
    `DeadlyPlant`.
    """
    separation = wish.separation or settings.steep.separation
    lines = _lines(wish, library)
    for name in (wish.spirit_name, *(line.name for line in lines)):
        refuse_poison(name)
    for line in lines:
        refuse_plant(line, library)
    kept = material.kept_of(wish.kept_ml, settings)
    known = [_known(line, wish, separation, library) for line in lines]
    terms = _terms(settings, wish, lines, separation, kept, library)
    harder = harder_ways(lines, separation, library)
    plan = _plan(wish, terms, harder)
    strong = strength_findings([(wish.spirit_name, wish.made_from or wish.strength)], library)
    plan = replace(plan, findings=(*plan.findings, *strong))
    days = material.steep_days(lines, settings.steep.days, library)
    order = order_of(settings.instruments, wish, plan, lines, separation)
    shelf = [material.known(line, library) for line in lines]
    return Planned(
        plan,
        wish,
        {
            **known[0],
            "kept": kept,
            "days": Known(days.value, 0.0, days.source),
            "strength": Known(wish.made_from or wish.strength, 0.0, wish.strength_source),
        },
        tuple(known[1:]),
        tuple(found.preparation if found else "" for found in shelf),
        material.taste_from_day(lines, library) or 1,
        cautions(settings, lines, wish.made_from or wish.strength, plan.liquor, library),
        doses(settings, order.botanicals, plan.expected_ml, library),
        order,
        rounded(settings.instruments, plan, terms, order),
        more_of(plan, terms, harder),
        instead_of(plan, terms, harder),
    )


def _lines(wish: Wish, library: Library) -> tuple[BotanicalLine, ...]:
    """Return the botanicals with their parts in place of grams."""
    if wish.lines:
        return wish.lines
    first = material.weighed(
        wish.name,
        wish.parts,
        "",
        library=library,
        material_class=wish.material_class,
        fresh=wish.fresh,
        moisture=wish.moisture,
        soluble=wish.soluble,
    )
    others = (
        material.weighed(
            other.name,
            other.parts,
            "",
            library=library,
            material_class=other.material_class,
            fresh=other.fresh,
        )
        for other in wish.further
    )
    return (first, *others)


def _known(
    line: BotanicalLine, wish: Wish, separation: Separation, library: Library
) -> dict[str, Known]:
    return {
        "moisture": material.moisture_of(line, library),
        "soluble": material.soluble_of(line, library),
        "held": material.held_of(line, separation, wish.held_ml_per_g, library)[1],
    }


def _terms(
    settings: Settings,
    wish: Wish,
    lines: tuple[BotanicalLine, ...],
    separation: Separation,
    kept: Known,
    library: Library,
) -> Terms:
    return Terms(
        wish.strength,
        tuple(_material(line, wish, separation, library) for line in lines),
        kept.value,
        kept.u,
        ratio=wish.ratio,
        vessel_ml=wish.vessel_ml,
        made_from=wish.made_from,
        room_c=wish.room_c,
        tools=_tools(settings.instruments),
        keeps=settings.arithmetic.keeps_strength,
        solids_ml_per_g=settings.arithmetic.solids_ml_per_g,
    )


def _material(
    line: BotanicalLine, wish: Wish, separation: Separation, library: Library
) -> Material:
    moisture, soluble = material.moisture_of(line, library), material.soluble_of(line, library)
    held, _ = material.held_of(line, separation, wish.held_ml_per_g, library)
    return Material(
        moisture.value,
        soluble.value,
        held.ml_per_g,
        held.u,
        fresh=line.fresh,
        per_dry=held.per_dry,
        usual_ratio=material.usual_ratio((line,), library),
        moisture_u=moisture.u,
        soluble_u=soluble.u,
        parts=line.mass_g,
    )


def _tools(instruments: Instruments) -> Tools:
    return Tools(
        Measured(0.0, instruments.scale_step_g).u,
        Measured(0.0, instruments.volume_step_ml).u,
        material.LABEL_TOLERANCE / sqrt(3),
        Measured(0.0, instruments.kitchen_scale_step_g).u,
        instruments.scale_most_g,
    )


def _plan(wish: Wish, terms: Terms, harder: Mapping[str, tuple[Held, ...]]) -> Plan:
    in_hand = {"botanical_g": wish.have_g, "spirit_ml": wish.spirit_ml}
    want_ml, index = wish.want_ml, wish.intensity if wish.ratio is None else None
    if index is not None:
        if want_ml is None:
            return _matched(planning.plan_from_intensity(index, terms, **in_hand))
        return _matched(planning.plan_for_intensity(want_ml, index, terms, **in_hand))
    if want_ml is None:
        return planning.plan_from(terms, **in_hand)
    try:
        return planning.plan_for_yield(want_ml, terms, **in_hand)
    except NoAnswer as fault:
        raise NoAnswer(f"{fault} {would_do(want_ml, terms, harder)}".strip()) from None


def _matched(plan: Plan) -> Plan:
    """Return the plan without a word on weakness: it tastes as the past jar, dose by dose."""
    return replace(plan, findings=tuple(f for f in plan.findings if f.code != "ratio_weak"))
