"""Lists that people keep by hand come in as spreadsheets write them: all of a list or nothing."""

from __future__ import annotations

import io
from dataclasses import fields, replace
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steepboard.domain.base import Base
from steepboard.domain.costs import Ware
from steepboard.domain.dosing import Tool
from steepboard.domain.own import OwnBotanical
from steepboard.errors import BadDocument, BadRows
from steepboard.services import costs, doses, droppers, materials, stock, undoing
from steepboard.services.exchange import cells, list_in, lists
from steepboard.services.exchange.kept import KEPT
from steepboard.services.exchange.list_in import Outcome
from steepboard.services.undo_words import what
from steepboard.settings import Money
from steepboard.store import house, own
from tests.bottled import NEXT, mls
from tests.shelves import MORNING, desk_at
from tests.whole_shelf import ACTS, charge, do, whole

NOW = NEXT + timedelta(days=200)  # after all that these shelves say
# What people type and what spreadsheets stumble over.
TEXT = st.one_of(
    st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=30),
    st.sampled_from(["=1+1", "'=1+1", "''-", "'tis", "' @x", "a;b", 'a"b', "1,5", "-2", "＝1"]),
)
STEPS = st.lists(st.tuples(st.sampled_from(ACTS), st.integers(0, 999), TEXT), max_size=15)


def euros(folder, **changes):
    desk = desk_at(folder, **changes)
    return replace(desk, settings=replace(desk.settings, money=Money("EUR")))


@pytest.fixture
def desk(tmp_path):
    return euros(tmp_path)


def listed(desk, name):
    return "".join(lists.csv_lines(desk, name, NOW))


def take(desk, name, text, **how):
    content = text if isinstance(text, bytes) else text.encode()
    return list_in.take_in(desk, name, io.BytesIO(content), "list.csv", NOW, **how)


def faults(desk, name, text, **how):
    """Return what stands against a list of which nothing may be kept."""
    before = {one: listed(desk, one) for one in KEPT}
    with pytest.raises(BadRows) as told:
        take(desk, name, text, **how)
    assert {one: listed(desk, one) for one in KEPT} == before
    assert not desk.store.conn.in_transaction
    return told.value.faults


def prices(desk):
    return [(one.name, f"{one.amount}", one.from_day) for one in costs.prices(desk)]


def test_spirits_typed_as_people_say_strengths_are_kept(desk):
    """90 US proof is 45 % at 60 °F, and some 0.07 points more at 20 °C (27 CFR 30, Table 6)."""
    text = (
        "name,strength,note\nCellar brandy,54 %,from the cask\nDock gin,90 proof,\nShed rum,0.63,"
    )
    assert take(desk, "own_spirits", text) == Outcome(3, 0, ())
    kept = {one.name: one.strength for one in own.spirits(desk.store)}
    assert kept["Cellar brandy"] == 0.54
    assert kept["Shed rum"] == 0.63
    assert kept["Dock gin"] == pytest.approx(0.4506, abs=2e-4)


def test_a_spreadsheet_s_semicolons_decimal_commas_line_ends_and_mark_are_read(desk):
    text = "\ufeffware;name;from_on;amount;for_one\r\nspirit;rye;2026-01-01;18,40;L\r\n;;;;\r\n"
    assert take(desk, "prices", text) == Outcome(1, 0, ())
    assert prices(desk) == [("rye", "18.40", date(2026, 1, 1))]
    text = "name;strength\nOld rum;0,625\nNew rum;62,5 %\n"
    assert take(desk, "own_spirits", text).new == 2
    assert {one.strength for one in own.spirits(desk.store)} == {0.625}


def test_a_comma_that_may_mean_two_things_is_asked_about_in_a_file_of_commas(desk):
    do(desk, [(charge, 0, "x")])
    ((line, told),) = faults(desk, "pars", 'name,least_ml\nCaraway seed,"1,500"\n')
    assert (line, told[:47]) == (2, "least_ml: 1,500 can be read as 1500 or as 1.500")
    assert take(desk, "pars", "name;least_ml\nCaraway seed;1,500\n").new == 1
    assert house.pars(desk.store) == {"Caraway seed": 1.5}


