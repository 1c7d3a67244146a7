"""Where a shelf lies: one folder with the record, the settings, the locks and the log."""

from __future__ import annotations

import itertools
import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from steepboard.errors import RecordUnusable

FOLDER_MODE = 0o700
FILE_MODE = 0o600


@dataclass(frozen=True, slots=True)
class Home:
    """The folder of one shelf. Settings lie beside the record, so that moving one moves both."""

    root: Path

    @property
    def record(self) -> Path:
        """The SQLite file."""
        return self.root / "shelf.db"

    @property
    def settings(self) -> Path:
        """The settings of one's own; need not exist."""
        return self.root / "settings.toml"

    @property
    def lock(self) -> Path:
        """Held by the one process that sends the reminders."""
        return self.root / "reminders.lock"

    @property
    def service_lock(self) -> Path:
        """Held by `watch` as long as it runs; a board that sees it held gives way."""
        return self.root / "service.lock"

    @property
    def board_lock(self) -> Path:
        """Held by the board that the button *Open* of a notification brings to the front."""
        return self.root / "board.lock"

    @property
    def log(self) -> Path:
        """What the reminders did."""
        return self.root / "reminders.log"

    def make(self) -> Home:
        """Create the folder for its owner alone, if it is missing; raises RecordUnusable.

        A folder that was already there keeps its mode: it may hold other things.
        """
        try:
            missing = itertools.takewhile(
                lambda path: not path.exists(), (self.root, *self.root.parents)
            )
            for folder in reversed(list(missing)):  # `parents=True` would give them another mode
                folder.mkdir(mode=FOLDER_MODE, exist_ok=True)
            self.root.mkdir(exist_ok=True)
        except OSError as fault:
            raise RecordUnusable(
                f"{self.root} cannot be used as a folder: {_why(fault)}."
            ) from fault
        return self


def home(option: str | None, environ: Mapping[str, str]) -> Home:
    """Return the home named by the option, by STEEPBOARD_HOME, or the user's data folder.

    Raises RecordUnusable for a `~name` that is nobody's, and for an option that names nothing, as
    an unset variable of a shell does.
    """
    if option is not None and not option.strip():
        raise RecordUnusable("--home names no folder.")
    chosen = option or environ.get("STEEPBOARD_HOME")
    if chosen:
        try:
            return Home(Path(chosen).expanduser().absolute())
        except RuntimeError as fault:
            raise RecordUnusable(f"{chosen} is in nobody's home folder.") from fault
    from platformdirs import user_data_path

    return Home(user_data_path("steepboard"))


def private_file(path: Path) -> Path:
    """Create `path` for its owner alone, if it is missing, and return it; raises RecordUnusable."""
    try:
        os.close(os.open(path, os.O_CREAT | os.O_WRONLY, FILE_MODE))
    except OSError as fault:
        raise RecordUnusable(f"{path} cannot be written: {_why(fault)}.") from fault
    return path


def _why(fault: OSError) -> str:
    return (fault.strerror or "unknown reason").lower()
