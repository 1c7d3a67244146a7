"""Breaking text into lines of a given width."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable

NARROWEST_MM = 1.0
"""Less room than this takes no text at all."""


def wrap(
    text: str, room_mm: Callable[[int], float], width_mm: Callable[[str], float]
) -> list[str] | None:
    """Return the lines of a text, each within the room that its number has; None where none is.

    Lines break at spaces and after hyphens, in East Asian text anywhere, and inside a word only
    where the word is wider than its line.
    """
    lines: list[str] = []
    while text := text.strip():
        count = _fitting(text, room_mm(len(lines)), width_mm)
        if count == 0:
            return None
        if count < len(text):
            count = _break(text, count)
        lines.append(text[:count].rstrip())
        text = text[count:]
    return lines


def _fitting(text: str, room_mm: float, width_mm: Callable[[str], float]) -> int:
    """Return how many characters of a text fit."""
    count, used_mm = 0, 0.0
    if room_mm < NARROWEST_MM:
        return 0
    for char in text:
        used_mm += width_mm(char)
        if used_mm > room_mm:
            break
        count += 1
    return count


def _break(text: str, count: int) -> int:
    """Return where to break a text of which `count` characters fit."""
    if text[count] == " " or _is_wide(text[count]) or _is_wide(text[count - 1]):
        return count
    for place in range(count, 0, -1):
        if text[place - 1] in " -" or _is_wide(text[place - 1]):
            return place
    return count


def _is_wide(char: str) -> bool:
    return unicodedata.east_asian_width(char) in "WF"
