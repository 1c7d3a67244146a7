"""Taking back what the house said: pars, prices, doses, droppers, and lists of drinks sold."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from steepboard.domain.base import Base
from steepboard.domain.bench import Verdict
from steepboard.domain.bottles import Purpose
from steepboard.domain.costs import Ware
from steepboard.domain.dosing import Tool
from steepboard.errors import NoPrice, NotDrawnBy, NothingToUndo, NotKept, RecordUnusable
from steepboard.services import (
    acts,
    bench,
    bottle_shelf,
    bottles,
    bottling,
    costs,
    doses,
    droppers,
    materials,
    sold,
    stock,
    undoing,
    views,
)
from steepboard.services import house as diary
from steepboard.services.undo_words import told, what
from steepboard.settings import Money
from steepboard.store import house
from tests.bottled import NEXT, drawn, full, mls, strained
from tests.shelves import MORNING, desk_at, order, spirit

NOW = NEXT + timedelta(days=3)
LIST = b"date,drink,count\n2026-03-19,edge,5\n"


@pytest.fixture
def desk(tmp_path, monkeypatch):
    """Give a shelf in euros with two bottles of 50 mL of caraway and a dose of 2 mL of it."""
    monkeypatch.setenv("LC_ALL", "en_US.UTF-8")
    desk = desk_at(tmp_path)
    desk = replace(desk, settings=replace(desk.settings, money=Money("EUR")))
    strained(desk)
    bottling.fill(desk, "CARA-01", [full(50), full(50)], NEXT)
    doses.keep(desk, "edge", 2.0, "CARA-01-A", "a bitter edge", NEXT)
    return desk


def amounts(desk):
    return [f"{one.amount}" for one in costs.prices(desk)]


def left(desk):
    return {one.code: round(one.left_ml, 6) for one in bottle_shelf.bottles(desk)}


def test_a_price_said_wrongly_is_taken_back_and_the_one_before_holds_again(desk):
    costs.keep_price(desk, Ware.SPIRIT, "rye", Decimal("18.40"), NOW)
    costs.keep_price(desk, Ware.SPIRIT, "rye", Decimal("184"), NOW)
    assert amounts(desk) == ["184"]
    undone = costs.undo_price(desk, Ware.SPIRIT, "Rye", NOW)
    assert what(desk, undone) == "price of rye, €184.00 a litre from 21 Mar 2026"
    assert amounts(desk) == ["18.40"]
    costs.forget_price(desk, Ware.SPIRIT, "rye", NOW)
    assert amounts(desk) == []
    costs.undo_price(desk, Ware.SPIRIT, "rye", NOW)
    assert amounts(desk) == ["18.40"]
    costs.undo_price(desk, Ware.SPIRIT, "rye", NOW)
    assert amounts(desk) == []
    with pytest.raises(NothingToUndo):
        costs.undo_price(desk, Ware.SPIRIT, "rye", NOW)
    with pytest.raises(NoPrice):
        costs.undo_price(desk, Ware.BOTANICAL, "rye", NOW)


def test_a_par_said_wrongly_is_taken_back_and_the_one_before_holds_again(desk):
    with pytest.raises(NotKept):
        stock.undo_par(desk, "caraway", NOW)
    stock.set_par(desk, "caraway", 60, NOW)
    stock.set_par(desk, "caraway", 0, NOW)
    stock.undo_par(desk, "caraway", NOW)
    assert stock.one(desk, "caraway", NOW).par_ml == 60
    stock.set_par(desk, "caraway", None, NOW)
    assert stock.one(desk, "caraway", NOW).par_ml is None
    stock.undo_par(desk, "caraway", NOW)
    assert stock.one(desk, "caraway", NOW).par_ml == 60


def test_the_last_act_of_the_shelf_may_be_what_the_house_said(desk):
    """The clock says nothing here: all of it is told at one moment."""
    drops = droppers.count(desk, "bulb", Tool.DROP, 80, mls(2.0, 0.1), 0.45, NOW)
    acts.taste(desk, "CARA-01", "dry", NOW)
    stock.set_par(desk, "caraway", 60, NOW)
    sold.sold(desk, "friday.csv", LIST, NOW)
    costs.keep_price(desk, Ware.BOTANICAL, "caraway", Decimal("12.50"), NOW)
    told = []
    for _ in range(5):
        last = undoing.last_act(desk)
        told.append((last.code, last.kinds, what(desk, last)))
        assert undoing.undo(desk, None, NOW) == last
    assert told == [
        ("caraway", ("keep",), "price of caraway, €12.50 a kilogram from 21 Mar 2026"),
        ("CARA-01-A", ("draw",), "by friday.csv: 10 mL from CARA-01-A"),
        ("Caraway seed", ("keep",), "least of Caraway seed, 60 mL"),
        ("CARA-01", ("taste",), "dry"),
        ("bulb", ("keep",), "dropper bulb, 0.025 mL a drop: 80 drops to 2 mL"),
    ]
    assert drops not in droppers.droppers(desk)
    assert (amounts(desk), house.pars(desk.store)) == ([], {})
    assert left(desk) == {"CARA-01-A": 50, "CARA-01-B": 50}


def test_the_end_of_a_trial_is_taken_back_with_what_was_drawn_for_it(desk):
    """Alike by the shelf's last act, the trial's and the bottle's: nothing is half taken back."""
    sample = Base("sour", 100.0, 0.28, 90.0)
    drops = droppers.count(desk, "bulb", Tool.DROP, 80, mls(2.0, 0.1), 0.45, NOW).name
    begun = bench.start(desk, "CARA-01-A", sample, NOW, sample_u_ml=0.6, dropper=drops)
    code = begun.trial.code
    bench.add(desk, code, "4 drops", Verdict.RIGHT, NOW)
    for take_back in (
        lambda: undoing.undo(desk, None, NOW),
        lambda: undoing.undo_trial(desk, code, NOW),
        lambda: undoing.undo(desk, "CARA-01-A", NOW),
    ):
        bench.end(desk, code, NOW)
        assert left(desk)["CARA-01-A"] == pytest.approx(49.9)
        last = take_back()
        # 80 drops to 2 mL: a drop is 0.025 mL, and four of them 0.1 mL
        assert what(desk, last) == (
            f"bench trial {code}, that it is done (0.1 mL from CARA-01-A with it)"
        )
        assert left(desk)["CARA-01-A"] == 50
        assert not bench.view(desk, code, NOW).trial.ended
    bench.end(desk, code, NOW)
    costs.keep_price(desk, Ware.SPIRIT, "rye", Decimal(20), NOW)
    assert undoing.undo(desk, None, NOW).code == "rye"
    assert undoing.undo(desk, None, NOW).kinds == ("end", "draw")
    acts.taste(desk, "CARA-01", "dry", NOW)
    bench.put_in(desk, code, "1 drop", NOW)
    assert what(desk, undoing.undo(desk, None, NOW)).endswith("a step: 1 drop, not tasted yet")
    assert undoing.undo(desk, None, NOW).kinds == ("taste",)


