"""Money as people type and read it: decimals in the house's currency."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import TYPE_CHECKING

from steepboard.domain.costs import Ware
from steepboard.errors import BadAmount, BadSettings, NoCurrency
from steepboard.numerals import check_comma, quoted

if TYPE_CHECKING:
    from steepboard.domain.costs import Price
    from steepboard.settings import Settings

_AMOUNT = re.compile(r"[0-9]{1,9}(?:[.,][0-9]{1,4})?")


def currency(settings: Settings) -> str:
    """Return the house's currency; raises `NoCurrency`, and `BadSettings` for no currency."""
    code = settings.money.currency
    if not code:
        raise NoCurrency
    if not _is_known(code):
        raise BadSettings(f"money.currency is {code!r}, which is no currency of ISO 4217.")
    return code


def known(code: str) -> str:
    """Return a currency such as `EUR`; raises `BadAmount` for what is none."""
    if not _is_known(code):
        raise BadAmount(code, f"{quoted(code)} is no currency of ISO 4217.", "EUR")
    return code


def _is_known(code: str) -> bool:
    from babel import Locale

    return code in Locale.parse("en").currencies


def read(text: str) -> Decimal:
    """Read a price such as `18.40`; raises `BadAmount`."""
    if not _AMOUNT.fullmatch(text.strip()):
        raise BadAmount(text, f"{quoted(text)} is not a price.", "18.40")
    check_comma(text, text.strip(), "18.40")
    return Decimal(text.strip().replace(",", "."))


def shown(amount: Decimal, code: str) -> str:
    """Return an amount for people, rounded to the smallest coin."""
    from babel.numbers import format_currency

    return str(format_currency(amount, code, locale=_locale()))


def told(price: Price) -> str:
    """Return a price with its day for people: `€18.40 a litre from 2 Mar 2026`."""
    each = "litre" if price.ware is Ware.SPIRIT else "kilogram"
    day = price.from_day
    return f"{shown(price.amount, price.currency)} a {each} from {day.day} {day:%b %Y}"


def shown_finely(amount: Decimal, code: str) -> str:
    """Return a small amount for people, to four places: a mL costs less than a coin."""
    from babel import Locale
    from babel.numbers import format_currency

    usual = str(Locale.parse(_locale()).currency_formats["standard"].pattern)
    fine = usual.replace("0.00", "0.0000")
    return str(format_currency(amount, code, fine, locale=_locale(), currency_digits=False))


def _locale() -> str:
    """Return how this machine writes money, or English where it does not say."""
    from babel import Locale, UnknownLocaleError, default_locale

    name = default_locale("LC_MONETARY") or "en"
    if name.endswith("POSIX"):  # a machine that was told no language
        return "en"
    try:
        return str(Locale.parse(name))
    except (UnknownLocaleError, ValueError):
        return "en"
