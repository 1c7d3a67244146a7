"""Charging a jar by keys."""

from __future__ import annotations

from datetime import date

import pytest
from textual.events import Key
from textual.keys import _character_to_key as key_of

from steepboard.domain.records import Separation, State
from steepboard.services import acts, materials, why
from steepboard.store import jars
from steepboard.tui.app import SteepBoard
from steepboard.tui.screens.charge import ChargeScreen
from steepboard.tui.screens.shelf import ShelfScreen
from steepboard.tui.widgets.amount_input import AmountInput
from tests.shelves import MORNING, order
from tests.tui.flows import (
    HOSTILE,
    SEEN,
    bar_desk,
    calm,
    jars_by_state,
    on_board,
    shown,
    told,
)

FOUR = (*"caraway", "enter", *"1.5oz", "enter", *"300 ml", "enter", *"45%")


async def opened(board, pilot, *keys, code=None):
    await board.push_screen(ChargeScreen(code))
    await pilot.pause()
    await pilot.press(*keys)


def test_four_answers_charge_a_jar_and_say_what_to_write_on_the_tape(tmp_path):
    desk = bar_desk(tmp_path)

    async def go(board, pilot):
        await opened(board, pilot, *FOUR, "ctrl+s")
        assert "C A R A - 0 1" in shown(board)
        assert "Strain on Monday 9 March" in told(board)
        await pilot.press("enter")
        assert isinstance(board.screen, ShelfScreen)

    on_board(desk, go)
    (jar,) = jars_by_state(desk, State.STEEPING)
    line, pour = jar.charge.botanicals[0], jar.charge.spirits[0]
    # 1.5 avoirdupois ounces of 28.349523125 g: NIST Handbook 44, appendix C.
    assert line.mass_g == pytest.approx(42.5242846875)
    assert (line.typed, line.name) == ("1.5oz", "Caraway seed")
    assert (pour.volume_ml, pour.strength, pour.name) == (300.0, 0.45, "spirit")
    assert (jar.strain_on, jar.charge.stir_every_days) == (date(2026, 3, 9), 1)
    assert jar.charge.separation is Separation.HAND


def test_a_spirit_that_is_known_brings_its_strength_and_where_it_comes_from(tmp_path):
    desk = bar_desk(tmp_path)

    async def go(board, pilot):
        await opened(board, pilot, *FOUR[:-3], "enter", *"vodka")
        await pilot.pause()
        assert "40.0 %; catalogue: Vodka, 40 %" in told(board)
        await pilot.press("ctrl+s")
        await pilot.pause()

    on_board(desk, go)
    (jar,) = jars_by_state(desk, State.STEEPING)
    (pour,) = jar.charge.spirits
    assert (pour.strength, pour.name, pour.typed_strength) == (0.40, "vodka", "vodka")
    answers = [one for found in why.of_jar(desk, jar) for one in found.inputs]
    sources = {one.source for one in answers if one.name == "strength of vodka"}
    assert len(sources) == 1
    assert sources.pop().startswith("catalogue: Vodka, 40 %, common practice")


def test_a_name_in_place_of_the_strength_is_taken_too(tmp_path):
    desk = bar_desk(tmp_path)
    materials.keep_spirit(desk, "Vodka", 0.45)

    async def go(board, pilot):
        await opened(board, pilot, *FOUR[:-3], *"vodka", "ctrl+s")
        await pilot.pause()

    on_board(desk, go)
    (jar,) = jars_by_state(desk, State.STEEPING)
    assert (jar.charge.spirits[0].strength, jar.charge.spirits[0].name) == (0.45, "Vodka, 40 %")


@pytest.mark.parametrize("onward", ["enter", "tab"])
def test_quick_hands_need_not_wait_for_the_next_field(tmp_path, onward):
    desk = bar_desk(tmp_path)

    async def go(board, pilot):
        await opened(board, pilot)
        for answer in FOUR:
            key = onward if answer == "enter" else answer
            letter = key if len(key) == 1 else None
            board.post_message(Key(key_of(key) if letter else key, letter))
        await pilot.pause()
        typed = [answer.typed for answer in board.screen.query(AmountInput)]
        assert typed[:4] == ["caraway", "1.5oz", "300 ml", "45%"]

    on_board(desk, go)


