"""The main screens, and what finds a jar; all but the Shelf are loaded when first wanted."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from steepboard.tui.screens.shelf import ShelfScreen

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual.command import Provider
    from textual.screen import Screen


def _calendar() -> Screen[Any]:
    from steepboard.tui.screens.calendar import CalendarScreen

    return CalendarScreen()


def _plan() -> Screen[Any]:
    from steepboard.tui.screens.plan import PlanScreen

    return PlanScreen()


def _bottles() -> Screen[Any]:
    from steepboard.tui.screens.bottles import BottlesScreen

    return BottlesScreen()


def _bench() -> Screen[Any]:
    from steepboard.tui.screens.bench import BenchScreen

    return BenchScreen()


def _losses() -> Screen[Any]:
    from steepboard.tui.screens.losses import LossesScreen

    return LossesScreen()


def _materials() -> Screen[Any]:
    from steepboard.tui.screens.materials import MaterialsScreen

    return MaterialsScreen()


def finder() -> type[Provider]:
    """Return what the palette searches with."""
    from steepboard.tui.finder import Finder

    return Finder


PLACES: dict[str, str | Callable[[], Screen[Any]]] = {
    "shelf": ShelfScreen,
    "calendar": _calendar,
    "plan": _plan,
    "bottles": _bottles,
    "bench": _bench,
    "losses": _losses,
    "materials": _materials,
}
