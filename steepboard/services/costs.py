"""What jars, bottles and doses cost, and the money that marc held within a year."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING

from steepboard.domain import costs
from steepboard.domain.costs import Bought, Cost, Entry, Price, Ware
from steepboard.domain.dosing import converted_ml
from steepboard.errors import NoPrice, NothingToUndo, OutOfRange
from steepboard.services import bottle_shelf, losses, money, wares
from steepboard.services import house as diary
from steepboard.services.details import details
from steepboard.services.undoing import LastAct
from steepboard.store import house, jars
from steepboard.store import prices as store
from steepboard.text import clean

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from steepboard.domain.bottles import Bottle
    from steepboard.domain.records import Charge, Jar
    from steepboard.services.desk import Desk
    from steepboard.services.house import Topic
    from steepboard.services.losses import Strained

_YEAR = timedelta(days=365)


@dataclass(frozen=True, slots=True)
class JarCost:
    """What a jar cost."""

    cost: Cost
    volume_ml: float
    """What was recovered, or else what is expected."""

    @property
    def per_ml(self) -> Decimal:
        """What a mL of it costs."""
        return costs.per_ml(self.cost.total, self.volume_ml)


@dataclass(frozen=True, slots=True)
class DoseCost:
    """What one house dose from a bottle costs."""

    name: str
    amount: Decimal


@dataclass(frozen=True, slots=True)
class BottleCost:
    """What stands in a bottle, in money."""

    bottle: Bottle
    per_ml: Decimal
    held: Decimal
    """What is left in it."""
    doses: tuple[DoseCost, ...]
    unpriced: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MarcCost:
    """The spirit in the marc of one jar."""

    code: str
    spirit: Decimal
    """What was poured cost."""
    share: float
    """Of the liquid, held in the marc."""
    unpriced: tuple[str, ...]
    """Its spirits that have no price."""

    @property
    def amount(self) -> Decimal:
        """What that share cost."""
        return costs.part(self.spirit, self.share)


@dataclass(frozen=True, slots=True)
class Costs:
    """What the shelf holds in money."""

    currency: str
    bottles: tuple[BottleCost, ...]
    in_marc: Decimal
    """Spirit that the marc of the jars bottled within a year held."""
    unpriced: tuple[str, ...]
    """Spirits of those jars that have no price."""


def prices(desk: Desk) -> tuple[Price, ...]:
    """Return all prices in the house's currency; raises `NoCurrency`."""
    return store.prices(desk.store, money.currency(desk.settings))


def keep_price(
    desk: Desk,
    ware: Ware,
    name: str,
    amount: Decimal,
    now: datetime,
    from_day: date | None = None,
    currency: str = "",
) -> Price:
    """Keep what a litre or a kilogram costs from a day on, today if none is said.

    The currency is the house's if none is said. Raises `NoCurrency`, `BadAmount` for what is no
    currency, and `OutOfRange` for a day still to come.
    """
    code = money.known(currency) if currency else money.currency(desk.settings)
    today = desk.day(now)
    day = from_day or today
    if day > today:
        raise OutOfRange("days until a price holds", (day - today).days, "0 or less")
    with desk.store.writing() as db:
        wanted = clean(name, 80)
        price = Price(ware, next(_kept(desk, ware, wanted), wanted), day, amount, code)
        entry_id = diary.write(desk, db, topic(ware), price.name, "keep", now)
        store.add_price(db, entry_id, price)
    return price


def forget_price(desk: Desk, ware: Ware, name: str, now: datetime) -> None:
    """Forget all prices of a ware, whatever it was called; raises `NoPrice` for none."""
    wanted = clean(name, 80)
    with desk.store.writing() as db:
        same = tuple(_kept(desk, ware, wanted))
        if not same:
            raise NoPrice(wanted)
        for one in same:
            diary.write(desk, db, topic(ware), one, "forget", now)


def undo_price(desk: Desk, ware: Ware, name: str, now: datetime) -> LastAct:
    """Take back what was said last of a price, of all its names where all were forgotten.

    Raises `NoPrice` and `NothingToUndo`.
    """
    wanted = clean(name, 80)
    with desk.store.writing() as db:
        same = _same(desk, ware, wanted)
        if not same:
            raise NoPrice(wanted)
        said = [one for one in (house.last_said(desk.store, topic(ware), n) for n in same) if one]
        if not said:
            raise NothingToUndo(f"Nothing of {wanted} is left to undo.")
        last = max(said, key=lambda one: one.id)
        gone = house.forgotten_with(desk.store, last) if last.kind == "forget" else (last,)
        for one in gone:
            diary.write_undo(desk, db, one.topic, one.name, one.id, now)
    return LastAct(last.name, gone)


def topic(ware: Ware) -> Topic:
    """Return under what the diary of the house keeps the prices of a kind of ware."""
    return "spirit price" if ware is Ware.SPIRIT else "botanical price"


def _same(desk: Desk, ware: Ware, name: str) -> tuple[str, ...]:
    """Return the names that prices were ever kept under and that go by the same as this one."""
    entry = wares.entries(desk)
    names = house.names(desk.store, topic(ware))
    return tuple(one for one in names if entry(ware, one) == entry(ware, name))


