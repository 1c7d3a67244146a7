"""Planning a jar by keys; the figures are those worked in the design."""

from __future__ import annotations

import pytest

from steepboard.domain.records import State
from steepboard.tui.app import SteepBoard
from steepboard.tui.screens.jar import JarScreen
from steepboard.tui.screens.plan import PlanScreen
from steepboard.tui.screens.prep_sheet import PrepSheet
from steepboard.tui.screens.shelf import ShelfScreen
from steepboard.tui.widgets.amount_input import AmountInput
from tests.shelves import MORNING
from tests.tui.flows import (
    HOSTILE,
    SEEN,
    bar_desk,
    calm,
    jars_by_state,
    on_board,
    shown,
    told,
    worked_jar,
)

WANTED = (*"caraway", "enter", *"250 ml", "enter", *"45%")
# What is in hand and the way of straining are passed; then water, soluble part, what the marc
# holds, what the filter keeps.
DESIGN = ("enter",) * 7 + (*"11%", "enter", *"18%", "enter", *"1.6", "enter", *"6 ml")


async def opened(board, pilot, *keys):
    await pilot.press("p")
    await pilot.pause()
    await pilot.press(*keys)


def test_what_is_wanted_gives_what_to_weigh_and_pour_as_worked_in_the_design(tmp_path):
    async def go(board, pilot):
        await opened(board, pilot, *WANTED, *DESIGN)
        # Worked: m = 58.07 g, solvent 326.66 mL (a cylinder shows steps of 2 mL), liquor 338.70 mL,
        # true strength 43.40 %, solids-free 44.15 %, a hydrometer 37.13 %.
        assert "Weigh 58.1 g, pour 326 mL of 45 %" in told(board)
        assert "Bottles about 250 mL" in told(board)
        assert "1:5.63, 338.7 mL of liquid" in told(board)
        ends = "Ends at 43.4 %; without its solids 44.2 %; a hydrometer would read 37.1 %"
        assert ends in told(board)

    on_board(bar_desk(tmp_path), go)


def test_what_is_there_says_what_sets_the_size(tmp_path):
    async def go(board, pilot):
        await opened(board, pilot, "up", "right", "down", *"caraway", "enter", *"45%")
        await pilot.press("enter", "enter", *"40g", "enter", *"700ml", "enter", *"1 l")
        # 40 g at 1:5.625 takes 225 mL, less than the bottle holds.
        assert "Weigh 40 g, pour 22" in told(board)
        assert "The botanical you have sets the size." in told(board)
        assert "Want bottled" not in shown(board)

    on_board(bar_desk(tmp_path), go, size=(120, 40))


def test_a_spirit_that_is_known_is_planned_by_its_name(tmp_path):
    async def go(board, pilot):
        await opened(board, pilot, *"caraway", "enter", *"250 ml")
        board.screen.query_one("#spirit-name", AmountInput).typed = "vodka"
        await calm(board, pilot)
        assert "40.0 %; catalogue: Vodka, 40 %" in told(board)
        inputs = [one for found in board.screen.answers() for one in found.inputs]
        sources = {one.source for one in inputs if one.name == "strength of the spirit"}
        assert sources.pop().startswith("catalogue: Vodka, 40 %, common practice")

    on_board(bar_desk(tmp_path), go)


def test_defaults_say_where_they_come_from_once_one_goes_there(tmp_path):
    async def go(board, pilot):
        await opened(board, pilot, *WANTED, *["enter"] * 5)
        assert "house rule: 1:5 at 40 % to 1:10 at 80 %, common practice" in told(board)
        await pilot.press("enter", "enter")
        assert "9.9 %; published: USDA" in told(board)

    on_board(bar_desk(tmp_path), go)


def test_why_an_answer_is_refused_keeps_its_example_in_one_piece(tmp_path):
    """In 80 columns the line is full after `300`, which goes on the next with its unit."""

    async def go(board, pilot):
        await opened(board, pilot, "enter", *"caraway")
        assert "Write it like\n300 mL." in shown(board)

    on_board(bar_desk(tmp_path), go)


def test_what_is_missing_or_wrong_is_said_in_place(tmp_path):
    async def go(board, pilot):
        await opened(board, pilot, *"caraway", "ctrl+s")
        assert "Say how much you want, for example 250 mL." in told(board)
        await pilot.press(*"250 g")
        assert "“250 g” is a mass; a volume is wanted here." in told(board)
        await pilot.press("ctrl+s")
        assert isinstance(board.screen, PlanScreen)
        assert board.screen.query_one("#want", AmountInput).typed == "250 g"

    on_board(bar_desk(tmp_path), go)