def test_what_was_understood_and_where_defaults_come_from_stand_beside_the_answers(tmp_path):
    async def go(board, pilot):
        await opened(board, pilot, *FOUR)
        assert "1.5 oz → 42.5 g" in shown(board)
        assert "house setting" in shown(board)
        assert "20 °C, assumed" in shown(board)
        await pilot.press("enter", "enter", "enter")
        assert "7 days, to Monday 9 March; usual for Caraway seed" in told(board)

    on_board(bar_desk(tmp_path), go)


def test_what_follows_is_worked_out_while_one_types(tmp_path):
    async def go(board, pilot):
        await opened(board, pilot, *"caraway", "enter", *"40g", "enter", *"300ml", "enter")
        assert "will stand here" in told(board)
        await pilot.press(*"45%")
        # 300 mL on 40 g is 1:7.5; the house rule at 45 % is 5 + 5 x 0.05 / 0.40 = 5.625.
        assert "1:7.5 house rule 1:5.63 at 45.0 %" in told(board)
        assert "Spirit burns" in told(board)

    on_board(bar_desk(tmp_path), go)


def test_a_wrong_kind_of_amount_is_refused_in_place_and_kept(tmp_path):
    desk = bar_desk(tmp_path)

    async def go(board, pilot):
        await opened(board, pilot, *"caraway", "enter", *"40 ml", "ctrl+s")
        assert "“40 ml” is a volume; a mass is wanted here. Write it like 40 g." in told(board)
        assert [answer.typed for answer in board.screen.query(AmountInput)][1] == "40 ml"
        assert isinstance(board.screen, ChargeScreen)

    on_board(desk, go)
    assert not jars_by_state(desk, State.STEEPING)


def test_a_missing_answer_is_asked_for_in_place(tmp_path):
    async def go(board, pilot):
        await opened(board, pilot, "ctrl+s")
        assert "Say what goes in, for example caraway." in told(board)
        await pilot.press(*"caraway", "ctrl+s")
        assert "Say how much of it, for example 40 g." in told(board)
        assert board.focused.parent.parent is list(board.screen.query(AmountInput))[1]

    on_board(bar_desk(tmp_path), go)


def test_several_botanicals_and_spirits_share_a_jar(tmp_path):
    desk = bar_desk(tmp_path)

    async def go(board, pilot):
        await opened(board, pilot, *FOUR, "ctrl+b", *"fennel", "enter", *"10 g", "ctrl+o")
        await pilot.press(*"100ml", "enter", *"0%", "enter", *"water", "ctrl+s")

    on_board(desk, go)
    (jar,) = jars_by_state(desk, State.STEEPING)
    assert [line.name for line in jar.charge.botanicals] == ["Caraway seed", "Fennel seed"]
    assert [(pour.name, pour.strength) for pour in jar.charge.spirits] == [
        ("spirit", 0.45),
        ("water", 0.0),
    ]


def test_an_unknown_plant_goes_by_the_kind_that_is_chosen(tmp_path):
    desk = bar_desk(tmp_path)

    async def go(board, pilot):
        await opened(board, pilot, *"sea rocket", "enter", "right", "right", "enter")
        await pilot.press(*"30g", "enter", *"300ml", "enter", *"60%", "ctrl+s")

    on_board(desk, go)
    (jar,) = jars_by_state(desk, State.STEEPING)
    line = jar.charge.botanicals[0]
    assert (line.name, line.catalogue_id) == ("sea rocket", None)
    assert (line.material_class, line.fresh) == ("leaf", False)


def test_the_kind_begins_with_what_the_name_says(tmp_path):
    async def go(board, pilot):
        await pilot.press("n")
        await pilot.pause()
        await pilot.press(*"willow bark")
        await pilot.pause()
        assert "dried bark, broken" in shown(board)

    on_board(bar_desk(tmp_path), go)


def test_the_spirits_of_the_shelf_are_offered_by_name(tmp_path):
    async def go(board, pilot):
        await pilot.press("n")
        await pilot.pause()
        await pilot.press(*"caraway", "enter", *"40g", "enter", *"300ml", "enter", *"40%", "enter")
        await pilot.press(*"vod")
        await pilot.pause()
        await pilot.press("right")
        await pilot.pause()
        assert "Vodka, 40 %" in shown(board) or "Vodka, 50 %" in shown(board)

    on_board(bar_desk(tmp_path), go)


def test_a_way_of_straining_is_chosen_with_the_mouse(tmp_path):
    desk = bar_desk(tmp_path)

    async def go(board, pilot):
        await opened(board, pilot, *FOUR)
        await pilot.click("#separation", offset=(17, 0))
        assert "◆ drip" in shown(board)
        await pilot.press("ctrl+s")

    on_board(desk, go)
    (jar,) = jars_by_state(desk, State.STEEPING)
    assert jar.charge.separation is Separation.DRIP


