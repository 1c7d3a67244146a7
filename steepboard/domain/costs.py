"""What batches cost: money in decimals, never in binary fractions; volumes and masses as measured.

A sum of money is exact to 28 digits and is rounded only where it is shown.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import TypeAlias

_THOUSAND = Decimal(1000)


class Ware(StrEnum):
    """What is bought."""

    SPIRIT = "spirit"
    """Priced by the litre."""
    BOTANICAL = "botanical"
    """Priced by the kilogram."""


Entry: TypeAlias = Callable[[Ware, str], str]


@dataclass(frozen=True, slots=True)
class Price:
    """What a litre or a kilogram costs from a day on."""

    ware: Ware
    name: str
    from_day: date
    amount: Decimal
    currency: str


@dataclass(frozen=True, slots=True)
class Bought:
    """So much of a ware, in mL or in g."""

    ware: Ware
    name: str
    quantity: float


@dataclass(frozen=True, slots=True)
class Cost:
    """What a batch cost, as far as prices are known."""

    spirit: Decimal
    botanical: Decimal
    unpriced: tuple[str, ...] = ()
    """What no price is known of; it is missing in the sums."""

    @property
    def total(self) -> Decimal:
        """Spirit and botanicals."""
        return self.spirit + self.botanical


def exact(quantity: float) -> Decimal:
    """Return a measured quantity as the decimal it is written as: 0.1 is a tenth."""
    return Decimal(repr(quantity))


def price_on(
    prices: Iterable[Price], ware: Ware, name: str, day: date, entry: Entry
) -> Price | None:
    """Return the price of a ware on a day: the last one from before, or else the first there is.

    `entry` says what a name goes by; a price serves all names that go by the same.
    """
    wanted = entry(ware, name)
    mine = [one for one in prices if one.ware is ware and entry(ware, one.name) == wanted]
    before = [one for one in mine if one.from_day <= day]
    if before:
        return max(before, key=lambda one: one.from_day)
    return min(mine, key=lambda one: one.from_day, default=None)


def cost(bought: Iterable[Bought], prices: Iterable[Price], day: date, entry: Entry) -> Cost:
    """Return what all of it costs by the prices of a day; `entry` as in `price_on`."""
    prices = tuple(prices)
    sums = dict.fromkeys(Ware, Decimal(0))
    unpriced: dict[str, None] = {}
    for one in bought:
        price = price_on(prices, one.ware, one.name, day, entry)
        if price is None:
            unpriced[one.name] = None
        else:
            sums[one.ware] += price.amount * exact(one.quantity) / _THOUSAND
    return Cost(sums[Ware.SPIRIT], sums[Ware.BOTANICAL], tuple(unpriced))


def per_ml(total: Decimal, volume_ml: float) -> Decimal:
    """Return what one of so many mL costs."""
    return total / exact(volume_ml)


def part(total: Decimal, share: float) -> Decimal:
    """Return what a share of something that cost `total` is worth."""
    return total * exact(share)
