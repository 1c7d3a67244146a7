"""Prices of spirits and botanicals in the house's diary, from a day on, as decimals in text."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from steepboard.domain.costs import Price, Ware

if TYPE_CHECKING:
    from sqlite_utils import Database

    from steepboard.store.connect import Store

# What was said since a ware was forgotten; of one day what was said last.
_HOLD = """select e.topic, e.name, price.* from house_live e join price on price.entry_id = e.id
    where currency = ifnull(?, currency) and not exists(
        select 1 from house_live later left join price other on other.entry_id = later.id
        where later.topic = e.topic and later.name = e.name and later.id > e.id
            and (later.act = 'forget' or other.from_day = price.from_day))
    order by e.topic desc, lower(e.name), from_day"""


def prices(store: Store, currency: str | None = None) -> tuple[Price, ...]:
    """Return the prices in a currency, or in any, by ware, name and day."""
    return tuple(
        Price(
            Ware(row["topic"].removesuffix(" price")),
            row["name"],
            date.fromisoformat(row["from_day"]),
            Decimal(row["amount"]),
            row["currency"],
        )
        for row in store.rows(_HOLD, currency)
    )


def add_price(db: Database, entry_id: int, price: Price) -> None:
    """Write what an entry says of a price; inside `Store.writing()`."""
    db.table("price").insert(
        {
            "entry_id": entry_id,
            "from_day": price.from_day.isoformat(),
            "amount": f"{price.amount:f}",
            "currency": price.currency,
        }
    )
