"""Putting an export where it is wanted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.errors import AlreadyThere
from steepboard.services.files import replacing

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path


def write(lines: Iterable[str], path: Path, *, mark: bool = False) -> None:
    """Write lines to a new file, whole or not at all; raises `AlreadyThere`, `OSError`.

    With `mark` it begins with the sign of UTF-8, by which a spreadsheet knows it.
    """
    if path.is_symlink() or path.exists():
        raise AlreadyThere(str(path))
    with replacing(path) as file:
        file.write(b"\xef\xbb\xbf" if mark else b"")
        for line in lines:
            file.write(line.encode())
