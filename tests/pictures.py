"""The pictures of README, made by the program: `python -m tests.pictures` draws them anew.

The shelf is the demo's, at a moment that stands still.
"""

from __future__ import annotations

import asyncio
import os
import re
import tempfile
from datetime import UTC, datetime
from pathlib import Path

from steepboard.cli.demo import build
from steepboard.domain.records import Source
from steepboard.paths import Home
from steepboard.services.desk import Desk
from steepboard.settings import load
from steepboard.store.connect import Store
from steepboard.tui.app import SteepBoard
from tests.shelves import VIENNA

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
MOMENT = datetime(2026, 5, 12, 14, 20, tzinfo=UTC)
KEYS = {"shelf": (), "losses": ("l",)}
"""The pictures, and the keys that lead to them from the Shelf."""


def draw(name: str) -> str:
    """Return one picture as SVG, the same each time."""
    with tempfile.TemporaryDirectory() as folder:
        home = Home(Path(folder))
        build(home, MOMENT, VIENNA)
        store = Store(home.record)
        desk = Desk(store, VIENNA, load(), Source.BOARD, "KL")
        try:
            svg = asyncio.run(_picture(SteepBoard(desk, lambda: MOMENT), KEYS[name]))
        finally:
            store.close()
    return re.sub(r"terminal-\d+", "terminal", svg)


async def _picture(board: SteepBoard, keys: tuple[str, ...]) -> str:
    async with board.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        await pilot.press(*keys)
        await board.workers.wait_for_complete()
        await pilot.pause()
        return board.export_screenshot(title="Steepboard")


if __name__ == "__main__":
    os.environ.pop("NO_COLOR", None)
    for wanted in KEYS:
        (EXAMPLES / f"{wanted}.svg").write_text(draw(wanted), encoding="utf-8")
