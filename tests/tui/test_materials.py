"""Looking up materials and keeping one's own, by keys."""

from __future__ import annotations

import pytest
from textual.widgets import Input, OptionList

from steepboard.services import materials
from steepboard.store import own
from steepboard.tui.app import SteepBoard
from steepboard.tui.screens.charge import ChargeScreen
from steepboard.tui.screens.materials import MaterialsScreen
from steepboard.tui.widgets.amount_input import AmountInput
from steepboard.tui.widgets.choice import Choice
from tests.shelves import MORNING
from tests.tui.flows import HOSTILE, SEEN, bar_desk, calm, on_board, shown, told


async def opened(board, pilot, typed=""):
    await pilot.press("m")
    await calm(board, pilot)
    assert isinstance(board.screen, MaterialsScreen)
    await pilot.press(*typed)
    await calm(board, pilot)


async def fill(board, pilot, **lines):
    for name, text in lines.items():
        board.screen.query_one(f"#{name} Input", Input).value = text
    await pilot.pause()


def refusal(board, answer):
    return board.screen.query_one(answer, AmountInput).refusal


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 60)])
def test_one_types_and_sees_all_of_what_is_near_with_its_sources(tmp_path, size):
    async def go(board, pilot):
        await opened(board, pilot)
        assert board.screen.query_one(OptionList).option_count > 119
        await pilot.press(*"jiniper")
        await calm(board, pilot)
        assert board.screen.query_one(OptionList).option_count == 1
        assert "Juniper berries" in told(board)
        assert "common practice: 1:10.4 of all drugs" in told(board)

    on_board(bar_desk(tmp_path), go, size)


def test_latin_names_and_spirits_are_found_and_the_arrows_choose(tmp_path):
    async def go(board, pilot):
        await opened(board, pilot, "vodka")
        assert "strength: 5" in told(board) or "strength: 4" in told(board)
        first = told(board)
        await pilot.press("down")
        await calm(board, pilot)
        assert told(board) != first
        board.screen.query_one("#wanted", Input).value = "humulus"
        await calm(board, pilot)
        assert "Hops" in told(board)
        board.screen.query_one("#wanted", Input).value = "qqqqq"
        await calm(board, pilot)
        assert "Nothing is near this. Ctrl+N keeps it" in told(board)
        await pilot.press("down", "pagedown", "ctrl+x")

    on_board(bar_desk(tmp_path), go)


def test_a_botanical_of_ones_own_is_kept_used_and_forgotten(tmp_path):
    desk = bar_desk(tmp_path)

    async def go(board, pilot):
        await opened(board, pilot, "sweet gaol")
        await pilot.press("ctrl+n")
        await calm(board, pilot)
        board.screen.query_one("BotanicalAnswer Input", Input).value = "Sweet gale"
        await fill(board, pilot, latin="Myrica gale", moisture="12 %", ratio="1:6 to 1:12")
        await fill(board, pilot, days_typical="4", taste_from_day="1", preparation="Crumble it.")
        await pilot.press("ctrl+s")
        await calm(board, pilot)
        assert isinstance(board.screen, MaterialsScreen)
        assert "+ Sweet gale" in told(board)
        assert "water: 12.0 % (10.0 % to 14.0 %)" in told(board)
        assert "given by you" in told(board)
        await pilot.press("ctrl+x")
        await calm(board, pilot)
        assert "Forget what you kept of Sweet gale?" in told(board)
        await pilot.press("y")
        await calm(board, pilot)

    on_board(desk, go)
    assert own.botanicals(desk.store) == ()


def test_what_does_not_fit_is_told_where_it_was_typed(tmp_path):
    desk = bar_desk(tmp_path)

    async def go(board, pilot):
        await opened(board, pilot, "caraway")
        await pilot.press("ctrl+n")
        await calm(board, pilot)
        await fill(board, pilot, ratio="1:9 to 1:3")
        assert "the first is more than the second" in refusal(board, "#ratio")
        await fill(board, pilot, ratio="", days="2 to 5", days_typical="9")
        await pilot.press("ctrl+s")
        await calm(board, pilot)
        assert "days max: 5 must not be less than the 9 of days typical" in refusal(
            board, "BotanicalAnswer AmountInput"
        )
        board.screen.query_one("BotanicalAnswer Input", Input).value = ""
        await pilot.press("ctrl+s")
        await calm(board, pilot)
        assert "A name is needed" in told(board)
        await pilot.press("escape")
        await calm(board, pilot)
        await pilot.press("ctrl+x")
        await calm(board, pilot)
        assert isinstance(board.screen, MaterialsScreen)

    on_board(desk, go)
    assert own.botanicals(desk.store) == ()