def test_an_amount_has_the_unit_of_its_head_or_its_own(desk):
    """1.5 US fluid ounces are 44.36 mL, of 29.5735 mL each."""
    do(desk, [(charge, 0, "x"), (charge, 1, "x")])
    assert take(desk, "pars", "name,least_ml\ncaraway,60\nfennel,1.5 oz\n").new == 2
    kept = sorted(house.pars(desk.store).values())
    assert kept == [pytest.approx(44.360, abs=1e-3), 60.0]


def test_what_is_the_same_is_left_and_what_differs_is_told_and_refused(desk):
    head = "ware,name,from_on,amount\n"
    take(desk, "prices", f"{head}spirit,rye,2026-01-01,18.40\nspirit,gin,2026-01-01,20\n")
    text = f"{head}spirit,Rye,2026-01-01,19.20\nspirit,gin,2026-01-01,20.00\nspirit,rum,,15\n"
    told = "rye: amount is 18.40 here and 19.20 in the file. --replace takes the file's"
    assert faults(desk, "prices", text) == ((2, told),)
    outcome = take(desk, "prices", text, replace=True)
    assert (outcome.new, outcome.same) == (1, 1)
    assert [(one.line, one.told) for one in outcome.replaced] == [
        (2, "rye: amount 19.20 instead of 18.40")
    ]
    assert [amount for _, amount, _ in prices(desk)] == ["20", "15", "19.20"]
    assert take(desk, "prices", text) == Outcome(0, 3, ())


def test_one_undo_takes_a_whole_list_back(desk):
    costs.keep_price(desk, Ware.SPIRIT, "rye", Decimal("18.40"), MORNING)
    text = "ware,name,amount\nspirit,rye,19\nspirit,rum,15\nbotanical,caraway,11.40\n"
    take(desk, "prices", text)
    last = undoing.undo(desk, None, NOW)
    assert what(desk, last).endswith("and 2 more of one list")
    assert [(name, amount) for name, amount, _ in prices(desk)] == [("rye", "18.40")]
    undoing.undo(desk, None, NOW)
    assert prices(desk) == []


def test_every_bad_cell_is_told_with_its_line_and_head(desk):
    text = (
        "name,strength,note\n"
        "Cellar brandy,54,\n"
        '\n"Two\nlines",abc,\n'
        f",45 %,{'x' * 301}\n"
        "Rum\n"
        "denatured rum,45 %,\n"
        "Gin,45 %,\n"
        "GIN,46 %,\n"
    )
    told = dict.fromkeys(line for line, _ in faults(desk, "own_spirits", text))
    assert list(told) == [2, 4, 6, 7, 8, 10]
    reasons = [reason for _, reason in faults(desk, "own_spirits", text)]
    assert reasons[0].startswith("strength: “54” stands without a % and is no fraction")
    assert reasons[1].startswith("strength: “abc” does not begin with a number")
    assert reasons[2:4] == ["name: it is empty", "note: it has more than 300 characters"]
    assert reasons[4] == "it has 1 cell, and there are 3 heads"
    assert reasons[5].startswith("“denatured rum” is refused: “denatured” is not for drinking")
    assert reasons[6] == "GIN is on line 9 already"


@pytest.mark.parametrize(
    ("list_", "text", "told"),
    [
        ("own_botanicals", "name\nMonkshood\n", "“Monkshood” is refused: Monkshood"),
        ("own_botanicals", "name,moisture\nBog herb,1\n", "Bog herb, water percent: “100” must"),
        ("own_botanicals", "name,ratio_min,ratio_max\nBog,9,5\n", "Bog, ratio max: 5 must"),
        ("own_botanicals", "name,material_class\nBog,moss\n", "material_class: “moss” is none"),
        ("own_botanicals", "name,allergens\nBog,cellery\n", "allergens: “cellery” is not"),
        ("own_botanicals", "name,pungency\nBog,2.5\n", "pungency: “2.5” is not a whole"),
        ("own_botanicals", "name,fresh\nBog,maybe\n", "fresh: “maybe” is neither yes nor no"),
        ("prices", "ware,name,amount,currency\nspirit,x,1,QQQ\n", "“QQQ” is no currency"),
        ("prices", "ware,name,amount,from_on\nspirit,x,1,2027-01-01\n", "days until a price"),
        ("prices", "ware,name,amount,from_on\nspirit,x,1,1.2.26\n", "“1.2.26” is not a day"),
        ("prices", "ware,name,amount,for_one\nspirit,x,1,kg\n", "priced for one L, not for one kg"),
        ("prices", "ware,name,amount\nspirit,x,-1\n", "amount: “-1” is not a price"),
        ("pars", "name,least_ml\nnever made,5\n", "No bottle is called “never made”"),
        ("droppers", "name,tool,each_ml,u_fraction,strength,how\nb,drop,5,1 %,45 %,80 to 2\n",
            "mL in a drop: 5 is not allowed"),
        ("doses", "name,of,volume_ml,intensity\nx,y,99,1\n", "dose: 99 is not allowed"),
        ("doses", "name,of,volume_ml,intensity,drink\nx,y,9,1,z\n", "drink_ml: a drink is told"),
        ("doses", "name,of,volume_ml,intensity\nx,y,9,0\n", "intensity: 0 is not allowed"),
        ("own_spirits", "name,strength\nx,1e999\n", "strength: "),
    ],
)  # fmt: skip
def test_the_rules_of_what_is_said_alone_hold_for_a_row(desk, list_, text, told):
    ((line, reason),) = faults(desk, list_, text)
    assert line == 2
    assert told in reason


