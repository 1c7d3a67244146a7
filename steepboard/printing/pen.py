"""Writing on a page: text measured and set letter by letter, never as markup."""

from __future__ import annotations

import itertools
import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING

from steepboard.errors import FontUnusable
from steepboard.printing.fonts import Font, as_printed, fonts_for, in_latin_1, is_latin_1
from steepboard.printing.wrapping import wrap

if TYPE_CHECKING:
    from collections.abc import Callable

    from fpdf import FPDF

MM_PER_PT = 25.4 / 72.0
CREATOR = "Steepboard"
TIE = "\N{NO-BREAK SPACE}"
_BEFORE_UNIT = re.compile(r"(?<=\d) (?=%|°C|mL\b|mm\b|g\b)")
_LATIN_1 = "helvetica"
_MEASURED_PT = 100
_BASELINE = 0.99  # of the size below the top of a line, so that accents stay inside; measured here
_LINE = 1.22  # a line's height over its size: the baseline, and what hangs below it; measured here


@dataclass(frozen=True, slots=True)
class Style:
    """How a text is set."""

    size_pt: float
    bold: bool = False
    grey: int = 0
    """0 black to 255 white."""
    beyond_latin_1: bool = False
    """Whether the text that it sets a piece of has letters that Latin-1 lacks."""

    @property
    def line_mm(self) -> float:
        """How high a line is."""
        return self.size_pt * MM_PER_PT * _LINE

    def scaled(self, by: float) -> Style:
        """Return the same, larger."""
        return replace(self, size_pt=self.size_pt * by)


class Pen:
    """Writes on the pages of one document, in mm from the upper left."""

    def __init__(self, texts: Iterable[str], own_font: str, now: datetime, title: str) -> None:
        """Take up the fonts that `texts` need; raises `Unprintable`, `FontUnusable`."""
        from fpdf import FPDF

        self._fonts = fonts_for(texts, own_font)
        self.pdf: FPDF = FPDF(unit="mm")
        self.pdf.set_auto_page_break(False)
        self.pdf.set_margin(0)
        self.pdf.set_creation_date(now)
        self.pdf.set_creator(CREATOR)
        self.pdf.set_title(title)
        for font in self._fonts:
            self._take_up(font)
        self._widths: dict[tuple[str, str, bool], float] = {}
        self._own = bool(own_font)

    def _take_up(self, font: Font) -> None:
        try:
            self.pdf.add_font(font.family, "", font.regular)
            self.pdf.add_font(font.family, "B", font.bold)
        except Exception as fault:  # a font's reader has no base of its own faults
            raise FontUnusable(str(font.regular)) from fault

    def suited(self, text: str, style: Style) -> Style:
        """Return the style in which all of a text, and every piece of it, is set in one font."""
        return replace(style, beyond_latin_1=not is_latin_1(in_latin_1(as_printed(text))))

    def width_mm(self, text: str, style: Style) -> float:
        """Return how wide a text that is ready to be printed is."""
        return sum(self._width(char, style) for char in text) * style.size_pt

    def lines(self, text: str, style: Style, room_mm: Callable[[int], float]) -> list[str] | None:
        """Return the lines of a text within the room that each has, or None where none is."""
        text = _BEFORE_UNIT.sub(TIE, as_printed(text))
        kept = text if style.beyond_latin_1 else in_latin_1(text)
        return wrap(kept, room_mm, lambda piece: self.width_mm(piece, style))

    def write(self, x_mm: float, y_mm: float, line: str, style: Style) -> None:
        """Write one line whose upper left is at x and y."""
        self.pdf.set_text_color(style.grey)
        by_family = itertools.groupby(_in_order(line), lambda char: self._family(char, style))
        for family, run in ((family, "".join(run)) for family, run in by_family):
            self.pdf.set_font(family, "B" if style.bold else "", style.size_pt)
            self.pdf.text(x_mm, y_mm + style.size_pt * MM_PER_PT * _BASELINE, run)
            x_mm += self.width_mm(run, style)

    def output(self) -> bytes:
        """Return the document."""
        return bytes(self.pdf.output())

    def _width(self, char: str, style: Style) -> float:
        key = char, self._family(char, style), style.bold
        if key not in self._widths:
            self.pdf.set_font(key[1], "B" if style.bold else "", _MEASURED_PT)
            self._widths[key] = self.pdf.get_string_width(char) / _MEASURED_PT
        return self._widths[key]

    def _family(self, char: str, style: Style) -> str:
        if not (style.beyond_latin_1 or self._own) and is_latin_1(char):
            return _LATIN_1
        return next((font.family for font in self._fonts if ord(char) in font.has), _LATIN_1)


def _in_order(text: str) -> str:
    """Return the characters of one line from left to right as they are seen."""
    if not any(unicodedata.bidirectional(char) == "R" for char in text):
        return text
    from fpdf.bidi import BidiParagraph

    return BidiParagraph(text=text, base_direction=None).get_reordered_string()
