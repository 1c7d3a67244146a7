"""What cannot be read from a file, or written to one."""

from __future__ import annotations

from steepboard.errors.base import SteepboardError


class BadSettings(SteepboardError):
    """The settings file cannot be read as settings; names the file and the key."""


class BadCatalogue(SteepboardError):
    """A file of botanicals, spirits or sources cannot be used; names file, line and column."""

    def __init__(self, where: str, line: int | None, column: str | None, reason: str) -> None:
        self.where, self.line, self.column, self.reason = where, line, column, reason
        place = (where, f"line {line}" if line else "", column or "")
        super().__init__(f"{', '.join(filter(None, place))}: {reason}.")


class BadList(SteepboardError):
    """A list of drinks cannot be drawn by: the line of each bad row and what is wrong there."""

    def __init__(self, name: str, faults: tuple[tuple[int, str], ...]) -> None:
        self.name, self.faults = name, faults
        found = "1 fault" if len(faults) == 1 else f"{len(faults)} faults"
        super().__init__(f"{name}: {found}. Nothing was drawn.")


class NotOurs(SteepboardError):
    """A file stands where a print is to go, and it is no print of this program."""

    def __init__(self, path: str) -> None:
        self.path = path
        super().__init__(f"{path} is not a print of this program: choose another name with --out.")


class AlreadyThere(SteepboardError):
    """A file stands where an export is to go."""

    def __init__(self, path: str) -> None:
        self.path = path
        super().__init__(f"{path} is there already and is left as it is: choose another name.")


class ShelfNotEmpty(SteepboardError):
    """An import was asked for where something is already kept."""

    def __init__(self, path: str) -> None:
        self.path = path
        super().__init__(
            f"The record {path} is not empty, and an import writes over nothing. Import into a new "
            "folder: `steepboard --home DIR import FILE`."
        )


class BadDocument(SteepboardError):
    """A file cannot be imported; names it, its line and what is wrong there."""

    def __init__(self, name: str, line: int | None, reason: str) -> None:
        self.name, self.line, self.reason = name, line, reason
        where = f"{name}, line {line}" if line else name
        super().__init__(f"{where}: {reason}. Nothing was imported.")


class BadRows(SteepboardError):
    """Rows of a file cannot be imported: the line of each and what is wrong there."""

    def __init__(self, name: str, faults: tuple[tuple[int, str], ...], count: int) -> None:
        self.name, self.faults, self.count = name, faults, count
        found = "1 fault" if count == 1 else f"{count} faults"
        super().__init__(f"{name}: {found}. Nothing was imported.")


class NotInCsv(SteepboardError):
    """A list holds text that CSV would not bring back as it is."""

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__(
            f"The list {name} holds text with characters that are not seen but act, which no CSV "
            "here has. Export the shelf as a document: `steepboard export --out FILE`."
        )


class BadCell(SteepboardError):
    """A cell of a list cannot be what its head says."""


class TooNew(SteepboardError):
    """The record was written by a newer version of the program."""


class RecordUnusable(SteepboardError):
    """The record cannot be opened: damaged, locked away, or in a folder that cannot be written."""
