"""What a planned jar is charged with, in amounts that scale and cylinder show."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from steepboard.domain.expected import expected_yield
from steepboard.domain.liquor import liquor
from steepboard.domain.records import BotanicalLine, Separation, SpiritLine
from steepboard.services import material
from steepboard.services.acts import Order

if TYPE_CHECKING:
    from steepboard.domain.liquor import Pour
    from steepboard.domain.planning import Plan, Terms
    from steepboard.services.plans import Wish
    from steepboard.settings import Instruments

WATER = "water"


@dataclass(frozen=True, slots=True)
class Rounded:
    """What rounding to what scale and cylinder show does to a plan."""

    changes_ml: float
    """Bottled volume, rounded less exact."""
    ratio: float
    scale_step_g: float
    volume_step_ml: float


def order_of(
    tools: Instruments,
    wish: Wish,
    plan: Plan,
    lines: tuple[BotanicalLine, ...],
    separation: Separation,
) -> Order:
    """Return what to charge a jar with; `lines` are its botanicals, whatever their masses."""
    return Order(
        tuple(
            _weighed(line, mass_g, tools) for line, mass_g in zip(lines, plan.masses_g, strict=True)
        ),
        tuple(_poured(pour, wish, tools) for pour in plan.pours),
        separation=separation,
        vessel_ml=wish.vessel_ml,
        held_ml_per_g=wish.held_ml_per_g,
        kept_ml=wish.kept_ml,
    )


def rounded(tools: Instruments, plan: Plan, terms: Terms, order: Order) -> Rounded:
    """Return what a jar charged by `order` does otherwise than the exact plan."""
    botanicals = order.botanicals
    solids = [m.solid(b.mass_g) for m, b in zip(terms.materials, botanicals, strict=True)]
    pours = material.pours(order.spirits)
    bottled = expected_yield(
        solids, pours, terms.held, terms.kept_ml, solids_ml_per_g=terms.solids_ml_per_g
    )
    ratio = liquor((), pours).volume_ml / sum(line.mass_g for line in botanicals)
    changes_ml = bottled.expected_ml - plan.expected_ml
    step_g = tools.mass_step_g(max(line.mass_g for line in botanicals))
    return Rounded(changes_ml, ratio, step_g, tools.volume_step_ml)


def _weighed(line: BotanicalLine, mass_g: float, tools: Instruments) -> BotanicalLine:
    shown_g = _to_step(mass_g, tools.mass_step_g(mass_g))
    return replace(line, mass_g=shown_g, typed=f"{shown_g:g} g")


def _poured(pour: Pour, wish: Wish, tools: Instruments) -> SpiritLine:
    shown_ml = _to_step(pour.volume_ml, tools.volume_step_ml)
    is_spirit = pour.strength > 0.0
    return SpiritLine(
        wish.spirit_name if is_spirit else WATER,
        shown_ml,
        pour.strength,
        pour.temperature_c,
        f"{shown_ml:g} mL",
        (wish.strength_typed if is_spirit else "") or f"{pour.strength * 100:g} %",
    )


def _to_step(value: float, step: float) -> float:
    """Round to what an instrument shows, at least one step."""
    return round(max(round(value / step), 1) * step, 6)
