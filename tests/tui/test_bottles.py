"""The shelf of bottles by keys: drawn from, counted, ended, printed, told of."""

from __future__ import annotations

from datetime import timedelta

import pytest

from steepboard.domain.bottles import BottleKind, BottleState, Purpose
from steepboard.services import bottle_shelf, bottles, bottling, doses
from steepboard.services.typed_bottles import read_all_fills, read_drawn
from steepboard.tui.screens.ask_form import AskForm
from steepboard.tui.screens.bottles import BottlesScreen
from steepboard.tui.screens.bottles_text import fill
from steepboard.tui.screens.jar import JarScreen
from steepboard.tui.screens.why import WhyScreen
from tests.shelves import MORNING
from tests.tui.flows import HOSTILE, SEEN, bar_desk, calm, on_board, shown, strained_jar, told
from tests.tui.shelf_data import asked, toasts

FIRST = "CARA-01-A"


def stocked(folder, fills="2x100ml 30ml:28ml"):
    """Build a shelf with 240 mL strained and bottled; return its desk."""
    desk = bar_desk(folder)
    strained_jar(desk, 3)
    bottling.fill(desk, "CARA-01", read_all_fills(fills), MORNING - timedelta(days=3))
    return desk


def on_rack(desk, go, size=(80, 24)):
    async def run(board, pilot):
        await pilot.press("b")
        await calm(board, pilot)
        assert isinstance(board.screen, BottlesScreen)
        await go(board, pilot)

    on_board(desk, run, size)


async def press(board, pilot, *keys):
    """Press keys and type words, and wait for what comes of it."""
    for key in keys:
        await pilot.press(*(key[1:] if key.startswith("=") else (key,)))
        await pilot.pause()
    await pilot.pause()


def diary(desk, code=FIRST):
    return bottle_shelf.diary(desk, bottle_shelf.bottle(desk, code))


def left(desk, code=FIRST):
    return bottle_shelf.bottle(desk, code).left_ml


def test_an_empty_rack_is_told_what_to_do(tmp_path):
    async def go(board, pilot):
        assert "Nothing stands in bottles yet." in told(board)
        await press(board, pilot, "1", "d", "k", "L")
        assert isinstance(board.screen, BottlesScreen)

    on_rack(bar_desk(tmp_path), go)


def test_each_bottle_is_a_line_with_what_it_holds(tmp_path):
    async def go(board, pilot):
        lines = shown(board).split("\n")
        assert [line.split()[0] for line in lines[2:5]] == [FIRST, "CARA-01-B", "CARA-01-C"]
        assert "100.0 ± 1.2" in lines[2]  # by eye, spread evenly over 2 % of its size
        assert "28.0 ± 0.3" in lines[4]
        assert "filled 100.0 mL, Fri 27 Feb" in told(board)

    on_rack(stocked(tmp_path), go)


@pytest.mark.parametrize(
    ("part", "drawn"),
    [
        (0.0, "·······╼"),
        (0.01, "▆······╼"),
        (0.43, "▆▆▆····╼"),
        (0.99, "▆▆▆▆▆▆·╼"),
        (1.0, "▆▆▆▆▆▆▆╼"),
        (1.3, "▆▆▆▆▆▆▆╼"),
    ],
)
def test_a_bottle_is_drawn_as_full_as_it_is(part, drawn):
    assert fill(part, 8).plain == drawn


@pytest.mark.parametrize("purpose", list(Purpose))
def test_one_key_writes_down_what_was_drawn_for_what(tmp_path, purpose):
    desk = stocked(tmp_path)
    key = str(list(Purpose).index(purpose) + 1)

    async def go(board, pilot):
        await press(board, pilot, key, "=15 ml", "enter", "enter")
        assert toasts(board) == [f"{FIRST}: 85.0 ± 1.2 of 100 mL; u takes it back."]
        assert "85.0 ± 1.2" in shown(board)

    on_rack(desk, go)
    assert [(e.kind, e.purpose) for e in diary(desk)][1:] == [(BottleKind.DRAW, purpose)]


def test_the_same_again_needs_no_question(tmp_path):
    desk = stocked(tmp_path)

    async def go(board, pilot):
        await press(board, pilot, "d")
        assert "Dose from CARA-01-A" in told(board)  # nothing was drawn that could be drawn again
        await press(board, pilot, "=10ml", "enter", "enter", "d")
        assert "dose of 10ml once more, 80.0" in toasts(board)[0]
        await press(board, pilot, "1")
        assert "10ml" in told(board)

    on_rack(desk, go)
    assert left(desk) == pytest.approx(80.0)


