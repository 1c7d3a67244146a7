"""Text from people on its way to the screen: never markup, never a control sequence."""

from __future__ import annotations

from rich.cells import cell_len, set_cell_size
from rich.text import Text
from textual.content import Content

from steepboard.text import visible


def plain(text: str) -> Content:
    """Return `text` for a widget, an option, a tab or a border title."""
    return Content(visible(text))


def cell(text: str) -> Text:
    """Return `text` for a cell or column of a table, or the label of a tree."""
    return Text(visible(text))


def fitted(text: str, width: int) -> str:
    """Return `text` made visible, in so many columns; what is cut ends with …."""
    line = visible(text)
    if cell_len(line) <= width:
        return set_cell_size(line, width)
    return set_cell_size(line, width - 1) + "…"


def say(template: str, **values: object) -> Content:
    """Return our own markup with values put in as they are: `say("$jar is due", jar=name)`."""
    return Content.from_markup(template, **{k: visible(str(v)) for k, v in values.items()})
