"""The settings: the annotated defaults of `config/settings.toml`, overridden key by key."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import time
from functools import cache
from pathlib import Path
from typing import TypeAlias, get_type_hints
from zoneinfo import ZoneInfo

from steepboard.domain.records import Instrument, Separation
from steepboard.domain.spans import LONGEST_DAYS, MOST_DAYS_BETWEEN
from steepboard.errors import BadSettings
from steepboard.text import clean


@dataclass(frozen=True, slots=True)
class Person:
    """Who works at the shelf."""

    initials: str
    """Empty: the first letters of the login name."""


@dataclass(frozen=True, slots=True)
class Clock:
    """Whose time of day the reminders follow."""

    zone: str
    """A zone name of the time zone database; empty: the one of this machine."""


@dataclass(frozen=True, slots=True)
class Steep:
    """What a charge takes where it says nothing."""

    days: int
    separation: Separation
    kept_ml: float
    settle_days: int


@dataclass(frozen=True, slots=True)
class Reminders:
    """When reminders are due, in local time."""

    stir_every_days: int
    taste_from_day: int
    taste_every_days: int
    stir_at: time
    taste_at: time
    get_ready_at: time
    strain_at: time
    group_minutes: int
    quiet_from: time
    quiet_to: time
    look_every_seconds: int


@dataclass(frozen=True, slots=True)
class Stock:
    """How the next jar is kept ahead of the bottles."""

    margin_days: int


@dataclass(frozen=True, slots=True)
class Money:
    """In what the house reckons its costs."""

    currency: str
    """A code of ISO 4217; empty: no prices are asked for."""


@dataclass(frozen=True, slots=True)
class Arithmetic:
    """Figures that the sums take as given."""

    solids_ml_per_g: float
    keeps_strength: float
    dose_ml_per_l: float


@dataclass(frozen=True, slots=True)
class Instruments:
    """The smallest steps that the house's instruments show."""

    scale_step_g: float
    """Of the jeweller's scale, which bears `scale_most_g`."""
    scale_most_g: float
    kitchen_scale_step_g: float
    volume_step_ml: float
    hydrometer_step: float
    """A fraction by volume."""

    def scale_for(self, mass_g: float) -> Instrument:
        """Return the scale that so much is weighed on where nothing is said."""
        return Instrument.FINE_SCALE if mass_g <= self.scale_most_g else Instrument.KITCHEN_SCALE

    def step(self, instrument: Instrument) -> float:
        """Return the smallest step of an instrument, in g, mL or as a fraction."""
        return {
            Instrument.FINE_SCALE: self.scale_step_g,
            Instrument.KITCHEN_SCALE: self.kitchen_scale_step_g,
            Instrument.CYLINDER: self.volume_step_ml,
            Instrument.HYDROMETER: self.hydrometer_step,
        }[instrument]

    def mass_step_g(self, mass_g: float) -> float:
        """Return the smallest step of the scale that so much is weighed on."""
        return self.step(self.scale_for(mass_g))


@dataclass(frozen=True, slots=True)
class Look:
    """How the board looks."""

    theme: str


@dataclass(frozen=True, slots=True)
class Print:
    """How labels, tape and the batch record come on paper."""

    sheet: str
    """The name of a sheet of `config/labels.toml`."""
    tape: str
    """Likewise, for the tape of a jar."""
    paper: str
    font: str
    """The file of a font; empty: the one every reader has, for other letters one found here."""


@dataclass(frozen=True, slots=True)
class Settings:
    """All settings, one field for each table of the file."""

    person: Person
    clock: Clock
    steep: Steep
    reminders: Reminders
    stock: Stock
    money: Money
    arithmetic: Arithmetic
    instruments: Instruments
    look: Look
    print: Print


# What each number may be, both ends included; assumed, wide enough for any sensible bar.
_ALLOWED: Mapping[str, tuple[float, float]] = {
    "steep.days": (1, LONGEST_DAYS),
    "steep.kept_ml": (0, 1000),
    "steep.settle_days": (0, MOST_DAYS_BETWEEN),
    "reminders.stir_every_days": (1, MOST_DAYS_BETWEEN),
    "reminders.taste_from_day": (1, LONGEST_DAYS),
    "reminders.taste_every_days": (1, MOST_DAYS_BETWEEN),
    "reminders.group_minutes": (0, 120),
    "reminders.look_every_seconds": (1, 3600),
    "stock.margin_days": (0, MOST_DAYS_BETWEEN),
    "arithmetic.solids_ml_per_g": (0, 1),
    "arithmetic.keeps_strength": (0, 1),
    "arithmetic.dose_ml_per_l": (0.001, 1000),
    "instruments.scale_step_g": (0.001, 100),
    "instruments.scale_most_g": (0, 100_000),
    "instruments.kitchen_scale_step_g": (0.001, 100),
    "instruments.volume_step_ml": (0.001, 100),
    "instruments.hydrometer_step": (0.0001, 0.1),
}
_CHOICES: Mapping[str, tuple[str, ...]] = {
    "look.theme": ("dark", "light"),
    "print.paper": ("a4", "letter"),
}
_CURRENCY = re.compile("[A-Z]{3}")
_PACKAGE = Path(__file__).resolve().parent
_Values: TypeAlias = Mapping[tuple[str, str], tuple[object, Path]]
"""From table and key to the value and the file it came from."""