def test_more_than_there_is_is_refused_in_place_and_stays_typed(tmp_path):
    desk = stocked(tmp_path)

    async def go(board, pilot):
        await press(board, pilot, "1", "=150 ml", "enter", "enter")
        assert isinstance(board.screen, AskForm)
        assert "! " in asked(board)
        assert "150 ml" in told(board)
        await press(board, pilot, "up", "ctrl+u", "=lots", "enter", "enter")
        assert "lots" in told(board)
        await press(board, pilot, "escape")

    on_rack(desk, go)
    assert len(diary(desk)) == 1


def test_a_count_tells_what_the_scale_found(tmp_path):
    desk = stocked(tmp_path)

    async def go(board, pilot):
        await press(board, pilot, "k", "=151 g", "enter", "=90 g", "enter", "enter", "enter")
        assert toasts(board)[0].startswith(f"{FIRST} holds ")
        assert "beyond what the readings explain" in toasts(board)[0]
        await press(board, pilot, "k")
        assert "90 g, as last told" in told(board)
        await press(board, pilot, "escape")

    on_rack(desk, go)
    assert diary(desk)[-1].kind is BottleKind.COUNT
    assert left(desk) < 70.0


def test_a_count_of_more_than_it_can_hold_is_asked_about_once(tmp_path):
    desk = stocked(tmp_path)

    async def go(board, pilot):
        await press(board, pilot, "k", "=300 g", "enter", "=90 g", "enter", "enter", "enter")
        assert "Is it weighed right? Enter keeps it as it stands." in asked(board)
        assert len(diary(desk)) == 1
        await press(board, pilot, "enter")

    on_rack(desk, go)
    assert left(desk) > 200.0


def test_a_correction_wants_its_reason(tmp_path):
    desk = stocked(tmp_path)

    async def go(board, pilot):
        await press(board, pilot, "r", "=40 ml", "enter", "enter")
        assert "A few words are needed" in asked(board)
        await press(board, pilot, "=drawn unseen", "enter")

    on_rack(desk, go)
    assert left(desk) == 40.0
    assert diary(desk)[-1].note == "drawn unseen"


def test_a_bottle_is_broken_with_the_reason_and_stays_to_be_seen(tmp_path):
    desk = stocked(tmp_path)

    async def go(board, pilot):
        await press(board, pilot, "x", "right", "enter", "enter")
        assert isinstance(board.screen, AskForm)  # without a reason
        await press(board, pilot, "=fell off the tray", "enter")
        assert shown(board).split("\n")[2].startswith("CARA-01-B")
        await press(board, pilot, "v", "up")
        assert f"{FIRST} Caraway" in shown(board)
        assert "broken" in told(board)
        await press(board, pilot, "1", "k", "x")
        assert isinstance(board.screen, BottlesScreen)

    on_rack(desk, go)
    assert bottle_shelf.bottle(desk, FIRST).state is BottleState.BROKEN


def test_what_was_done_is_taken_back_after_asking_in_words_said_once(tmp_path):
    desk = stocked(tmp_path)

    async def go(board, pilot):
        await press(board, pilot, "1", "=15 ml", "enter", "enter", "u")
        assert f"Drawn from {FIRST}, " in asked(board)
        await press(board, pilot, "y")
        assert left(desk) == pytest.approx(100.0)
        assert "taken back" in told(board)
        await press(board, pilot, "u")
        assert f"{FIRST} and 2 more filled, " in asked(board)
        assert "filled and filled" not in asked(board)
        await press(board, pilot, "n")

    on_rack(desk, go, (120, 40))


def test_labels_and_the_record_are_printed_from_here(tmp_path):
    desk = stocked(tmp_path)
    label, record = tmp_path / "label.pdf", tmp_path / "record.pdf"

    async def go(board, pilot):
        await press(board, pilot, "L", "right", "enter", "enter", "=3", "enter", "ctrl+u")
        await press(board, pilot, f"={label}", "enter")
        assert toasts(board) == [f"3 labels written to {label}. Print at 100 %, not fitted."]
        await press(board, pilot, "R", "enter", "ctrl+u", f"={record}", "enter")
        assert toasts(board) == [f"The batch record is written to {record}."]

    on_rack(desk, go)
    assert label.read_bytes().startswith(b"%PDF")
    assert record.read_bytes().startswith(b"%PDF")


