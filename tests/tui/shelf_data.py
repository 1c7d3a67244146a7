"""The shelf of a small railway hotel's bar on one morning: a jar in every state. Invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from steepboard.domain.records import BotanicalLine, Measure
from steepboard.services import acts, material, straining
from tests.shelves import MORNING, order, spirit
from tests.tui.flows import ALL_READ, bar_desk

DAY = timedelta(days=1)
LATE, TODAY, MISSED, WANTS, STIRRED = "CARA-01", "CORI-01", "ROSE-01", "PLAT-01", "ANIS-01"
SETTLED, PLANNED, BOTTLED, DISCARDED = "VANI-01", "ORRI-01", "CARA-02", "CARA-03"


def charged(desk, days_ago, *stirs_ago, what="caraway", **changes):
    """Charge a jar so many days ago, stirred at these days ago; return its code."""
    wanted = replace(order(what, acknowledged=ALL_READ), **changes)
    code = acts.charge(desk, wanted, MORNING - days_ago * DAY).code
    for ago in sorted(stirs_ago, reverse=True):
        acts.stir(desk, (code,), MORNING - ago * DAY)
    return code


def asked(board):
    """Return what stands in the box on top, whole sentences whatever the width."""
    texts = (str(part.visual) for part in board.screen.query("Static"))
    return " ".join(" ".join(texts).split())


def toasts(board):
    """Return what was said in passing and can still be read."""
    return [toast.message for toast in board._notifications]


def two_in_one():
    """Return the lines of a jar with two botanicals and two spirits."""
    solids = (
        material.weighed("fennel", 20, "20 g"),
        material.weighed("bitter orange peel", 12, "12g"),
    )
    return {
        "botanicals": solids,
        "spirits": (spirit(150, 0.48, "rye spirit"), spirit(80, 0.62, "grape spirit")),
        "name": "Platform two",
    }


def of_no_known_plant(name):
    """Return the line of a jar with something that the catalogue is not to know."""
    return {"botanicals": (BotanicalLine(name, 40.0, "40g", "other"),), "name": name}


def railway_bar(folder):
    """Put the shelf into `folder` and return the desk of its board."""
    (folder / "shelf.db").write_bytes(_as_built())
    return bar_desk(folder)


@cache
def _as_built():
    """Return the record of the shelf, built once: some sixty acts take as long as a test of one."""
    with TemporaryDirectory() as folder:
        desk = bar_desk(Path(folder))
        _work(desk)
        desk.store.close()
        return (Path(folder) / "shelf.db").read_bytes()


def _work(desk):
    charged(desk, 16, *range(1, 16), vessel_ml=500.0)
    charged(desk, 14, *range(1, 14), what="coriander")
    charged(desk, 9, 1, 2, 5, 6, 7, 8, what="rosemary")
    charged(desk, 4, 1, 2, 3, **two_in_one())
    charged(desk, 3, 0, 1, 2, **of_no_known_plant("anise"))
    settled = charged(desk, 20, *range(7, 20), what="vanilla")
    acts.strain(desk, settled, (), MORNING - 4 * DAY)
    acts.plan(desk, order("orris"), MORNING - DAY)
    bottled = charged(desk, 30, *range(17, 30))
    acts.taste(desk, bottled, "warm, a little woody", MORNING - 18 * DAY)
    ended = MORNING - 16 * DAY
    read = (
        straining.reading(desk, Measure.RECOVERED, 241, "241 mL", 2, ended),
        straining.reading(desk, Measure.MARC, 78.4, "78.4 g", 0.1, ended),
    )
    acts.strain(desk, bottled, read, ended, bottled=True)
    acts.discard(desk, charged(desk, 12), "broken glass", MORNING - 11 * DAY)
