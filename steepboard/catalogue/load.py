"""The shipped catalogue as records: botanicals, what a class of material holds back, cautions."""

from __future__ import annotations

import functools
import re
import tomllib
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from math import hypot, sqrt
from pathlib import Path
from typing import Any

from steepboard.domain.alcohol import FLAMMABLE_C, flash_point_c
from steepboard.domain.plan_findings import KEEPS
from steepboard.domain.records import Separation

_STEM = 4  # letters of a jar code; enough to tell jars apart on a strip of tape
_WEIGHT = {"stop": 0, "limit": 1, "warn": 2, "note": 3}
_PRIORS = {Separation.DRIP: "drip", Separation.HAND: "hand", Separation.PRESS: "press"}


@dataclass(frozen=True, slots=True)
class Sourced:
    """A figure with the range it is known to lie in, and where it comes from."""

    value: float
    low: float
    high: float
    source: str

    @property
    def u(self) -> float:
        """The standard uncertainty, by `uniform_u`."""
        return uniform_u(self.value, self.low, self.high)


@dataclass(frozen=True, slots=True)
class Botanical:
    """What is known of one botanical; moisture and soluble are fractions (see BotanicalLine)."""

    id: str
    name: str
    latin: str
    part: str
    material_class: str
    aliases: tuple[str, ...]
    fresh: bool
    moisture: Sourced
    soluble: Sourced
    ratio_min: float
    """mL of solvent for each gram as weighed."""
    ratio_max: float
    ratio_source: str
    days_min: float
    days_typical: float
    days_max: float
    taste_from_day: float
    days_source: str
    preparation: str
    cautions: tuple[str, ...]
    """Codes, for `caution`."""


@dataclass(frozen=True, slots=True)
class Absorption:
    """What a material holds back, in mL per gram: of dry matter, or as charged."""

    mean: float
    sd: float
    per_dry: bool
    source: str


@dataclass(frozen=True, slots=True)
class Caution:
    """What to mind with a botanical or in a situation."""

    code: str
    title: str
    severity: str
    """`note`, `warn`, `limit` or `stop`."""
    text: str
    figures: str
    authority: str
    needs_acknowledging: bool
    """Whether a person must say they read it before a jar is charged; kept with the jar."""


def uniform_u(value: float, low: float, high: float) -> float:
    """Return the standard uncertainty of `value` for what may lie anywhere from `low` to `high`.

    Half the width over the root of 3 (GUM, JCGM 100:2008, 4.3.7). A value off the middle adds its
    distance from it, in squares: together the root mean square of all that may be wrong.
    """
    return hypot((high - low) / 2 / sqrt(3), (low + high) / 2 - value)


def find(name: str, fresh: bool | None = None) -> Botanical | None:
    """Return the botanical of that id, name or alias, case, accents and punctuation aside.

    A part of a name is not enough, as `lemon` is neither peel nor juice. With `fresh`, one that is
    known only in the other state is not returned: its figures, days and preparation do not hold.
    Its cautions do, so look for those without.
    """
    found = _botanicals().get(_names().get(_key(name), ""))
    return None if found and fresh not in (None, found.fresh) else found


def all_botanicals() -> tuple[Botanical, ...]:
    """Return all botanicals, by name."""
    return tuple(sorted(_botanicals().values(), key=lambda botanical: botanical.name))


def classes() -> tuple[str, ...]:
    """Return the names of the classes of material; `other` is the last."""
    return tuple(name for name in _document("absorption") if name != "sources")


def class_label(material_class: str) -> str:
    """Return what the class holds, in a few words for people."""
    return str(_class(material_class)["label"])


def class_defaults(material_class: str, fresh: bool = False) -> tuple[Sourced, Sourced]:
    """Return moisture and soluble part of a class; an unknown one counts as `other`."""
    table = _state(material_class, fresh)
    sources = _document("absorption")["sources"]
    return _sourced(table, "moisture", sources), _sourced(table, "soluble", sources)


def absorption(material_class: str, separation: Separation, fresh: bool = False) -> Absorption:
    """Return what is held back before any jar of one's own was weighed; unknown means `other`."""
    table = _state(material_class, fresh)
    mean, sd = table["held" if fresh else "dry"][_PRIORS[separation]]
    source = _document("absorption")["sources"][table["held_source"]]
    return Absorption(mean, sd, not fresh, source)


