"""Planning a jar for a named botanical: what the house knows fills in what was not said."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from steepboard.catalogue.load import SHIPPED, Library
from steepboard.domain import planning
from steepboard.domain.planning import Material
from steepboard.domain.records import BotanicalLine, Separation, SpiritLine
from steepboard.services import material
from steepboard.services.acts import Order
from steepboard.services.details import cautions
from steepboard.services.material import Known

if TYPE_CHECKING:
    from steepboard.catalogue.load import Caution
    from steepboard.domain.planning import Plan
    from steepboard.settings import Settings

UNNAMED = "botanical"


@dataclass(frozen=True, slots=True)
class Wish:
    """What a person asks of a plan; what is None is filled in.

    One of `want_ml` (bottled), `have_g`, `spirit_ml` or `vessel_ml` sets the size.
    """

    strength: float
    name: str = UNNAMED
    want_ml: float | None = None
    have_g: float | None = None
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


@dataclass(frozen=True, slots=True)
class Planned:
    """A plan, what was taken as known for it, and what to mind."""

    plan: Plan
    known: dict[str, Known]
    """By `moisture`, `soluble`, `held`, `kept` and `days`, each with its source."""
    preparation: str
    taste_from_day: int
    """Days after charging from which to taste."""
    cautions: tuple[Caution, ...]
    order: Order
    """What to charge a jar with; amounts rounded to what a scale and a cylinder show."""


def make(settings: Settings, wish: Wish, library: Library = SHIPPED) -> Planned:
    """Return the plan for a wish. Raises `OutOfRange`, `NoAnswer` or `NothingWeighed`."""
    separation = wish.separation or settings.steep.separation
    line = _line(wish, 1.0, library)
    moisture, soluble = material.moisture_of(line, library), material.soluble_of(line, library)
    held, held_known = material.held_of(line, separation, wish.held_ml_per_g)
    kept = material.kept_of(wish.kept_ml, settings)
    found = material.known(line, library)
    what = Material(
        moisture.value,
        soluble.value,
        held.ml_per_g,
        held.u,
        fresh=line.fresh,
        per_dry=held.per_dry,
        usual_ratio=material.usual_ratio((line,), library),
    )
    plan = _plan(settings, wish, what, kept)
    days = material.steep_days((line,), settings.steep.days, library)
    return Planned(
        plan,
        {
            "moisture": moisture,
            "soluble": soluble,
            "held": held_known,
            "kept": kept,
            "days": Known(days.value, 0.0, days.source),
        },
        found.preparation if found else "",
        material.taste_from_day((line,), library) or 1,
        cautions(settings, (line,), wish.strength, plan.liquor, library),
        _order(settings, wish, _line(wish, _mass_g(settings, plan), library), plan, separation),
    )


def _plan(settings: Settings, wish: Wish, what: Material, kept: Known) -> Plan:
    house = settings.arithmetic
    if wish.want_ml is not None:
        return planning.plan_for_yield(
            wish.want_ml,
            wish.strength,
            what,
            kept_ml=kept.value,
            kept_u_ml=kept.u,
            ratio=wish.ratio,
            vessel_ml=wish.vessel_ml,
            keeps=house.keeps_strength,
            solids_ml_per_g=house.solids_ml_per_g,
        )
    return planning.plan_from(
        wish.strength,
        what,
        kept_ml=kept.value,
        kept_u_ml=kept.u,
        botanical_g=wish.have_g,
        spirit_ml=wish.spirit_ml,
        vessel_ml=wish.vessel_ml,
        ratio=wish.ratio,
        keeps=house.keeps_strength,
        solids_ml_per_g=house.solids_ml_per_g,
    )


def _line(wish: Wish, mass_g: float, library: Library) -> BotanicalLine:
    return material.weighed(
        wish.name,
        mass_g,
        f"{mass_g:g} g",
        library=library,
        material_class=wish.material_class,
        fresh=wish.fresh,
        moisture=wish.moisture,
        soluble=wish.soluble,
    )


def _order(
    settings: Settings, wish: Wish, line: BotanicalLine, plan: Plan, separation: Separation
) -> Order:
    tools = settings.instruments
    volume_ml = _to_step(plan.solvent_ml, tools.volume_step_ml)
    spirit = SpiritLine(
        wish.spirit_name,
        volume_ml,
        wish.strength,
        20.0,  # planned volumes are those at 20 °C
        f"{volume_ml:g} mL",
        f"{wish.strength * 100:g} %",
    )
    return Order(
        (line,),
        (spirit,),
        separation=separation,
        vessel_ml=wish.vessel_ml,
        held_ml_per_g=wish.held_ml_per_g,
        kept_ml=wish.kept_ml,
    )


def _mass_g(settings: Settings, plan: Plan) -> float:
    return _to_step(plan.botanical_g, settings.instruments.scale_step_g)


def _to_step(value: float, step: float) -> float:
    """Round to what an instrument shows, at least one step."""
    return round(max(round(value / step), 1) * step, 6)