@pytest.mark.parametrize("unseen", ["\u202e", "\x00", "\u200d"])
def test_a_name_of_which_nothing_is_seen_is_no_name(desk, unseen):
    text = f"ware,name,amount\nspirit,{unseen},18.40\nspirit,rye,18.40\n"
    assert faults(desk, "prices", text) == ((2, "name: it is empty"),)
    text = f"name,of,volume_ml,intensity\nsour,{unseen},1.5,0.4\n"
    assert faults(desk, "doses", text) == ((2, "of: it is empty"),)


def test_a_price_for_another_unit_is_never_taken_as_the_same(desk):
    costs.keep_price(desk, Ware.SPIRIT, "rye", Decimal(18), NOW)
    ((line, told),) = faults(desk, "prices", "ware,name,amount,for_one\nspirit,rye,18,kg\n")
    assert (line, told) == (2, "a spirit is priced for one L, not for one kg")


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"", "line 1: the first line is empty"),
        (b"\n\n", "line 1: the first line is empty"),
        (b"%PDF-1.4\n%\xe2\xe3\xcf\xd3\n", "line 1: this is no list of pars"),
        (b"PK\x03\x04\x14\x00\xff", "line 1: this is not text in UTF-8; have the spreadsheet"),
        ("name,least_ml\n".encode("utf-16"), "line 1: this is not text in UTF-8"),
        ("name,least_ml\nK\xfcmmel,5\n".encode("latin-1"), "line 2: this is not text in UTF-8"),
        (b"name,least_ml,colour\n", "line 1: the head “colour” is not known; there are name, l"),
        (b"name\nCaraway\n", "line 1: the head least_ml is missing"),
        (b"name,least_ml,name\n", "line 1: the head “name” is there twice"),
        (b'name,least_ml\n"Caraway,5\n', "this is no CSV: unexpected end of data"),
        (b"name,least_ml\n" + b"x" * 2_000_000, "line 2: this line is too long for a row"),
        (b"name,least_ml\rCaraway,5\r", "line 1: its lines end as nowhere else today"),
        (b'{"format": "steepboard shelf"}', "line 1: this is no list of pars"),
    ],
)  # fmt: skip
def test_what_is_no_such_list_is_refused_in_one_plain_line(desk, content, told):
    with pytest.raises(BadDocument) as fault:
        take(desk, "pars", content)
    assert told in str(fault.value)
    assert str(fault.value).endswith("Nothing was imported.")
    assert "\n" not in str(fault.value)


def test_a_botanical_is_changed_only_in_what_the_list_has_heads_for(desk):
    said = OwnBotanical("", "", "leaf", moisture=0.1, aliases=("bog myrtle",), note="by the halt")
    materials.keep_botanical(desk, "sweet gale", said, MORNING)
    text = "name,moisture,aliases\nbog myrtle,12 %,\n"
    outcome = take(desk, "own_botanicals", text, replace=True)
    assert [one.told for one in outcome.replaced] == [
        "sweet gale: moisture 0.12 instead of 0.1; aliases nothing instead of bog myrtle"
    ]
    (kept,) = own.botanicals(desk.store)
    assert (kept.moisture, kept.aliases, kept.note) == (0.12, (), "by the halt")