def test_what_cannot_be_written_is_told_in_place(tmp_path):
    async def go(board, pilot):
        await press(board, pilot, "L", "enter", "enter", "enter", "ctrl+u")
        await press(board, pilot, f"={tmp_path}/none/label.pdf", "enter")
        assert "! No such file or directory" in asked(board)

    on_rack(stocked(tmp_path), go)


def test_one_key_says_where_the_figures_come_from(tmp_path):
    desk = stocked(tmp_path)
    for _ in range(2):
        bottles.draw(desk, FIRST, read_drawn("8 ml"), Purpose.DOSE, MORNING)

    async def go(board, pilot):
        await press(board, pilot, "y")
        assert isinstance(board.screen, WhyScreen)
        assert "84.0 ± 1.2" in told(board)
        assert "16 mL, 2 times" in told(board)

    on_rack(desk, go, (120, 40))


def test_a_house_dose_is_kept_and_told_for_the_bottle_in_hand(tmp_path):
    desk = stocked(tmp_path)

    async def go(board, pilot):
        await press(board, pilot, "o", "=Mule edge", "enter", "=1.5 ml", "enter")
        await press(board, pilot, "=dry and warm", "enter", "=mule", "enter", "=180 ml", "enter")
        await press(board, pilot, "enter", "enter")
        assert "say its volume and its strength" in asked(board)
        await press(board, pilot, "up", "=11 %", "enter", "enter")
        assert "Mule edge is kept: 1.5 mL of CARA-01-A; U takes it back." in toasts(board)
        assert "Mule edge 1.5 mL · " in told(board)
        await press(board, pilot, "1")
        assert "1.5 ml" in told(board)  # stands there, to be drawn by Enter
        await press(board, pilot, "enter", "enter")

    on_rack(desk, go, (120, 40))
    (kept,) = doses.doses(desk)
    assert (kept.name, kept.gives, kept.drink.strength) == ("Mule edge", "dry and warm", 0.11)
    assert left(desk) == pytest.approx(98.5)


def test_what_is_always_to_stand_asks_for_the_next_jar(tmp_path):
    desk = stocked(tmp_path)

    async def go(board, pilot):
        assert "start next" not in told(board)
        await press(board, pilot, "a", "=2 L", "enter")
        assert "at least 2000 mL" in told(board)
        assert "start next by" in told(board)
        await press(board, pilot, "y", "end")
        assert "steep" in told(board)

    on_rack(desk, go, (120, 60))


def test_page_down_reads_on_in_what_is_told_and_leaves_the_choice(tmp_path):
    desk = stocked(tmp_path)
    for _ in range(12):  # more lines of its diary than there is room for
        bottles.draw(desk, FIRST, read_drawn("2 ml"), Purpose.DOSE, MORNING)

    async def go(board, pilot):
        told_of = board.screen.query_one("#bottle")
        await press(board, pilot, "pagedown")
        await pilot.wait_for_animation()
        assert (board.screen.chosen().code, told_of.scroll_y > 0) == (FIRST, True)
        await press(board, pilot, "pageup")
        await pilot.wait_for_animation()
        assert (board.screen.chosen().code, told_of.scroll_y) == (FIRST, 0)

    on_rack(desk, go)


def test_enter_opens_the_jar_and_the_palette_finds_every_act(tmp_path):
    async def go(board, pilot):
        await press(board, pilot, "enter")
        assert isinstance(board.screen, JarScreen)
        await press(board, pilot, "escape", "ctrl+p", "=correct")
        for _ in range(50):
            if "Say anew what the bottle holds" in told(board):
                break
            await pilot.pause(0.1)
        assert "Say anew what the bottle holds" in told(board)

    on_rack(stocked(tmp_path), go)


def test_hostile_text_stays_text(tmp_path):
    desk = bar_desk(tmp_path)
    strained_jar(desk, 3)
    bottling.fill(desk, "CARA-01", read_all_fills("100ml"), MORNING, note=HOSTILE)
    with desk.store.writing() as db:
        db.execute("update bottle set name = ?", [HOSTILE])
        db.execute("update bottle_entry set note = ?, initials = ?", [HOSTILE, "[/x]\x1b"])

    async def go(board, pilot):
        seen = [told(board)]
        for key in ("1", "k", "r", "x", "t", "g", "n", "L", "R", "u"):
            await press(board, pilot, key)
            assert len(board.screen_stack) == 2, key
            seen.append(told(board))
            await press(board, pilot, "escape")
        assert SEEN[:20] in seen[0]
        assert all(ord(letter) >= 32 for text in seen for letter in text)

    on_rack(desk, go, (120, 40))
