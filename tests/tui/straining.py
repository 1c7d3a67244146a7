"""Walking through a straining by keys: what several tests do."""

from __future__ import annotations

from steepboard.services import views
from steepboard.tui.screens.strain import StrainScreen

READY = ("enter",) * 3
# The worked jar holds 58.07 x 0.89 x 0.82 g of solids with 1.6 mL x 51.68 g of liquor at 0.95249
# g/mL, so its marc weighs 121.1 g; its filter takes 6 mL, 5.7 g; 250 mL come out.
ALL = (
    *READY,
    *"240 ml", "enter",
    *"16 ml", "enter",
    "enter",
    *"121.1 g", "enter",
    *"2.1 g", "enter", *"7.8 g", "enter", "enter",
    "enter",
    *"250 ml", "enter",
)  # fmt: skip


async def opened(board, pilot, code, *keys):
    await board.push_screen(StrainScreen(code))
    await pilot.pause()
    await pilot.press(*keys)


def kept(desk, code):
    return {reading.measure: reading.typed for reading in views.jar(desk, code).readings}