def test_a_plan_without_an_answer_says_so_in_a_sentence(tmp_path):
    async def go(board, pilot):
        await opened(board, pilot, *WANTED, *["enter"] * 5, *"1")
        assert "the solids would hold nearly all the liquid" in told(board)

    on_board(bar_desk(tmp_path), go)


def test_the_sheet_keeps_the_plan_on_the_shelf(tmp_path):
    desk = bar_desk(tmp_path)

    async def go(board, pilot):
        await opened(board, pilot, *WANTED, "ctrl+s")
        assert isinstance(board.screen, PrepSheet)
        assert "Grind it coarse just before charging" in told(board)
        assert "Taste from Tuesday 3 March." in told(board)
        await pilot.press("k")
        assert "It waits on the shelf to be charged." in told(board)
        await pilot.press("enter")
        assert isinstance(board.screen, PlanScreen)

    on_board(desk, go)
    (jar,) = jars_by_state(desk, State.PLANNED)
    assert jar.code == "CARA-01"


def test_the_sheet_charges_the_jar(tmp_path):
    desk = bar_desk(tmp_path)

    async def go(board, pilot):
        await opened(board, pilot, *WANTED, "ctrl+s", "enter")
        assert "C A R A - 0 1" in shown(board)

    on_board(desk, go)
    (jar,) = jars_by_state(desk, State.STEEPING)
    assert jar.charge.spirits[0].strength == 0.45


def test_too_little_in_hand_is_told_beside_the_wanted_plan(tmp_path):
    async def go(board, pilot):
        await opened(board, pilot, *WANTED, *DESIGN, *["up"] * 8, *"44.44 g")
        # The design: 44.44 g bottle 189.9 mL.
        assert "Weigh 58.1 g" in told(board)
        assert "what you have is enough to bottle about 190 mL" in told(board)
        assert "sets the size" not in told(board)

    on_board(bar_desk(tmp_path), go, size=(200, 60))


def test_several_botanicals_are_weighed_by_their_parts_and_charged_together(tmp_path):
    desk = bar_desk(tmp_path)

    async def go(board, pilot):
        await opened(board, pilot, *"caraway", "ctrl+b", *"fennel", "enter", *"1")
        await pilot.press("up", "up", *"2", "down", "down", "down", *"250 ml", "enter", *"55%")
        assert "of Caraway seed and" in told(board)
        assert "Taken as known of the others" in told(board)
        await pilot.press("ctrl+s", "enter")

    on_board(desk, go, size=(120, 40))
    (jar,) = jars_by_state(desk, State.STEEPING)
    seed, other = (line.mass_g for line in jar.charge.botanicals)
    assert seed == pytest.approx(2 * other, abs=0.11)  # each to a tenth of a gram


def test_grams_beside_parts_are_refused_in_place_until_they_agree(tmp_path):
    async def go(board, pilot):
        await opened(board, pilot, *"caraway", "ctrl+b", *"fennel", "enter", *"10 g")
        await pilot.press("up", "up", *"2", "down", "down", "down", *"250 ml", "enter", *"55%")
        assert "Say of each botanical its grams, or of each its parts." in told(board)
        assert "What is marked cannot be used" in told(board)
        await pilot.press(*["up"] * 4, "end", *" g")
        assert "Say of each botanical" not in told(board)
        assert "Weigh " in told(board)

    on_board(bar_desk(tmp_path), go, size=(200, 60))


def test_a_solvent_made_on_the_spot_is_charged_as_spirit_and_water(tmp_path):
    desk = bar_desk(tmp_path)

    async def go(board, pilot):
        await opened(board, pilot, *"caraway", "enter", *"250 ml", "enter", *"55%", "enter")
        assert "Room" not in shown(board)
        await pilot.press(*"96%", "enter", *"24 C")
        assert "both at 24 °C" in told(board)
        await pilot.press("ctrl+s")
        assert "Mix the two: they make" in told(board)
        await pilot.press("enter")

    on_board(desk, go, size=(120, 40))
    (jar,) = jars_by_state(desk, State.STEEPING)
    spirit, water = jar.charge.spirits
    assert (spirit.strength, water.strength) == (0.96, 0.0)
    assert (spirit.temperature_c, water.temperature_c) == (24.0, 24.0)


def test_a_hard_seed_at_1_to_2_shows_what_would_bring_more(tmp_path):
    async def go(board, pilot):
        await opened(board, pilot, *WANTED, *["enter"] * 5, *"2", "enter", "left")
        assert "+ Pressed hard: about" in told(board)
        assert "of the same spirit: about" in told(board)
        assert "+ For as much as you want: " in told(board)

    on_board(bar_desk(tmp_path), go, size=(200, 60))