def test_a_spirit_of_ones_own_is_kept_changed_and_forgotten(tmp_path):
    desk = bar_desk(tmp_path)

    async def go(board, pilot):
        await opened(board, pilot, "cellar brandy")
        await pilot.press("ctrl+o")
        await calm(board, pilot)
        await fill(board, pilot, strong="54 %")
        await pilot.press(*["enter"] * 3)
        await calm(board, pilot)
        assert "+ cellar brandy" in told(board)
        assert "strength: 54.0 %" in told(board)
        await pilot.press("ctrl+n")
        await calm(board, pilot)
        await fill(board, pilot, strong="52 %")
        await pilot.press(*["enter"] * 3)
        await calm(board, pilot)
        assert [one.strength for one in own.spirits(desk.store)] == [0.52]
        await pilot.press("ctrl+x")
        await calm(board, pilot)
        await pilot.press("y")
        await calm(board, pilot)

    on_board(desk, go)
    assert own.spirits(desk.store) == ()


def test_all_that_is_known_of_ones_own_botanical_is_kept(tmp_path):
    desk = bar_desk(tmp_path)

    async def go(board, pilot):
        await opened(board, pilot, "sweet gale")
        await pilot.press("ctrl+n")
        await calm(board, pilot)
        await fill(board, pilot, soluble="15 to 25 %", days="6 h to 8 days", days_typical="4")
        await fill(board, pilot, aliases="bog myrtle; moor gale", part="leaf", form="dried, rubbed")
        await fill(board, pilot, strength="45-60 %", fresh_note="Dry it.", note="From the bank.")
        await fill(board, pilot, allergens="cellery")
        assert "The nearest is celery. Known are almond, barley" in refusal(board, "#allergens")
        await fill(board, pilot, allergens="celery, Walnuts", cautions="dasy")
        assert "The nearest is DAISY." in refusal(board, "#cautions")
        await fill(board, pilot, cautions="daisy, preg")
        for name, turns in (("pungency", 2), ("bitterness", 4), ("use", 2), ("fresh_soft", 1)):
            board.screen.query_one(f"#{name}", Choice).focus()
            await pilot.press(*["right"] * turns)
        await pilot.press("ctrl+s")
        await calm(board, pilot)

    on_board(desk, go)
    (kept,) = own.botanicals(desk.store)
    assert (kept.soluble_low, kept.soluble, kept.soluble_high) == pytest.approx((0.15, 0.2, 0.25))
    assert (kept.days_min, kept.days_typical, kept.days_max) == (0.25, 4, 8)
    assert (kept.aliases, kept.part, kept.form) == (
        ("bog myrtle", "moor gale"),
        "leaf",
        "dried, rubbed",
    )
    assert (kept.strength_min, kept.strength_max) == (0.45, 0.6)
    assert (kept.pungency, kept.bitterness) == (1, 3)
    assert (kept.allergens, kept.cautions) == (("celery", "walnut"), ("DAISY", "PREG"))
    assert (kept.use, kept.fresh_soft) == ("with care", True)
    assert (kept.fresh_note, kept.note) == ("Dry it.", "From the bank.")


def test_a_name_from_outside_is_shown_as_it_is(tmp_path):
    desk = bar_desk(tmp_path)
    materials.keep_botanical(desk, HOSTILE, materials.OwnBotanical("", "", latin=HOSTILE), MORNING)

    async def go(board, pilot):
        await opened(board, pilot, "oops")
        assert SEEN in told(board)
        assert not any(ord(letter) < 32 and letter != "\n" for letter in shown(board))

    on_board(desk, go)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=["80x24", "120x40"])
def test_materials_look_as_they_did(tmp_path, snap_compare, size):
    async def prepare(pilot):
        await opened(pilot.app, pilot, "orange")
        await calm(pilot.app, pilot)

    board = SteepBoard(bar_desk(tmp_path), lambda: MORNING)
    assert snap_compare(board, terminal_size=size, run_before=prepare)


def test_the_form_of_a_botanical_looks_as_it_did(tmp_path, snap_compare):
    async def prepare(pilot):
        await opened(pilot.app, pilot, "sweet gale")
        await pilot.press("ctrl+n")
        await fill(pilot.app, pilot, ratio="6-12", moisture="9 to 13 %")
        pilot.app.screen.query_one("#cautions Input").focus()
        await calm(pilot.app, pilot)

    board = SteepBoard(bar_desk(tmp_path), lambda: MORNING)
    assert snap_compare(board, terminal_size=(80, 24), run_before=prepare)


def test_a_jar_is_told_what_may_have_been_meant(tmp_path):
    async def go(board, pilot):
        await pilot.press("n")
        await calm(board, pilot)
        assert isinstance(board.screen, ChargeScreen)
        await pilot.press(*"jiniper")
        await calm(board, pilot)
        assert "Did you mean Juniper berries?" in told(board)

    on_board(bar_desk(tmp_path), go)
