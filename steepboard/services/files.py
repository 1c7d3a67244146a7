"""Files that are written whole or not at all."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import IO

from steepboard.text import clean


def replace_file(path: Path, content: bytes) -> None:
    """Put `content` where `path` is, as `replacing` does."""
    with replacing(path) as file:
        file.write(content)


@contextlib.contextmanager
def replacing(path: Path) -> Iterator[IO[bytes]]:
    """Open a file that takes the place of `path` at the end, so that no reader sees half of it.

    It is for its owner alone, and a link stays a link. Where the block fails, what was there stays.
    Raises `OSError`, which names `path`.
    """
    try:
        with _beside(Path(os.path.realpath(path))) as file:
            yield file
    except OSError as fault:
        raise OSError(fault.errno, fault.strerror, str(path)) from fault


def pdf_name(code: str, what: str) -> str:
    """Return what a PDF is called: `CARA-01-A-labels.pdf`, safe as the name of a file."""
    told = clean(code.strip().upper(), 40)
    safe = "".join(c if c.isalnum() or c in "-_" else "-" for c in told)
    return f"{safe or 'shelf'}-{what}.pdf"


@contextlib.contextmanager
def _beside(path: Path) -> Iterator[IO[bytes]]:
    file, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    try:
        with os.fdopen(file, "wb") as written:
            yield written
            written.flush()
            os.fsync(written.fileno())
        Path(name).replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            Path(name).unlink()
        raise
