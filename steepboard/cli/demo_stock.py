"""What the invented bar keeps of its stock: what is always to stand, and what it pays."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from steepboard.domain.costs import Ware
from steepboard.paths import Home, private_file
from steepboard.services import costs, money, stock
from steepboard.services.desk import Desk
from steepboard.settings import Money

_CURRENCY = "EUR"
_SETTINGS = (
    f'# The settings of the demo; its prices are invented.\n[money]\ncurrency = "{_CURRENCY}"\n'
)


def keep_settings(home: Home) -> None:
    """Give the demo a currency, unless somebody keeps settings of their own there."""
    if not home.settings.exists():
        private_file(home.settings).write_text(_SETTINGS, encoding="utf-8")


def keep_stock(desk: Desk, told: Mapping[str, Any], now: datetime) -> None:
    """Keep the least that is to stand, and each price from the day it began."""
    for name, ml in told["least"].items():
        stock.set_par(desk, name, float(ml), now)
    desk = replace(desk, settings=replace(desk.settings, money=Money(_CURRENCY)))
    for ware in Ware:
        for name, since in told[ware.value].items():
            for ago, amount in since:
                day = desk.day(now) - timedelta(days=ago)
                costs.keep_price(desk, ware, name, money.read(amount), now, day)
