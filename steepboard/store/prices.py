"""Prices of spirits and botanicals, each from a day on, as decimals in text."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from steepboard.domain.costs import Price, Ware

if TYPE_CHECKING:
    from sqlite_utils import Database

    from steepboard.store.connect import Store


def prices(store: Store, currency: str) -> tuple[Price, ...]:
    """Return the prices in a currency, by ware, name and day."""
    rows = store.rows(
        "select * from price where currency = ? order by kind desc, lower(name), from_day", currency
    )
    return tuple(
        Price(
            Ware(row["kind"]),
            row["name"],
            date.fromisoformat(row["from_day"]),
            Decimal(row["amount"]),
            row["currency"],
        )
        for row in rows
    )


def set_price(db: Database, price: Price) -> None:
    """Keep a price, in place of one of the same day; inside `Store.writing()`."""
    db.execute(
        "delete from price where kind = ? and lower(name) = lower(?) and from_day = ?",
        [price.ware.value, price.name, price.from_day.isoformat()],
    )
    db.table("price").insert(
        {
            "kind": price.ware.value,
            "name": price.name,
            "from_day": price.from_day.isoformat(),
            "amount": f"{price.amount:f}",
            "currency": price.currency,
        }
    )


def forget(db: Database, ware: Ware, name: str) -> int:
    """Forget all prices of a ware and return how many there were; inside `Store.writing()`."""
    found = db.execute(
        "delete from price where kind = ? and lower(name) = lower(?)", [ware.value, name]
    )
    return int(found.rowcount)
