"""Where a jar's liquid went: each part in mL and as a share of all, with its ±."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Static

from steepboard.domain.balance import Balance, Figure
from steepboard.tui.widgets.loss_chart import PARTS, legend, spread

PLUS_MINUS = (
    "±: the true figure lies so near about two times in three. ≈: not measured, but estimated "
    "from what is usual."
)
_NAME = 20  # cells
_BAR = 50  # cells
_STYLES = ("$primary", "$secondary", "$accent", "$error b")
"""Of the parts of a bar, as in the style sheet for the chart."""


class BalanceTable(Static):
    """The parts of a balance, one to a line; empty as long as there is none."""

    def show(self, balance: Balance | None, *, bar: bool = False) -> None:
        """Show a balance; with `bar` drawn as well, where there is room for it."""
        if balance is None:
            self.update(Content(""))
        elif bar:
            self.update(Content("\n\n").join([balance_lines(balance), bar_lines(balance)]))
        else:
            self.update(balance_lines(balance))


def balance_lines(balance: Balance) -> Content:
    """Return the table."""
    parts = [
        ("in the jar", balance.liquor),
        ("rinse poured on", balance.rinse),
        ("recovered", balance.recovered),
        ("held in the marc", balance.held_in_marc),
        ("held in the filter", balance.held_in_filter),
        ("left as mud", balance.sediment),
        ("taken for tasting", balance.sampled),
        ("evaporated", balance.evaporated),
        ("unaccounted", balance.unaccounted),
    ]
    head = Content.styled(f"{'':<{_NAME}}  {'mL':>7}  {'±':>5}  {'%':>6}  {'±':>4}", "$faint")
    lines = [_line(name, figure) for name, figure in parts if figure is not None]
    return Content("\n").join([head, *lines])


def bar_lines(balance: Balance) -> Content:
    """Return the balance as one bar of signs with its legend; bottled holds tastings and mud."""
    lost = (balance.held_in_marc, balance.held_in_filter, balance.unaccounted)
    shares = [figure.share for figure in lost]
    cells = spread((1.0 - sum(shares), *shares), _BAR)
    drawn = [
        Content.styled(sign * count, style)
        for (sign, _), count, style in zip(PARTS, cells, _STYLES, strict=True)
    ]
    return Content("").join(drawn) + Content("\n") + legend()


def _line(name: str, figure: Figure) -> Content:
    sign = "≈" if figure.estimated else " "
    return Content.assemble(
        f"{name:<{_NAME}} {sign}",
        (f"{figure.ml:7.1f}", "bold"),
        (f"  {figure.ml_u:5.1f}", "$faint"),
        f"  {figure.share * 100:6.1f}",
        (f"  {figure.share_u * 100:4.1f}", "$faint"),
    )