def test_a_jar_is_planned_again_from_its_own_page(tmp_path):
    desk = bar_desk(tmp_path)
    worked_jar(desk)

    async def go(board, pilot):
        await pilot.press("enter", "a")
        await pilot.pause()
        assert isinstance(board.screen, PlanScreen)
        assert board.screen.query_one("#want", AmountInput).typed == "250 mL"
        assert "Weigh 58.1 g, pour 326 mL of 45 %" in told(board)
        assert "= Intensity 0.26, as before." in told(board)
        await pilot.press(*["backspace"] * 6, *"500 ml", "down", *["backspace"] * 4, *"55%")
        # 58.07 × 5.625/6.875 = 47.51 g for 250 mL of 55 %: 95 g for 500 mL.
        assert "Weigh 95 g" in told(board)
        assert "2 times CARA-01" in told(board)
        await pilot.press("escape")
        assert isinstance(board.screen, JarScreen)

    on_board(desk, go, size=(120, 40))


def test_clearing_forgets_the_past_jar(tmp_path):
    desk = bar_desk(tmp_path)
    worked_jar(desk)

    async def go(board, pilot):
        await pilot.press("enter", "a")
        await pilot.pause()
        await pilot.press("ctrl+o", *WANTED)
        assert "= Intensity" not in told(board)
        assert "Weigh " in told(board)

    on_board(desk, go, size=(120, 40))


def test_figures_of_the_plan_before_do_not_stay_beside_empty_answers(tmp_path):
    async def go(board, pilot):
        await opened(board, pilot, *WANTED)
        await pilot.pause()
        assert "9.9 %" in shown(board)  # caraway: USDA SR 26, NDB 02005
        await pilot.press("ctrl+o")
        await pilot.pause()
        assert "9.9 %" not in shown(board)

    on_board(bar_desk(tmp_path), go)


def test_what_follows_is_read_on_by_keys_while_one_types(tmp_path):
    async def go(board, pilot):
        await opened(board, pilot, *WANTED)
        assert "Follow local law" not in shown(board)
        await pilot.press(*("pagedown",) * 12)
        await pilot.pause()
        assert "Follow local law" in shown(board)
        assert "F2 Why" in shown(board)

    on_board(bar_desk(tmp_path), go)


def test_a_fresh_fruit_is_not_called_dried(tmp_path):
    async def go(board, pilot):
        await opened(board, pilot, *"raspberry")
        assert "Raspberry: fresh berry or fruit" in shown(board)

    on_board(bar_desk(tmp_path), go)


def test_esc_goes_to_the_shelf_and_the_answers_stay(tmp_path):
    async def go(board, pilot):
        await opened(board, pilot, *WANTED, "escape")
        assert isinstance(board.screen, ShelfScreen)
        await pilot.press("p")
        assert board.screen.query_one("#want", AmountInput).typed == "250 ml"
        await pilot.press("ctrl+o")
        assert board.screen.query_one("#want", AmountInput).typed == ""

    on_board(bar_desk(tmp_path), go)


def test_a_hostile_name_is_planned_letter_for_letter(tmp_path):
    async def go(board, pilot):
        await opened(board, pilot)
        board.screen.query(AmountInput).first().typed = HOSTILE
        await pilot.pause()
        await pilot.press("down", "down", *"250 ml", "enter", *"45%", "ctrl+s")
        assert SEEN in told(board)
        assert "\x1b" not in shown(board)

    on_board(bar_desk(tmp_path), go, size=(120, 40))


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=["80x24", "120x40"])
@pytest.mark.parametrize("sheet", [False, True], ids=["plan", "sheet"])
def test_plan_looks_as_it_did(tmp_path, snap_compare, size, sheet):
    async def prepare(pilot):
        await opened(pilot.app, pilot, *WANTED, *DESIGN, *(["ctrl+s"] if sheet else []))
        await calm(pilot.app, pilot)

    board = SteepBoard(bar_desk(tmp_path), lambda: MORNING)
    assert snap_compare(board, terminal_size=size, run_before=prepare)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=["80x24", "120x40"])
def test_a_jar_planned_again_looks_as_it_did(tmp_path, snap_compare, size):
    desk = bar_desk(tmp_path)
    worked_jar(desk)

    async def prepare(pilot):
        for key in ("enter", "a"):
            await pilot.pause()
            await pilot.press(key)
        await calm(pilot.app, pilot)

    board = SteepBoard(desk, lambda: MORNING)
    assert snap_compare(board, terminal_size=size, run_before=prepare)