def test_a_number_that_a_spreadsheet_saved_shorter_is_the_same(desk):
    """87 drops to 2 mL are 0.0229885057… mL each, which a narrow column saves as 0.022988506."""
    droppers.count(desk, "bulb", Tool.DROP, 87, mls(2.0), 0.45, MORNING)
    (kept,) = droppers.droppers(desk)
    head = "name,tool,each_ml,u_fraction,strength,how\nbulb,drop"
    text = f"{head},0.022988506,{kept.u:.9g},0.45,{kept.how}\n"
    assert take(desk, "droppers", text) == Outcome(0, 1, ())
    text = f"{head},0.022988506,{kept.u:.9g},0.44,{kept.how}\n"
    outcome = take(desk, "droppers", text, replace=True)
    assert [one.told for one in outcome.replaced] == ["bulb: strength 0.44 instead of 0.45"]
    (now,) = droppers.droppers(desk)
    assert now == replace(kept, strength=0.44)
    text = f"{head},0.023,{kept.u:.9g},0.44,{kept.how}\n"
    ((_, told),) = faults(desk, "droppers", text)
    assert told.startswith("bulb: each_ml is 0.02298851 here and 0.023 in the file. --replace")


def test_each_head_of_the_botanicals_is_one_of_their_values():
    assert tuple(KEPT["own_botanicals"].columns) == tuple(f.name for f in fields(OwnBotanical))


@given(TEXT)
def test_the_apostrophe_that_defuses_a_formula_comes_off_again(text):
    written = cells.cell(text)
    seen = cells.visible(text)
    assert cells.text_of(written) == seen
    assert written in (seen, f"'{seen}")
    assert not written.lstrip().startswith(("=", "+", "-", "@", "＝", "＋", "－", "＠"))


def test_text_of_ones_own_that_begins_with_an_apostrophe_stays_as_it_is(desk):
    take(desk, "own_spirits", "name,strength,note\nA,45 %,'tis\nB,45 %,'=1\nC,45 %,''=1\n")
    assert [one.note for one in own.spirits(desk.store)] == ["'tis", "=1", "'=1"]


def comes_back(desk, new):
    """Say that each list, taken into a shelf that has only the jars, goes out the same."""
    for name in KEPT:
        text = listed(desk, name)
        if name == "pars":
            do(new, [(charge, n, "x") for n in range(6)])
        count = len(list(KEPT[name](desk, NOW).rows()))
        assert take(new, name, text) == Outcome(count, 0, ()), name
        assert listed(new, name) == text
        assert take(new, name, text) == Outcome(0, count, ()), name
    assert materials_of(new) == materials_of(desk)
    assert (doses.doses(new), droppers.droppers(new)) == (
        doses.doses(desk),
        droppers.droppers(desk),
    )


def materials_of(desk):
    return own.botanicals(desk.store), own.spirits(desk.store)


def keep_all(desk, n, text, at):
    """Keep something of each list beside what the acts keep."""
    droppers.count(desk, f"bulb {text}", Tool.DASH, n + 1, mls(0.9 * n + 0.9), 1 / (n + 3), at)
    drink = Base(text, 95.0 + n / 7, n / 3e3, n / 7.0)
    dose = doses.HouseDose(f"sour {text}", text, text, 1.5 + n / 700, (n + 1) / 7e3, drink)
    doses.put(desk, dose, at)
    ware = (Ware.SPIRIT, Ware.BOTANICAL)[n % 2]
    costs.keep_price(desk, ware, text, Decimal(n) / 100, at, currency=("EUR", "CHF")[n % 2])


def test_every_list_of_a_shelf_on_which_everything_was_done_comes_back(tmp_path):
    made = desk_at(tmp_path)
    whole(made)
    (tmp_path / "new").mkdir()
    comes_back(made, euros(tmp_path / "new"))


@settings(max_examples=20, deadline=None)
@given(st.lists(st.tuples(st.just(keep_all), st.integers(0, 999), TEXT), max_size=5), STEPS)
def test_what_people_keep_comes_back_whatever_it_is(kept, steps):
    with TemporaryDirectory() as folder:
        made = euros(Path(folder))
        do(made, [(charge, 0, "x"), *steps, *kept])
        stock.set_par(made, "caraway", 1 / 3, NOW)
        (Path(folder) / "new").mkdir()
        new = euros(Path(folder) / "new")
        new.store.conn.execute("pragma synchronous = off")
        comes_back(made, new)
        made.store.close()
        new.store.close()
