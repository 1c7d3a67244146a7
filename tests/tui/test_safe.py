from __future__ import annotations

import pytest

from steepboard.tui.safe import cell, plain, say

HOSTILE = "ro\x1b]0;title\x07se\u202e [b]x[/b] [/oops] $jar\n2"
SEEN = "ro]0;titlese [b]x[/b] [/oops] $jar 2"


@pytest.mark.parametrize("show", [plain, cell, lambda text: say("$jar", jar=text)])
def test_a_hostile_name_is_shown_letter_for_letter_without_style(show: object) -> None:
    shown = show(HOSTILE)  # type: ignore[operator]
    assert shown.plain == SEEN
    assert not shown.spans


def test_our_own_markup_styles_and_the_value_in_it_does_not() -> None:
    shown = say("[b]$jar[/b] is due in $days days", jar=HOSTILE, days=3)
    assert shown.plain == f"{SEEN} is due in 3 days"
    assert [(span.start, span.end) for span in shown.spans] == [(0, len(SEEN))]
