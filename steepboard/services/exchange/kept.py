"""The lists that people keep by hand, each out to a spreadsheet and in again."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Hashable, Iterable, Mapping
from contextlib import suppress
from dataclasses import asdict
from typing import TYPE_CHECKING, Any, ClassVar, TypeAlias

from steepboard.catalogue.allergens import allergen
from steepboard.catalogue.botanicals import USES
from steepboard.catalogue.cautions import caution_code
from steepboard.catalogue.classes import classes
from steepboard.catalogue.names import id_of
from steepboard.domain.base import Base
from steepboard.domain.costs import Ware
from steepboard.domain.dosing import Dropper, HouseDose, Tool
from steepboard.domain.own import OwnBotanical
from steepboard.errors import BadCell, UnknownStock
from steepboard.services import costs, doses, droppers, materials, money, stock, wares
from steepboard.services.exchange.readers import (
    Column,
    choice,
    day,
    days,
    flag,
    number,
    ratio,
    score,
    several,
    share,
    strength,
    volume,
    words,
)
from steepboard.store import house, own, prices

if TYPE_CHECKING:
    from datetime import datetime

    from steepboard.services.desk import Desk

Values: TypeAlias = dict[str, Any]
"""What stands in a row, by the heads."""
_NAME = words(80, needed=True)


class Kept(ABC):
    """A list of what is kept by name, at one desk and one moment."""

    columns: ClassVar[Mapping[str, Column]]
    named: ClassVar[tuple[str, ...]] = ("name",)
    """The columns by which a row is known, or that follow from them."""

    def __init__(self, desk: Desk, now: datetime) -> None:
        self._desk, self._now = desk, now

    @abstractmethod
    def rows(self) -> Iterable[Values]:
        """Return all that is kept."""

    @abstractmethod
    def keep(self, told: Values) -> None:
        """Keep what a row says, in place of what was kept; raises what the use case raises."""

    def completed(self, told: Values) -> Values:
        """Return a row with what goes without saying."""
        return told

    def key(self, told: Values) -> Hashable:
        """Return what a row is known by: two rows of one key are of one thing."""
        name: str = told["name"]
        return name.casefold()


class OwnBotanicals(Kept):
    """What a person says of botanicals. The id follows from the name."""

    columns: ClassVar[Mapping[str, Column]] = {
        "id": words(80),
        "name": _NAME,
        "material_class": choice(*classes()),
        "latin": words(120),
        "fresh": Column(flag),
        **dict.fromkeys(("moisture", "soluble"), Column(share)),
        **dict.fromkeys(("ratio_min", "ratio_max"), Column(ratio)),
        **dict.fromkeys(("days_min", "days_typical", "days_max", "taste_from_day"), Column(days)),
        "cautions": several(caution_code),
        "preparation": words(materials.LONGEST),
        "aliases": several(_NAME.read),
        **dict.fromkeys(("part", "form"), words(80)),
        **dict.fromkeys(("strength_min", "strength_max"), Column(strength)),
        **dict.fromkeys(
            ("moisture_low", "moisture_high", "soluble_low", "soluble_high"), Column(share)
        ),
        **dict.fromkeys(("pungency", "bitterness"), Column(score)),
        "allergens": several(allergen),
        "use": choice(*USES),
        "fresh_soft": Column(flag),
        **dict.fromkeys(("fresh_note", "note"), words(materials.LONGEST)),
    }
    named = ("id", "name")

    def rows(self) -> Iterable[Values]:
        """Return what the shelf keeps."""
        return map(asdict, own.botanicals(self._desk.store))

    def key(self, told: Values) -> Hashable:
        """Return the id that the name means."""
        found = self._desk.library.find(told["name"])
        return found.id if found else id_of(told["name"])

    def keep(self, told: Values) -> None:
        """Keep a botanical."""
        said = OwnBotanical(**told)
        materials.keep_botanical(self._desk, said.name, said, self._now, anew=True)


class OwnSpirits(Kept):
    """Spirits with their strengths. The id follows from the name."""

    columns: ClassVar[Mapping[str, Column]] = {
        "id": words(80),
        "name": _NAME,
        "strength": Column(strength, needed=True),
        "note": words(materials.LONGEST),
    }
    named = ("id", "name")

    def rows(self) -> Iterable[Values]:
        """Return what the shelf keeps."""
        return map(asdict, own.spirits(self._desk.store))

    def key(self, told: Values) -> Hashable:
        """Return the id that the name means."""
        found = self._desk.library.find_spirit(told["name"])
        return found.id if found else id_of(told["name"])

    def keep(self, told: Values) -> None:
        """Keep a spirit."""
        materials.keep_spirit(self._desk, told["name"], told["strength"], told["note"])


class Prices(Kept):
    """Prices from a day on, today if none is said, in the house's currency if none is said."""

    columns: ClassVar[Mapping[str, Column]] = {
        "ware": choice(*Ware, needed=True),
        "name": _NAME,
        "from_on": Column(day, is_number=False),
        "amount": Column(money.read, needed=True),
        "currency": words(3),
        "for_one": words(2),
    }
    named = ("ware", "name", "from_on", "for_one")

    def rows(self) -> Iterable[Values]:
        """Return every price, also in a currency the house had before."""
        for one in prices.prices(self._desk.store):
            told = (one.ware, one.name, one.from_day, one.amount, one.currency, _each(one.ware))
            yield dict(zip(self.columns, told, strict=True))

    def completed(self, told: Values) -> Values:
        """Return a row with a day and a currency; raises `BadCell` for one for the wrong unit."""
        each, priced = told["for_one"], _each(Ware(told["ware"]))
        if each and each.casefold() != priced.casefold():
            raise BadCell(f"a {told['ware']} is priced for one {priced}, not for one {each}")
        from_on = told["from_on"] or self._desk.day(self._now)
        code = told["currency"].upper() or money.currency(self._desk.settings)
        return {**told, "from_on": from_on, "currency": code}

    def key(self, told: Values) -> Hashable:
        """Return the ware, the entry that its name goes by, and the day."""
        ware = Ware(told["ware"])
        return ware, wares.entries(self._desk)(ware, told["name"]), told["from_on"]

    def keep(self, told: Values) -> None:
        """Keep a price."""
        costs.keep_price(
            self._desk,
            Ware(told["ware"]),
            told["name"],
            told["amount"],
            self._now,
            told["from_on"],
            told["currency"],
        )


