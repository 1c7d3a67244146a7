"""Reading a document piece by piece: each row with its lines, and never more than one in memory."""

from __future__ import annotations

from dataclasses import dataclass
from typing import IO, TYPE_CHECKING, Any

from steepboard.errors import BadDocument

if TYPE_CHECKING:
    from collections.abc import Container, Iterator

    from steepboard.store.intake import Path

_PIECE = 1 << 16  # bytes that are read at once, of a line longer than that
_DEEPEST = 8  # of a row; the schema has 4
_SHOWN = 40  # characters of a word; assumed, enough to find it again
_BEFORE, _IN_DOCUMENT, _IN_LIST = range(3)
_MARK = b"\xef\xbb\xbf"  # which some editors put before UTF-8


@dataclass(frozen=True, slots=True)
class Found:
    """A value at the top of the document, or one row of a list there."""

    name: str
    value: Any
    in_list: bool
    lines: dict[Path, int]
    """By the way to each part of the value."""

    def line(self, path: Path = ()) -> int:
        """Return the line on which a part stands, or else what it is a part of."""
        while path not in self.lines:
            path = path[:-1]
        return self.lines[path]

    def place(self, path: Path) -> str:
        """Return what a part is called, for a person who looks for it."""
        return ", ".join((self.name, *(word for word in path if isinstance(word, str))))


def found(file: IO[bytes], name: str) -> Iterator[Found]:
    """Yield what the document in `file` says, in its order; raises `BadDocument` with the line."""
    import ijson

    events = ijson.sendable_list()
    parser, builder, line = ijson.basic_parse_coro(events, use_float=True), _Builder(), 1
    try:
        piece = file.readline(_PIECE).removeprefix(_MARK)
        while piece:
            parser.send(piece)
            for event, value in events:
                yield from builder.take(event, value, line)
            del events[:]
            line += piece.endswith(b"\n")
            piece = file.readline(_PIECE)
        parser.close()
    except OSError as fault:
        raise BadDocument(name, line, (fault.strerror or "it cannot be read").lower()) from fault
    except _Odd as fault:
        raise BadDocument(name, line, str(fault)) from fault
    except ijson.IncompleteJSONError as fault:
        raise BadDocument(name, line, _why(str(fault), ended=not piece)) from fault
    except ijson.JSONError as fault:
        raise BadDocument(name, line, _why(str(fault))) from fault


def _why(told: str, *, ended: bool = False) -> str:
    if ended:
        return "the file ends before it is complete"
    if "UTF8" in told or "utf-8" in told:
        return "this is not text in UTF-8"
    return "a number is too large" if "overflow" in told else "this is not JSON"


class _Odd(Exception):
    """The document is JSON, but of no form that is read here."""


class _Builder:
    """Puts the pieces together, until there is a row."""

    def __init__(self) -> None:
        self._level, self._name, self._names = _BEFORE, "", set[str]()
        self._open: list[dict[str, Any] | list[Any]] = []
        self._path: list[str | int] = []
        self._lines: dict[Path, int] = {}

    def take(self, event: str, value: Any, line: int) -> Iterator[Found]:
        """Take what comes next; yield what is complete with it."""
        if self._open or (self._level == _IN_LIST and event != "end_array"):
            yield from self._part(event, value, line)
            return
        match self._level, event:
            case (0, "start_map"):
                self._level = _IN_DOCUMENT
            case (1, "map_key"):
                self._name = _once(value, self._names)
                self._names.add(value)
            case (1, "start_array"):
                self._level = _IN_LIST
            case (2, "end_array"):
                self._level = _IN_DOCUMENT
            case (1, "null" | "boolean" | "number" | "string"):
                yield Found(self._name, value, False, {(): line})
            case (1, "start_map"):
                raise _Odd(f"“{self._name[:_SHOWN]}” is not a list in [ ]")
            case (0, _):
                raise _Odd("it is not an object in { }")

    def _part(self, event: str, value: Any, line: int) -> Iterator[Found]:
        """Take a part of a row; yield the row when that was its last."""
        if event == "map_key":
            self._path[-1] = _once(value, self._open[-1])
            return
        if event.startswith("end_"):
            self._path.pop()
            value = self._open.pop()
        else:
            self._lines[tuple(self._path)] = line
        if event.startswith("start_"):
            if len(self._open) == _DEEPEST:
                raise _Odd("it goes deeper than a shelf does")
            self._open.append({} if event == "start_map" else [])
            self._path.append(0)
        elif self._open:
            self._put(value)
        else:
            lines, self._lines = self._lines, {}
            yield Found(self._name, value, True, lines)

    def _put(self, value: Any) -> None:
        top = self._open[-1]
        if isinstance(top, dict):
            top[str(self._path[-1])] = value
        else:
            top.append(value)
            self._path[-1] = len(top)


def _once(word: str, known: Container[Any]) -> str:
    if word in known:
        raise _Odd(f"“{word[:_SHOWN]}” is there twice")
    return word
