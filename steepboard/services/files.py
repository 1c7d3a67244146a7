"""Files that are written whole or not at all."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path


def replace_file(path: Path, content: bytes) -> None:
    """Put `content` where `path` is, for its owner alone, so that no reader sees half of it.

    A link stays a link. Raises `OSError`, which names `path`.
    """
    try:
        _replace(Path(os.path.realpath(path)), content)
    except OSError as fault:
        raise OSError(fault.errno, fault.strerror, str(path)) from fault


def _replace(path: Path, content: bytes) -> None:
    file, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    try:
        with os.fdopen(file, "wb") as written:
            written.write(content)
            written.flush()
            os.fsync(written.fileno())
        Path(name).replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            Path(name).unlink()
        raise
