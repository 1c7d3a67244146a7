"""Where figures come from: choose one, read how it is worked out and who says so."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import OptionList, Static

from steepboard.tui.safe import plain
from steepboard.tui.screens.base import PAGES

if TYPE_CHECKING:
    from steepboard.domain.why import Why


_WIDEST = 28  # cells of a figure's name


class WhyScreen(ModalScreen[None]):
    """Closed by Esc or by the key that opened it."""

    CSS_PATH = PAGES
    BINDINGS = [  # noqa: RUF012
        ("escape,y,f2,q", "dismiss", "Close"),
        Binding("pagedown", "read(1)", "Read on", priority=True),
        Binding("pageup", "read(-1)", "Read back", priority=True),
    ]

    def __init__(self, answers: tuple[Why, ...], chosen: int = 0) -> None:
        super().__init__()
        self._answers, self._chosen = answers, chosen

    def compose(self) -> ComposeResult:
        """Put the figures above the answer."""
        width = min(max((len(answer.figure) for answer in self._answers), default=0), _WIDEST)
        with Vertical(id="why") as page:
            page.border_title = "Where does it come from?"
            page.border_subtitle = "↑ ↓ choose a figure, PgDn reads on, Esc closes"
            yield OptionList(
                *(_line(answer, width) for answer in self._answers), id="figures", markup=False
            )
            with VerticalScroll(id="answer", can_focus=False):
                yield Static(id="said")

    def on_mount(self) -> None:
        """Begin with the figure that was asked for."""
        figures = self.query_one("#figures", OptionList)
        figures.focus()
        figures.highlighted = self._chosen

    def action_read(self, by: int) -> None:
        """Scroll the answer, which may name many jars."""
        answer = self.query_one("#answer", VerticalScroll)
        answer.scroll_page_down() if by > 0 else answer.scroll_page_up()

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Answer for the chosen figure."""
        self.query_one("#said", Static).update(_said(self._answers[event.option_index]))
        self.query_one("#answer").scroll_home(animate=False)


def _line(answer: Why, width: int) -> Content:
    name = plain(answer.figure).truncate(width, ellipsis=True, pad=True)
    return Content.assemble(name.stylize("bold"), "  ", plain(answer.value))


def _said(answer: Why) -> Content:
    head = Content.assemble(
        plain(answer.rule), Content.styled("\n(", "$faint"), plain(answer.source).stylize("$faint"),
        Content.styled(")", "$faint"),
    )  # fmt: skip
    lines = [
        Content.assemble(
            Content.styled(f"{one.name}  ", "$secondary"),
            plain(one.value),
            plain(f"  {one.source}").stylize("$faint"),
        )
        for one in answer.inputs
    ]
    return Content("\n").join([head, *lines])