@pytest.mark.parametrize("ware", Ware)
def test_a_price_that_is_not_kept_is_looked_for_where_prices_are_listed(desk, ware):
    with pytest.raises(NotKept, match=f"No {ware.value} price is called rye. `steepboard price`"):
        diary.forget(desk, costs.topic(ware), "rye", NOW)


def both_names(desk):
    """Keep a price under each of two names, of which it turns out that both mean one plant."""
    for n, (name, amount) in enumerate((("Sweet gale", "90"), ("bog myrtle", "95"))):
        at = NOW + timedelta(microseconds=n)
        costs.keep_price(desk, Ware.BOTANICAL, name, Decimal(amount), at)
    gale = materials.OwnBotanical("", "", aliases=("bog myrtle",))
    materials.keep_botanical(desk, "Sweet gale", gale, NOW)
    assert sorted(amounts(desk)) == ["90", "95"]


def test_all_names_of_a_ware_are_forgotten_together_and_come_back_together(desk):
    both_names(desk)
    costs.forget_price(desk, Ware.BOTANICAL, "sweet gale", NOW)
    assert amounts(desk) == []
    undone = costs.undo_price(desk, Ware.BOTANICAL, "sweet gale", NOW)
    assert undone.kinds == ("forget", "forget")
    assert sorted(amounts(desk)) == ["90", "95"]
    costs.undo_price(desk, Ware.BOTANICAL, "sweet gale", NOW)  # what was said last alone
    assert amounts(desk) == ["90"]


def test_the_last_act_of_the_shelf_takes_all_forgotten_names_back_together(desk):
    both_names(desk)
    costs.forget_price(desk, Ware.BOTANICAL, "sweet gale", NOW)
    undone = undoing.undo(desk, None, NOW)
    assert undone.kinds == ("forget", "forget")
    assert sorted(amounts(desk)) == ["90", "95"]
    undoing.undo(desk, None, NOW)  # what was said last alone
    assert amounts(desk) == ["90"]


def test_a_fault_in_between_forgets_no_price_of_several_names(desk):
    both_names(desk)
    desk.store.conn.execute(
        "create trigger halt before insert on house_entry when new.name = 'Sweet gale' "
        "and new.act = 'forget' begin select raise(abort, 'the disk is full'); end"
    )
    with pytest.raises(RecordUnusable):
        costs.forget_price(desk, Ware.BOTANICAL, "bog myrtle", NOW)
    assert sorted(amounts(desk)) == ["90", "95"]


def test_the_undo_of_a_jar_leaves_what_the_house_said(desk):
    costs.keep_price(desk, Ware.SPIRIT, "rye", Decimal(20), NOW)
    undoing.undo(desk, "CARA-01-A", NOW)
    assert amounts(desk) == ["20"]


