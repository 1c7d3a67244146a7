"""What the record remembers of the screen."""

from __future__ import annotations

from tests.services.test_reminders import NEXT_NINE, shelf_with


def test_what_was_shown_is_known_to_another_process_until_it_is_gone(tmp_path):
    _, _, one = shelf_with(tmp_path, 2)
    _, _, other = shelf_with(tmp_path, 0)
    (notice,) = one.due(NEXT_NINE)
    assert one.claim(notice, NEXT_NINE)
    one.delivered(notice, NEXT_NINE, "here 7")
    assert other.on_screen() == {"here 7": notice}
    assert other.due(NEXT_NINE) == ()
    other.gone({"taste"})
    assert one.on_screen() == {"here 7": notice}
    other.gone({"stir"})
    assert one.on_screen() == {}


def test_what_nobody_can_find_again_is_not_kept(tmp_path):
    _, _, reminders = shelf_with(tmp_path, 1)
    (notice,) = reminders.due(NEXT_NINE)
    reminders.delivered(notice, NEXT_NINE)
    assert reminders.on_screen() == {}