def default_file(package: Path = _PACKAGE) -> Path:
    """Return the file of the defaults: inside the installed package, or beside it in a checkout."""
    inside = package / "config" / "settings.toml"
    return inside if inside.is_file() else package.parent / "config" / "settings.toml"


def load(path: Path | None = None, defaults: Path | None = None) -> Settings:
    """Return the defaults, overridden by the file at `path` where there is one.

    Raises BadSettings, which names the file and the key, for a file that is not TOML, a key that
    is not known, or a value that is not allowed.
    """
    origin = defaults or default_file()
    values: dict[tuple[str, str], tuple[object, Path]] = {
        (table, key): (value, origin) for table, key, value in _read(origin)
    }
    if path is not None and path.exists():
        for table, key, value in _read(path):
            if (table, key) not in values:
                raise _unknown(path, f"{table}.{key}", [".".join(known) for known in values])
            values[table, key] = (value, path)
    tables = {
        table: kind(**{key: _value(table, key, kinds[key], *values[table, key]) for key in kinds})
        for table, (kind, kinds) in _tables().items()
    }
    return Settings(**tables)


@cache
def _tables() -> dict[str, tuple[type, dict[str, type]]]:
    """Return the class of each table, and the type of each of its keys."""
    tables = get_type_hints(Settings).items()
    return {table: (kind, get_type_hints(kind)) for table, kind in tables}


def _read(path: Path) -> Iterator[tuple[str, str, object]]:
    try:
        document = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except OSError as fault:
        raise BadSettings(f"{path} cannot be read: {(fault.strerror or '').lower()}.") from fault
    except ValueError as fault:  # not TOML, or not UTF-8
        raise BadSettings(f"{path} is not readable as settings: {fault}.") from fault
    for table, keys in document.items():
        if not isinstance(keys, dict):
            first = next(iter(_tables()))
            raise BadSettings(f"{path}: {table} stands outside a table such as [{first}].")
        if table not in _tables():
            raise _unknown(path, f"[{table}]", [f"[{known}]" for known in _tables()])
        yield from ((table, key, value) for key, value in keys.items())


def _unknown(path: Path, name: str, known: list[str]) -> BadSettings:
    from difflib import get_close_matches

    near = get_close_matches(name, known, n=1, cutoff=0.0)
    return BadSettings(f"{path}: {name} is not a setting. The nearest one is {near[0]}.")


def _value(table: str, key: str, kind: type, value: object, path: Path) -> object:
    try:
        return _READ[kind](f"{table}.{key}", value)
    except ValueError as fault:
        raise BadSettings(f"{path}: {table}.{key} is {value!r}; it must be {fault}.") from fault


def _whole(name: str, value: object) -> int:
    low, high = _ALLOWED[name]
    if isinstance(value, int) and not isinstance(value, bool) and low <= value <= high:
        return value
    raise ValueError(f"a whole number from {low:g} to {high:g}")


def _number(name: str, value: object) -> float:
    low, high = _ALLOWED[name]
    if isinstance(value, int | float) and not isinstance(value, bool) and low <= value <= high:
        return float(value)
    raise ValueError(f"a number from {low:g} to {high:g}")


def _time(_name: str, value: object) -> time:
    if isinstance(value, time):  # TOML's own
        return value
    try:
        if isinstance(value, str) and len(value) == len("09:00"):
            return time.fromisoformat(value)
    except ValueError:
        pass
    raise ValueError('a time of day such as "09:00"')


def _separation(_name: str, value: object) -> Separation:
    if isinstance(value, str) and value in tuple(Separation):
        return Separation(value)
    raise ValueError(_one_of(Separation))


def _words(name: str, value: object) -> str:
    if not isinstance(value, str):
        raise ValueError("text in quotes")
    if value not in (allowed := _CHOICES.get(name, (value,))):
        raise ValueError(_one_of(allowed))
    if name == "clock.zone" and value:
        _zone(value)
    if name == "money.currency" and value and not _CURRENCY.fullmatch(value):
        raise ValueError('a code of ISO 4217 such as "EUR", or ""')
    return clean(value)


def _zone(value: str) -> None:
    try:
        ZoneInfo(value)
    except (ValueError, OSError, KeyError):
        raise ValueError('a time zone such as "Europe/Lisbon", or ""') from None


def _one_of(words: Iterable[str]) -> str:
    return "one of " + ", ".join(f'"{word}"' for word in words)


_READ: Mapping[type, Callable[[str, object], object]] = {
    int: _whole,
    float: _number,
    time: _time,
    Separation: _separation,
    str: _words,
}
