"""The files of the catalogue."""

from __future__ import annotations

import functools
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any


@functools.cache
def document(name: str) -> Mapping[str, Any]:
    """Return a file of the catalogue, read once."""
    return tomllib.loads(Path(__file__).with_name(f"{name}.toml").read_text(encoding="utf-8"))