@pytest.mark.parametrize(
    ("answer", "kept"),
    [
        (("escape",), ()),
        (("y", "enter", "escape"), ()),
        ((*"read", "enter"), ("QUININE",)),
        ((*"Read", "space", "enter"), ("QUININE",)),
        ((*"I have read it", "enter"), ("QUININE",)),
        ((*"I have not read it", "enter", "escape"), ()),
    ],
)
def test_a_caution_is_read_by_a_typed_word_and_that_is_kept(tmp_path, answer, kept):
    desk = bar_desk(tmp_path)
    keys = (*"cinchona", "enter", *"30g", "enter", *"300ml", "enter", *"60%", "ctrl+s")

    async def go(board, pilot):
        await opened(board, pilot, *keys)
        assert "Its alkaloids act on heart" in told(board)
        await pilot.press("down")
        assert "I have type read" in told(board)  # beside the empty field
        await pilot.press(*answer)

    on_board(desk, go)
    charged = jars_by_state(desk, State.STEEPING)
    assert [jars.acknowledged(desk.store, jar.id) for jar in charged] == ([kept] if kept else [])


def test_spirit_nobody_may_drink_is_refused_in_place(tmp_path):
    desk = bar_desk(tmp_path)

    async def go(board, pilot):
        await opened(board, pilot, *FOUR, "enter", *"methylated", "ctrl+s")
        refused = [answer for answer in board.screen.query(AmountInput) if answer.refusal]
        assert len(refused) == 1
        assert "poisons" in refused[0].refusal

    on_board(desk, go)
    assert not jars_by_state(desk, State.STEEPING)


def test_a_poison_in_the_field_of_the_strength_is_refused_for_what_it_is(tmp_path):
    """As long as it is half typed, it is only no number."""

    async def go(board, pilot):
        await opened(board, pilot, *FOUR[:-3], *"isopropyl")
        (answer,) = [one for one in board.screen.query(AmountInput) if one.typed == "isopropyl"]
        assert "is not for drinking" in answer.refusal

    on_board(bar_desk(tmp_path), go)


def test_a_spirit_that_is_not_known_is_told_what_may_be_typed(tmp_path):
    async def go(board, pilot):
        await opened(board, pilot, *FOUR[:-3], *"vodkaa", "ctrl+s")
        assert "“vodkaa” is neither a strength nor a spirit that is known." in told(board)
        assert "Write it like 45 %, or name one of these spirits: Vodka, 40 %" in told(board)

    on_board(bar_desk(tmp_path), go)


def test_a_planned_jar_is_charged_as_it_was_planned(tmp_path):
    desk = bar_desk(tmp_path)
    planned = acts.plan(desk, order(), MORNING)

    async def go(board, pilot):
        await opened(board, pilot, *"XY", "ctrl+s", code=planned.code)
        assert planned.code.replace("-", " - ") in shown(board).replace("C A R A", "CARA").replace(
            "0 1", "01"
        )

    on_board(desk, go)
    (jar,) = jars_by_state(desk, State.STEEPING)
    assert (jar.code, jar.charge.botanicals) == (planned.code, planned.charge.botanicals)
    assert jars.diary(desk.store, jar.id)[-1].initials == "XY"


def test_a_hostile_name_is_shown_letter_for_letter(tmp_path):
    desk = bar_desk(tmp_path)

    async def go(board, pilot):
        await opened(board, pilot)
        first = board.screen.query(AmountInput).first()
        first.typed = HOSTILE
        await pilot.pause()
        await pilot.press("down", "down", *"40g", "enter", *"300ml", "enter", *"45%", "ctrl+s")
        assert SEEN in told(board)
        assert "\x1b" not in shown(board)
        assert "\x07" not in shown(board)

    on_board(desk, go)
    (jar,) = jars_by_state(desk, State.STEEPING)
    assert jar.name == SEEN


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=["80x24", "120x40"])
def test_charge_looks_as_it_did(tmp_path, snap_compare, size):
    async def prepare(pilot):
        await opened(pilot.app, pilot, *FOUR, "enter")
        await calm(pilot.app, pilot)

    board = SteepBoard(bar_desk(tmp_path), lambda: MORNING)
    assert snap_compare(board, terminal_size=size, run_before=prepare)
