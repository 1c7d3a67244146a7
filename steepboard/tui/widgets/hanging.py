"""Text whose lines, where they wrap, go on under their words and not under their mark."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from textual.content import Content
from textual.visual import RenderOptions, Visual

if TYPE_CHECKING:
    from textual.css.styles import RulesMap
    from textual.strip import Strip
    from textual.style import Style

_MARK = re.compile(r"( ?\d+[. ]|[✖▲·+=!]) ")  # the number of a step or a row, or a sign
_TO_UNIT = r"(?<=\d) (?=(?:%|°C|mL|mg|kg|g|L|days?)(?!\w))"
_TO_TITLE = r"(?<=  [✖▲·]) "  # from a sign within a run of titles
_KEPT = re.compile(f"{_TO_UNIT}|{_TO_TITLE}")
_GLUE = "\ue000"  # for private use: no word ends with it, as it would with a no-break space
_LEAST = 20  # columns that words need beside an indent; narrower, they wrap as they come


class Hanging(Visual):
    """A text that folds itself to whatever width it is given."""

    def __init__(self, text: Content) -> None:
        self._text = text
        self._folded: tuple[int, Content] = (0, text)

    def __str__(self) -> str:
        """Return the text as it is, unfolded."""
        return self._text.plain

    def render_strips(
        self, width: int, height: int | None, style: Style, options: RenderOptions
    ) -> list[Strip]:
        """Return the folded text as Textual draws it."""
        return self._fold(width).render_strips(width, height, style, options)

    def get_optimal_width(self, rules: RulesMap, container_width: int) -> int:
        """Return the width of the longest line, in cells."""
        return self._text.get_optimal_width(rules, container_width)

    def get_minimal_width(self, rules: RulesMap) -> int:
        """Return the width of the longest word, in cells."""
        return self._text.get_minimal_width(rules)

    def get_height(self, rules: RulesMap, width: int) -> int:
        """Return how many lines it takes at a width."""
        return self._fold(width).get_height(rules, width)

    def _fold(self, width: int) -> Content:
        if self._folded[0] != width:
            self._folded = width, hung(self._text, width)
        return self._folded[1]


def hung(text: Content, width: int) -> Content:
    """Return a text folded to so many cells, each line that begins with a mark hung on it.

    No line ends between a number and its unit, nor between a sign and its title.
    """
    lines: list[Content] = []
    for line in _with_plain(text, _KEPT.sub(_GLUE, text.plain)).split(allow_blank=True):
        mark = _MARK.match(line.plain)
        if not mark or width < mark.end() + _LEAST:
            lines += line.wrap(width) if _GLUE in line.plain else [line]
            continue
        first, *more = line[mark.end() :].wrap(width - mark.end())
        indent = Content(" " * mark.end())
        lines += [line[: mark.end()] + first, *(indent + further for further in more)]
    folded = Content("\n").join(lines)
    return _with_plain(folded, folded.plain.replace(_GLUE, " "))


def _with_plain(text: Content, plain: str) -> Content:
    """Return a text with as many other letters in the same colours."""
    return Content(plain, spans=list(text.spans))
