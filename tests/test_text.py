from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steepboard.text import clean, visible


@pytest.mark.parametrize(
    ("raw", "kept"),
    [
        ("  Rosemary \t jar\n2 ", "Rosemary jar 2"),
        ("ro\x1b]0;title\x07se", "ro]0;titlese"),
        ("a\u202eb\u2066c\u200fd", "abcd"),
        ("e\u0301pine", "épine"),
        ("e\u200b\u0301", "é"),
        ("lone \ud800 surrogate", "lone surrogate"),
        ("[b]bold[/b] [/oops]", "[b]bold[/b] [/oops]"),
        ("one\u2028two\x85three", "one two three"),
        ("\u200d", ""),
        ("", ""),
    ],
)
def test_text_is_kept_as_one_visible_line(raw: str, kept: str) -> None:
    assert clean(raw) == kept


def test_text_is_cut_at_the_limit_without_a_loose_blank() -> None:
    assert clean("abcd efgh", limit=5) == "abcd"


def test_joiners_that_a_script_needs_are_kept() -> None:
    assert clean("می\u200cخوش") == "می\u200cخوش"


@settings(deadline=None)
@given(st.text(max_size=300), st.integers(1, 250))
def test_clean_text_is_short_normal_seen_and_clean_already(raw: str, limit: int) -> None:
    kept = clean(raw, limit)
    assert len(kept) <= limit
    assert unicodedata.is_normalized("NFC", kept)
    assert not {unicodedata.category(c) for c in kept} & {"Cc", "Cs", "Co", "Zl", "Zp"}
    assert kept == kept.strip()
    assert clean(kept, limit) == kept
    kept.encode()  # no lone surrogate is left


@settings(deadline=None)
@given(st.text(max_size=300))
def test_visible_text_has_no_line_breaks_and_keeps_its_blanks(raw: str) -> None:
    assert len(visible(raw).splitlines()) <= 1
    assert visible(raw).count(" ") >= raw.count(" ")
