"""Strained jars and bottles for tests, on the shelf of `shelves`."""

from __future__ import annotations

from datetime import timedelta

from steepboard.domain.readings import Measured
from steepboard.domain.records import Measure, Reading
from steepboard.services import acts, views
from steepboard.services.bottles import Drawn
from steepboard.services.bottling import Fill
from tests.shelves import MORNING, order

LATER = MORNING + timedelta(days=16)
NEXT = LATER + timedelta(hours=3)


def mls(value, step=1.0):
    return Measured(value, step)


def full(size_ml):
    """Return a bottle filled with just its size, measured in a cylinder."""
    return Fill(size_ml, mls(size_ml), f"{size_ml:g}ml")


def strained(desk, recovered_ml=222.0, name="caraway", *, bottled=True):
    jar = acts.charge(desk, order(name), MORNING)
    read = Reading(Measure.RECOVERED, recovered_ml, f"{recovered_ml:g} mL", 1.0, LATER)
    acts.strain(desk, jar.code, (read,) if bottled else (), LATER, bottled=bottled)
    return views.jar(desk, jar.code)


def drawn(volume_ml, step=1.0, **more):
    return Drawn(mls(volume_ml, step), f"{volume_ml:g} mL", **more)
