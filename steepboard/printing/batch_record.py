"""The batch record on paper: facts, tables and lines to sign, over as many pages as it takes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from steepboard.printing.flow import SMALL_PT
from steepboard.printing.pen import Pen, Style

PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height in mm: ISO 216; ANSI Y14.1."""
_MARGIN_MM, _FOOT_MM, _GAP_MM = 18.0, 16.0, 2.0
_CELL_MM = 0.7  # above and below the text of a row; assumed, like all that is not said otherwise
_SIGN_MM = 9.0  # high enough to write in
_TITLE, _HEADING = Style(16.0, bold=True), Style(10.5, bold=True)
_TEXT, _FINE = Style(8.0), Style(SMALL_PT, grey=70)
_HEAD = Style(SMALL_PT, bold=True, grey=70)
_RULE_MM, _RULE_GREY = 0.15, 150


@dataclass(frozen=True, slots=True)
class Table:
    """A heading, rows under their columns, and a remark below."""

    title: str
    columns: tuple[tuple[str, float], ...]
    """Each with its part of the width."""
    rows: tuple[tuple[str, ...], ...]
    note: str = ""


@dataclass(frozen=True, slots=True)
class RecordText:
    """All that the record of a batch says."""

    code: str
    name: str
    facts: tuple[tuple[str, str], ...]
    tables: tuple[Table, ...]
    signatures: tuple[str, ...]
    """What is signed for, say `charged`."""
    foot: str
    """At the foot of each page."""

    @property
    def texts(self) -> Iterator[str]:
        """All of it, for the choice of a font."""
        yield from (self.code, self.name, self.foot, *self.signatures)
        for fact in self.facts:
            yield from fact
        for table in self.tables:
            yield from (table.title, table.note, *(head for head, _ in table.columns))
            for row in table.rows:
                yield from row


def record_pdf(record: RecordText, paper: str, now: datetime, font: str = "") -> bytes:
    """Return the record; raises `Unprintable`, `FontUnusable`. It is set twice to count pages."""
    counted = _Pages(record, paper, now, font, total=0)
    return _Pages(record, paper, now, font, total=counted.pen.pdf.page).pen.output()


class _Pages:
    """The pages of one record as they fill; each keeps where on it the next row goes."""

    def __init__(
        self, record: RecordText, paper: str, now: datetime, font: str, *, total: int
    ) -> None:
        self.pen = Pen(record.texts, font, now, f"Batch record {record.code}")
        self._record, self._total = record, total
        self._across, self._down = PAPERS[paper]
        self._wide = self._across - 2.0 * _MARGIN_MM
        self._y = 0.0
        self._page()
        self._row([(record.name, 1.0)], _HEADING)
        for fact in record.facts:
            self._row(list(zip(fact, (0.2, 0.8), strict=True)), _TEXT)
        for table in record.tables:
            self._table(table)
        self._signatures()

    def _page(self) -> None:
        """Begin a page, with its head and its foot."""
        self.pen.pdf.add_page(format=(self._across, self._down))
        self._y = _MARGIN_MM
        self._row([(f"Batch record {self._record.code}", 1.0)], _TITLE)
        count = f"page {self.pen.pdf.page} of {self._total}"
        right = self._across - _MARGIN_MM - self.pen.width_mm(count, _FINE)
        self.pen.write(right, self._y - _CELL_MM - _FINE.line_mm, count, _FINE)
        self._rule(self._y)
        after, self._y = self._y + _GAP_MM, self._down - _FOOT_MM
        self._rule(self._y)
        self._row([(self._record.foot, 1.0)], _FINE, breaks=False)
        self._y = after

    def _table(self, table: Table) -> None:
        """Write a table; its heading never stands alone at the foot of a page."""
        parts = [part for _, part in table.columns]
        head = [(name, part) for name, part in table.columns]
        self._y += 2.0 * _GAP_MM
        self._keep(_HEADING.line_mm + _HEAD.line_mm + 2.0 * _TEXT.line_mm + 8.0 * _CELL_MM)
        self._row([(table.title, 1.0)], _HEADING)
        self._row(head, _HEAD)
        self._rule(self._y)
        for row in table.rows:
            self._row(list(zip(row, parts, strict=True)), _TEXT, again=head)
        if table.note:
            self._row([(table.note, 1.0)], _FINE)

    def _signatures(self) -> None:
        """Write a line to sign for each thing that somebody answers for."""
        columns = (("Signed for", 0.25), ("name", 0.3), ("signature", 0.3), ("date", 0.15))
        lines = len(self._record.signatures) + 1
        self._keep(_HEADING.line_mm + _HEAD.line_mm + lines * _SIGN_MM)
        self._table(Table("Signatures", columns, ()))
        for what in self._record.signatures:
            self._y += _SIGN_MM - _TEXT.line_mm - 2.0 * _CELL_MM
            self._row([(what, 1.0)], _TEXT)
            x = _MARGIN_MM
            for _, part in columns:
                self.pen.pdf.line(x, self._y, x + part * self._wide - 2.0 * _GAP_MM, self._y)
                x += part * self._wide

    def _row(
        self,
        cells: Sequence[tuple[str, float]],
        style: Style,
        *,
        again: Sequence[tuple[str, float]] = (),
        breaks: bool = True,
    ) -> None:
        """Write texts side by side, each with its part of the width, wrapped.

        A row that is cut by the end of a page goes on on the next, under the heads in `again`.
        """
        columns = []
        x = _MARGIN_MM
        for text, part in cells:
            suited = self.pen.suited(text, style)
            columns.append((x, suited, self._lines(text, suited, part * self._wide - _GAP_MM)))
            x += part * self._wide
        high = max(len(lines) for _, _, lines in columns)
        whole = high * style.line_mm + 2.0 * _CELL_MM
        if breaks and whole < (self._down - _MARGIN_MM - _FOOT_MM) / 2.0:
            self._keep(whole, again)
        self._y += _CELL_MM
        for number in range(high):
            if breaks:
                self._keep(style.line_mm, again)
            for x, suited, lines in columns:
                if number < len(lines):
                    self.pen.write(x, self._y, lines[number], suited)
            self._y += style.line_mm
        self._y += _CELL_MM

    def _lines(self, text: str, style: Style, room_mm: float) -> list[str]:
        return self.pen.lines(text, style, lambda _: room_mm) or []

    def _keep(self, high_mm: float, again: Sequence[tuple[str, float]] = ()) -> None:
        """Begin a page where so much does not go on this one, under the heads in `again`."""
        if self._y + high_mm > self._down - _FOOT_MM - _GAP_MM:
            self._page()
            if again:
                self._row(again, _HEAD)
                self._rule(self._y)

    def _rule(self, y: float) -> None:
        self.pen.pdf.set_line_width(_RULE_MM)
        self.pen.pdf.set_draw_color(_RULE_GREY)
        self.pen.pdf.line(_MARGIN_MM, y, _MARGIN_MM + self._wide, y)
