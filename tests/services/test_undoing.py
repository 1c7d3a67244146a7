"""What an undo would take back."""

from __future__ import annotations

from datetime import timedelta

import pytest

from steepboard.domain.records import Kind, Measure
from steepboard.errors import UnknownJar
from steepboard.services import acts, straining
from tests.shelves import MORNING, desk_at, order

DAY = timedelta(days=1)


def test_an_empty_shelf_has_nothing_to_take_back(tmp_path):
    assert acts.last_act(desk_at(tmp_path)) is None


def test_the_last_act_is_that_of_the_jar_or_of_the_whole_shelf(tmp_path):
    desk = desk_at(tmp_path)
    first, second = (acts.charge(desk, order(), MORNING).code for _ in range(2))
    acts.stir(desk, (first,), MORNING + DAY)
    (entry,) = acts.last_act(desk).entries
    assert (acts.last_act(desk).code, entry.kind) == (first, Kind.STIR)
    assert acts.last_act(desk, second).entries[0].kind is Kind.CHARGE


def test_what_was_done_together_is_told_together(tmp_path):
    desk = desk_at(tmp_path)
    code = acts.charge(desk, order(), MORNING).code
    read = straining.reading(desk, Measure.RECOVERED, 240, "240 mL", 2, MORNING + 14 * DAY)
    acts.strain(desk, code, (read,), MORNING + 14 * DAY, bottled=True)
    assert [entry.kind for entry in acts.last_act(desk).entries] == [Kind.STRAIN, Kind.BOTTLE]


def test_it_is_what_an_undo_then_takes_back(tmp_path):
    desk = desk_at(tmp_path)
    code = acts.charge(desk, order(), MORNING).code
    acts.stir(desk, (code,), MORNING + DAY)
    told = []
    while last := acts.last_act(desk):
        told.append(tuple(entry.kind for entry in last.entries))
        assert acts.undo(desk, None, MORNING + DAY).kinds == told[-1]
    assert told == [(Kind.STIR,), (Kind.CHARGE,)]


def test_a_jar_that_is_not_there_is_named(tmp_path):
    with pytest.raises(UnknownJar, match="NONE-01"):
        acts.last_act(desk_at(tmp_path), "NONE-01")
