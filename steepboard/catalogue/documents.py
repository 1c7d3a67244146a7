"""The files of the catalogue."""

from __future__ import annotations

import csv
import functools
import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any


@functools.cache
def document(name: str) -> Mapping[str, Any]:
    """Return a TOML file of the catalogue, read once."""
    return tomllib.loads((folder() / f"{name}.toml").read_text(encoding="utf-8"))


@functools.cache
def tables(name: str) -> frozenset[str]:
    """Return the names of the tables of a TOML file, without the rest, which takes far longer."""
    text = (folder() / f"{name}.toml").read_text(encoding="utf-8")
    return frozenset(re.findall(r"^\[(\w+)\]$", text, re.MULTILINE))


@functools.cache
def rows(name: str) -> tuple[Mapping[str, str], ...]:
    """Return the rows of a CSV file of the catalogue, read once; lines with # are remarks."""
    with (folder() / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(line for line in file if not line.startswith("#")))


def folder() -> Path:
    """Return where the files lie: beside the package, or in it once it is installed."""
    package = Path(__file__).parents[1]
    inside = package / "config" / "catalogue"
    return inside if inside.is_dir() else package.parent / "config" / "catalogue"
