"""What a class of material holds, drinks up and gives off, before anything was measured."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from typing import Any

from steepboard.catalogue.documents import document
from steepboard.catalogue.records import Absorption, Sourced
from steepboard.domain.records import Separation

_PRIORS = {Separation.DRIP: "drip", Separation.HAND: "hand", Separation.PRESS: "press"}


@functools.cache
def classes() -> tuple[str, ...]:
    """Return the names of the classes of material; `other` is the last."""
    return tuple(name for name in document("classes") if name != "sources")


def class_label(material_class: str, fresh: bool = False) -> str:
    """Return what the class holds, in a few words for people."""
    table = _class(material_class)
    if not fresh:
        return str(table["label"])
    return str(table["fresh"]["label"] if "fresh" in table else f"{table['label']}, fresh")


@functools.cache
def class_defaults(material_class: str, fresh: bool = False) -> tuple[Sourced, Sourced]:
    """Return moisture and soluble part of a class; an unknown one counts as `other`."""
    table = _state(material_class, fresh)
    sources = document("classes")["sources"]
    return sourced(table, "moisture", sources), sourced(table, "soluble", sources)


def absorption(material_class: str, separation: Separation, fresh: bool = False) -> Absorption:
    """Return what is held back before any jar of one's own was weighed; unknown means `other`."""
    table = _state(material_class, fresh)
    mean, sd = table["held" if fresh else "dry"][_PRIORS[separation]]
    source = document("classes")["sources"][table["held_source"]]
    return Absorption(mean, sd, not fresh, source)


def _class(material_class: str) -> Mapping[str, Any]:
    tables = document("classes")
    known = material_class in tables and material_class != "sources"
    found: Mapping[str, Any] = tables[material_class if known else "other"]
    return found


def _state(material_class: str, fresh: bool) -> Mapping[str, Any]:
    table = _class(material_class)
    if not fresh:
        return table
    found: Mapping[str, Any] = table.get("fresh") or _class("other")["fresh"]
    return found


def sourced(table: Mapping[str, Any], key: str, sources: Mapping[str, str]) -> Sourced:
    """Return a figure of a table with its source."""
    value, low, high = table[key]
    return Sourced(value, low, high, sources[table[f"{key}_source"]])
