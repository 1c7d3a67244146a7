"""How a jar is bottled, as it is asked for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from steepboard import amounts
from steepboard.domain.readings import Measured
from steepboard.domain.records import State
from steepboard.services import bottle_shelf, views
from steepboard.services.bottle_words import rest_line
from steepboard.services.typed_bottles import read_all_fills
from steepboard.text import clean
from steepboard.tui.screens.ask_form import Line

if TYPE_CHECKING:
    from steepboard.services.bottling import Fill
    from steepboard.services.desk import Desk
    from steepboard.tui.screens.ask_form import Given

EXAMPLE = "say 2x100ml 1x50ml:48ml"
_JAR = "Say which jar, by its code."


@dataclass(frozen=True, slots=True)
class Bottling:
    """What is to be filled from a jar."""

    code: str
    fills: tuple[Fill, ...]
    left: Measured | None


def fills_told(fills: tuple[Fill, ...]) -> str:
    """Return what these come to."""
    total = sum(one.filled.value for one in fills)
    return f"{len(fills)} bottle{'s' * (len(fills) != 1)}, {total:.4g} mL"


def fill_lines(desk: Desk, code: str) -> tuple[Line, ...]:
    """Return the lines that ask for the jar, where none was chosen, for bottles and what stays."""
    jars = [one for one in views.all_jars(desk) if one.state in (State.SETTLING, State.BOTTLED)]
    codes = [one.code for one in reversed(jars)]
    rest = bottle_shelf.rest(desk, views.jar(desk, code)) if code else None
    return (
        Line("jar", "Jar", lambda text: clean(text, 40).upper(), hint="its code; it is strained",
             typed=code, needed=_JAR, suggestions=codes),
        Line("bottles", "Bottles", read_all_fills, fills_told, hint=EXAMPLE,
             needed="Say how many of which size, like 3x100ml."),
        Line("left", "Stays over", lambda text: amounts.parse_volume(text, zero=True),
             lambda amount: amount.echo,
             hint=rest_line(code, rest) if rest else "where nothing was measured before"),
    )  # fmt: skip


def read_bottling(given: Given) -> Bottling:
    """Return what was answered."""
    left = given["left"]
    return Bottling(
        given["jar"], given["bottles"], Measured(left.value, left.resolution) if left else None
    )
