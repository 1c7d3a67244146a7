"""Programs that start as installed ones do: compiled before, whatever this shell says of it."""

from __future__ import annotations

import os
from pathlib import Path


def environment(folder: str | Path) -> dict[str, str]:
    """Return the environment of a program that keeps its bytecode in `folder`."""
    kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    return kept | {"PYTHONPYCACHEPREFIX": str(folder)}
