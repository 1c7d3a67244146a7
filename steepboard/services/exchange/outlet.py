"""Putting an export where it is wanted."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from steepboard.errors import AlreadyThere
from steepboard.services.files import replacing

if TYPE_CHECKING:
    from collections.abc import Iterable


def write_folder(files: Iterable[tuple[str, Iterable[str]]], path: Path) -> None:
    """Write lines to each file of a new folder, all of it or nothing; raises as `write` does."""
    _refuse_there(path)
    try:
        made = Path(tempfile.mkdtemp(prefix=f".{path.name}.", dir=path.absolute().parent))
        try:
            for name, lines in files:
                write(lines, made / name, mark=True)
            made.rename(path)
        except BaseException:
            shutil.rmtree(made, ignore_errors=True)
            raise
    except OSError as fault:
        raise OSError(fault.errno, fault.strerror, str(path)) from fault


def write(lines: Iterable[str], path: Path, *, mark: bool = False) -> None:
    """Write lines to a new file, whole or not at all; raises `AlreadyThere`, `OSError`.

    With `mark` it begins with the sign of UTF-8, by which a spreadsheet knows it.
    """
    _refuse_there(path)
    with replacing(path) as file:
        file.write(b"\xef\xbb\xbf" if mark else b"")
        for line in lines:
            file.write(line.encode())


def _refuse_there(path: Path) -> None:
    if path.is_symlink() or path.exists():
        raise AlreadyThere(str(path))