class Pars(Kept):
    """The least that is to stand of each kind, 0 for what is not made again."""

    columns: ClassVar[Mapping[str, Column]] = {
        "name": _NAME,
        "least_ml": Column(volume, needed=True),
    }

    def rows(self) -> Iterable[Values]:
        """Return what the house keeps."""
        for name, least_ml in house.pars(self._desk.store).items():
            yield {"name": name, "least_ml": least_ml}

    def key(self, told: Values) -> Hashable:
        """Return the kind that the name or a part of it means, if it means one."""
        with suppress(UnknownStock):
            return stock.kind(self._desk, told["name"]).casefold()
        return super().key(told)

    def keep(self, told: Values) -> None:
        """Keep how much is to stand."""
        stock.set_par(self._desk, told["name"], told["least_ml"], self._now)


class Doses(Kept):
    """House doses, each with the intensity of the tincture that it was settled with."""

    columns: ClassVar[Mapping[str, Column]] = {
        **dict.fromkeys(("name", "of"), _NAME),
        "volume_ml": Column(volume, needed=True),
        "intensity": Column(number, needed=True),
        "gives": words(200),
        "drink": words(80),
        "drink_ml": Column(volume),
        "drink_strength": Column(strength),
        "drink_sugar_g_l": Column(number),
    }

    def rows(self) -> Iterable[Values]:
        """Return what the house keeps."""
        for one in doses.doses(self._desk):
            to = one.drink
            told = (one.name, one.of, one.volume_ml, one.intensity, one.gives)
            into = (to.name, to.volume_ml, to.strength, to.sugar_g_l) if to else ("", *[None] * 3)
            yield dict(zip(self.columns, (*told, *into), strict=True))

    def keep(self, told: Values) -> None:
        """Keep a dose."""
        name, of, volume_ml, intensity, gives, *into = (told[head] for head in self.columns)
        drink = None
        if into[1] is not None:
            drink = Base(into[0], into[1], into[2] or 0.0, into[3] or 0.0)
        elif any(into):
            raise BadCell("drink_ml: a drink is told with its volume")
        doses.put(self._desk, HouseDose(name, of, gives, volume_ml, intensity, drink), self._now)


class Droppers(Kept):
    """Droppers and dashers: what one drop or dash holds, and ± of it as a part of it."""

    columns: ClassVar[Mapping[str, Column]] = {
        "name": _NAME,
        "tool": choice(*Tool, needed=True),
        "each_ml": Column(volume, needed=True),
        "u_fraction": Column(share, needed=True),
        "strength": Column(strength, needed=True),
        "how": words(80, needed=True),
    }

    def rows(self) -> Iterable[Values]:
        """Return what the house keeps."""
        for one in droppers.droppers(self._desk):
            told = (one.name, one.tool, one.each_ml, one.u, one.strength, one.how)
            yield dict(zip(self.columns, told, strict=True))

    def keep(self, told: Values) -> None:
        """Keep a dropper."""
        name, tool, each_ml, u, at, how = (told[head] for head in self.columns)
        droppers.put(self._desk, Dropper(name, Tool(tool), each_ml, u, at, how), self._now)


def _each(ware: Ware) -> str:
    return "L" if ware is Ware.SPIRIT else "kg"


KEPT: Mapping[str, type[Kept]] = {
    "own_botanicals": OwnBotanicals,
    "own_spirits": OwnSpirits,
    "prices": Prices,
    "pars": Pars,
    "doses": Doses,
    "droppers": Droppers,
}
"""By the name of each list."""