def _kept(desk: Desk, ware: Ware, name: str) -> Iterator[str]:
    """Return of these names the ones that a price is kept under."""
    kept = house.kept(desk.store, topic(ware))
    return (one for one in _same(desk, ware, name) if one in kept)


def cost_of(desk: Desk, jar: Jar) -> JarCost | None:
    """Return what a jar cost; None where the house has no currency or no price of it."""
    if not desk.settings.money.currency:
        return None
    found = _jar_cost(desk, jar, prices(desk), wares.entries(desk))
    return found if found and found.cost.total else None


def cost_of_bottle(desk: Desk, one: Bottle) -> BottleCost | None:
    """Return what a bottle and its doses cost; None without a currency or any price of it."""
    if not desk.settings.money.currency:
        return None
    known, entry, of_jar = prices(desk), wares.entries(desk), dict[int, JarCost | None]()
    for jar_id, _ in one.liquid.shares:
        jar = jars.by_id(desk.store, jar_id)
        of_jar[jar_id] = _jar_cost(desk, jar, known, entry) if jar else None
    found = _bottle_cost(desk, one, of_jar)
    return found if found.per_ml else None


def costs_of_shelf(desk: Desk, now: datetime) -> Costs:
    """Return what every bottle that stands costs, and what marc held; raises `NoCurrency`."""
    code, known = money.currency(desk.settings), prices(desk)
    entry, of_jar = wares.entries(desk), dict[int, JarCost | None]()
    made = []
    for one in bottle_shelf.bottles(desk):
        for jar_id, _ in one.liquid.shares:
            if jar_id not in of_jar:
                jar = jars.by_id(desk.store, jar_id)
                of_jar[jar_id] = _jar_cost(desk, jar, known, entry) if jar else None
        made.append(_bottle_cost(desk, one, of_jar))
    in_marc, unpriced = held_in_marc(desk, losses.strained(desk), now)
    return Costs(code, tuple(made), in_marc, unpriced)


def bought(charge: Charge) -> tuple[Bought, ...]:
    """Return what a charge takes that is bought; water is not."""
    spirits = (Bought(Ware.SPIRIT, s.name, s.volume_ml) for s in charge.spirits if s.strength > 0)
    return (*spirits, *(Bought(Ware.BOTANICAL, b.name, b.mass_g) for b in charge.botanicals))


def _jar_cost(desk: Desk, jar: Jar, known: tuple[Price, ...], entry: Entry) -> JarCost | None:
    at = jar.charged_at or jar.planned_at
    out = bottle_shelf.recovered(desk, jar)
    volume_ml = out[0] if out else details(desk, jar).expected.expected_ml
    if at is None or volume_ml <= 0.0:
        return None
    found = costs.cost(bought(jar.charge), known, desk.day(at), entry)
    return JarCost(found, volume_ml)


def _bottle_cost(desk: Desk, one: Bottle, of_jar: dict[int, JarCost | None]) -> BottleCost:
    each = Decimal(0)
    unpriced: dict[str, None] = {}
    for jar_id, share in one.liquid.shares:
        if found := of_jar[jar_id]:
            each += costs.part(found.per_ml, share)
            unpriced |= dict.fromkeys(found.cost.unpriced)
    doses = tuple(
        DoseCost(dose.name, costs.part(each, converted_ml(dose, one.liquid.intensity)))
        for dose in house.doses(desk.store)
        if dose.of.casefold() == one.tag.name.casefold() and one.liquid.intensity > 0.0
    )
    return BottleCost(one, each, costs.part(each, one.left_ml), doses, tuple(unpriced))


def held_in_marc(
    desk: Desk, strained: Iterable[Strained], now: datetime
) -> tuple[Decimal, tuple[str, ...]]:
    """Return the spirit in the marc of a year, by its share of the poured, and what is unpriced.

    Raises `NoCurrency`.
    """
    found = marcs(desk, strained, now)
    unpriced = dict.fromkeys(name for one in found for name in one.unpriced)
    return together(found), tuple(unpriced)


def together(found: Iterable[MarcCost]) -> Decimal:
    """Return what the marc of these jars held."""
    return sum((one.amount for one in found), Decimal(0))


def marcs(desk: Desk, strained: Iterable[Strained], now: datetime) -> tuple[MarcCost, ...]:
    """Return what the marc of each jar bottled within a year held; raises `NoCurrency`."""
    known, entry, made = prices(desk), wares.entries(desk), []
    for one in strained:
        if not one.jar.charged_at or not one.jar.bottled_at or one.jar.bottled_at < now - _YEAR:
            continue
        day = desk.day(one.jar.charged_at)
        found = costs.cost(bought(one.jar.charge), known, day, entry)
        spirits = {line.name for line in one.jar.charge.spirits}
        unpriced = tuple(name for name in found.unpriced if name in spirits)
        share = max(one.shares.marc, 0.0)
        made.append(MarcCost(one.jar.code, found.spirit, share, unpriced))
    return tuple(made)