def test_all_draws_of_a_list_go_back_together_also_after_later_ones(desk):
    many = b"date,drink,count\n2026-03-19,edge,30\n"  # 60 mL: all of A and 10 of B
    sold.sold(desk, "friday.csv", many, NOW)
    bottles.draw(desk, "CARA-01-B", drawn(3), Purpose.TASTING, NOW)
    assert left(desk) == {"CARA-01-A": 0, "CARA-01-B": 37}
    gone = undoing.undo_sold(desk, "friday.csv", b"", NOW)
    assert what(desk, gone) == "by friday.csv: 50 mL from CARA-01-A, 10 mL from CARA-01-B"
    assert left(desk) == {"CARA-01-A": 50, "CARA-01-B": 47}
    with pytest.raises(NotDrawnBy, match=r"friday\.csv"):
        undoing.undo_sold(desk, "friday.csv", many, NOW)
    sold.sold(desk, "friday.csv", many, NOW)


def test_a_list_is_known_by_what_is_in_it_before_its_name(desk):
    other = LIST.replace(b"19", b"18")
    sold.sold(desk, "bar.csv", LIST, NOW)
    sold.sold(desk, "bar.csv", other, NOW)
    undoing.undo_sold(desk, "renamed.csv", LIST, NOW)
    assert left(desk)["CARA-01-A"] == 40
    sold.sold(desk, "bar.csv", LIST, NOW)  # it counts again, the other does not
    undoing.undo_sold(desk, "renamed.csv", other, NOW)
    assert left(desk)["CARA-01-A"] == 40


def test_a_name_alone_takes_back_no_other_evening(desk, tmp_path):
    """A nightly list has one name: the one at hand was never drawn by, yesterday's was."""
    file, other = tmp_path / "nightly.csv", LIST.replace(b"19", b"18")
    sold.sold(desk, "nightly.csv", LIST, NOW)
    with pytest.raises(NotDrawnBy, match=r"nightly\.csv\.$"):
        undoing.undo_sold(desk, "nightly.csv", other, NOW)
    file.write_bytes(other)
    with pytest.raises(NotDrawnBy, match="Another list of that name was counted on 2026-03-21"):
        sold.read_drawn(desk, file)
    (tmp_path / "new.csv").write_bytes(other)
    with pytest.raises(NotDrawnBy, match=r"drawn by new\.csv\.$"):
        sold.read_drawn(desk, tmp_path / "new.csv")
    assert left(desk)["CARA-01-A"] == 40
    file.unlink()
    undoing.undo_sold(desk, "nightly.csv", sold.read_drawn(desk, file), NOW)
    assert left(desk)["CARA-01-A"] == 50


def test_a_preview_tells_what_is_drawn_then_and_writes_nothing(desk):
    seen = sold.preview(desk, "friday.csv", LIST, NOW)
    assert [(one.code, one.volume_ml) for one in seen.taken] == [("CARA-01-A", pytest.approx(10))]
    assert left(desk)["CARA-01-A"] == 50
    assert sold.sold(desk, "friday.csv", LIST, NOW) == seen


def test_one_price_serves_all_names_of_what_was_bought(desk):
    """300 mL at 18.40 a litre are 5.52, 40 g at 12.50 a kilogram are 0.50."""
    costs.keep_price(desk, Ware.SPIRIT, "neutral spirit", Decimal("18.40"), MORNING)
    costs.keep_price(desk, Ware.BOTANICAL, "Caraway Seeds", Decimal("12.50"), MORNING)
    for name in ("spirit", "Neutral Spirit", "rye whisky"):
        acts.charge(desk, replace(order(), spirits=(spirit(300.0, 0.45, name),)), MORNING)
    found = [costs.cost_of(desk, views.jar(desk, f"CARA-0{n}")).cost for n in (2, 3, 4)]
    assert [one.total for one in found] == [Decimal("6.02"), Decimal("6.02"), Decimal("0.5")]
    assert found[2].unpriced == ("rye whisky",)


def test_a_price_is_kept_under_one_name_whichever_was_typed(desk):
    """The catalogue has one entry for both names of the whiskey."""
    for name, amount in (("100 proof rye", "30"), ("Rye whiskey", "31")):
        costs.keep_price(desk, Ware.SPIRIT, name, Decimal(amount), MORNING)
    assert [(one.name, f"{one.amount}") for one in costs.prices(desk)] == [("100 proof rye", "31")]
    costs.undo_price(desk, Ware.SPIRIT, "rye whisky", NOW)
    assert amounts(desk) == ["30"]
    costs.forget_price(desk, Ware.SPIRIT, "rye whiskey", NOW)
    assert amounts(desk) == []


def test_what_is_taken_back_is_told_in_words_not_by_the_name_of_an_entry(desk):
    stock.set_par(desk, "caraway", 60.0, NOW)
    par = undoing.undo(desk, None, NOW)
    assert told(desk, par) == ("least of Caraway seed, 60 mL", "")
    bottles.draw(desk, "CARA-01-A", drawn(12.0), Purpose.DOSE, NOW)
    drawn_from = undoing.undo(desk, None, NOW)
    assert told(desk, drawn_from)[0] == "drawn from CARA-01-A"
    undoing.undo(desk, None, NOW)
    filled = undoing.undo(desk, None, NOW)
    assert told(desk, filled)[0] == "CARA-01-A and 1 more filled"
