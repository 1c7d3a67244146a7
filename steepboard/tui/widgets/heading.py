"""The first line of every screen: where one is, what time it is, what wants a hand, who reminds."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from steepboard.tui.safe import plain


@dataclass(frozen=True, slots=True)
class Now:
    """What the heading tells; the time is local."""

    time: datetime
    wants: int
    keeper: str = ""
    away: str = ""
    """Until when, while nothing is said."""
    said: Content | None = None
    """What stands in place of all that for a while: it covers nothing of the board."""


class Heading(Widget):
    """One line; where not all fits, the date goes first and who reminds last."""

    # Drawn anew each time: the same instant reads otherwise in another zone.
    told: reactive[Now | None] = reactive(None, always_update=True)

    def __init__(self, place: str) -> None:
        super().__init__()
        self._place = place

    def render(self) -> Content:
        """Return the line for the width there is."""
        left = Content.assemble((" steepboard ", "$primary bold"), plain(f" {self._place}"))
        if self.told is None:
            return left
        if self.told.said:
            return self.told.said.truncate(self.size.width, ellipsis=True)
        time = self.told.time
        clock, rest = f"{time:%H:%M}", [_hands(self.told.wants)]
        if self.told.away:
            rest.append(Content.styled(self.told.away, "$accent bold"))
        if self.told.keeper:
            rest.append(plain(self.told.keeper))
        dated = plain(f"{time:%a} {time.day} {time:%b}  {clock}")
        tries: tuple[list[Content], ...] = (
            [dated, *rest],
            [plain(clock), *rest],
            rest,
            [plain(clock), *rest[:2]],
            rest[:2],
            rest[1:],
            [],
        )
        room = self.size.width - left.cell_length - 1
        parts = next(parts for parts in tries if _length(parts) <= room or not parts)
        gap = self.size.width - left.cell_length - _length(parts) - 1
        return Content.assemble(left, " " * gap, *(_spaced(part) for part in parts))


def _hands(wants: int) -> Content:
    if not wants:
        return Content("nothing to do")
    return Content.styled(f"{wants} want{'s' * (wants == 1)} a hand", "$warning bold")


def _spaced(part: Content) -> Content:
    return Content.assemble("   ", part)


def _length(parts: list[Content]) -> int:
    return sum(part.cell_length + 3 for part in parts)