def caution(code: str) -> Caution:
    """Return the caution of that code; raises KeyError for a code that is not in the catalogue."""
    entry = _document("cautions")[code]
    binding = entry["severity"] in ("limit", "stop") and not entry.get("general", False)
    return Caution(
        code,
        title=entry["title"],
        severity=entry["severity"],
        text=entry["text"],
        figures=entry["figures"],
        authority=entry["authority"],
        needs_acknowledging=binding,
    )


def situation_cautions(
    strength: float, fresh: bool, end_strength: float | None = None, keeps: float = KEEPS
) -> tuple[Caution, ...]:
    """Return what to mind whatever the botanical is, the gravest first.

    `strength` is that of the strongest spirit, `end_strength` that of the liquor, where known, and
    `keeps` the one under which the house counts a steep as perishable.
    """
    codes = ["NONPOT", "GRADE", "CHILD", "PREG", "VESSEL", "SERVE", "LICENCE"]
    flash_c = flash_point_c(strength)
    if flash_c is not None and flash_c <= FLAMMABLE_C:
        codes += ["FLAM", "HEAT"]
    if fresh:
        codes.append("LOWABV")
    if end_strength is not None and end_strength < keeps:
        codes += ["WEAK", "PRESSURE"]
    return tuple(sorted(map(caution, codes), key=lambda found: _WEIGHT[found.severity]))


def code_stem(name: str) -> str:
    """Return up to four letters A to Z for a jar's code: `orange peel` gives `ORAN`."""
    plain = unicodedata.normalize("NFKD", name).upper()
    letters = "".join(c for c in plain if "A" <= c <= "Z")[:_STEM]
    return letters if len(letters) >= 2 else "JAR"


@functools.cache
def _document(name: str) -> Mapping[str, Any]:
    return tomllib.loads(Path(__file__).with_name(f"{name}.toml").read_text(encoding="utf-8"))


def _class(material_class: str) -> Mapping[str, Any]:
    document = _document("absorption")
    known = material_class in document and material_class != "sources"
    found: Mapping[str, Any] = document[material_class if known else "other"]
    return found


def _state(material_class: str, fresh: bool) -> Mapping[str, Any]:
    table = _class(material_class)
    if not fresh:
        return table
    found: Mapping[str, Any] = table.get("fresh") or _class("other")["fresh"]
    return found


def _sourced(table: Mapping[str, Any], key: str, sources: Mapping[str, str]) -> Sourced:
    value, low, high = table[key]
    return Sourced(value, low, high, sources[table[f"{key}_source"]])


@functools.cache
def _botanicals() -> Mapping[str, Botanical]:
    document = _document("botanicals")
    sources = document["sources"]
    return {id_: _botanical(id_, document[id_], sources) for id_ in document if id_ != "sources"}


def _botanical(id_: str, entry: Mapping[str, Any], sources: Mapping[str, str]) -> Botanical:
    fresh = entry.get("fresh", False)
    moisture, soluble = class_defaults(entry["material_class"], fresh)
    ratio_min, ratio_max = entry["ratio"]
    days_min, days_typical, days_max = entry["days"]
    return Botanical(
        id=id_,
        name=entry["name"],
        latin=entry["latin"],
        part=entry["part"],
        material_class=entry["material_class"],
        aliases=tuple(entry["aliases"]),
        fresh=fresh,
        moisture=_sourced(entry, "moisture", sources) if "moisture" in entry else moisture,
        soluble=_sourced(entry, "soluble", sources) if "soluble" in entry else soluble,
        ratio_min=ratio_min,
        ratio_max=ratio_max,
        ratio_source=sources[entry["ratio_source"]],
        days_min=days_min,
        days_typical=days_typical,
        days_max=days_max,
        taste_from_day=entry["taste_from_day"],
        days_source=sources["practice"],
        preparation=entry["preparation"],
        cautions=tuple(entry["cautions"]),
    )


@functools.cache
def _names() -> Mapping[str, str]:
    """From each id, name and alias, as a key, to the id."""
    return {
        _key(name): botanical.id
        for botanical in _botanicals().values()
        for name in (botanical.id, botanical.name, *botanical.aliases)
    }


def _key(name: str) -> str:
    letters = unicodedata.normalize("NFKD", name).casefold()
    unaccented = "".join(c for c in letters if not unicodedata.combining(c))
    return " ".join(re.findall(r"\w+", unaccented.replace("_", " ")))
