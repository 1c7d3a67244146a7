"""Lines within the width of a terminal: what is folded and where, and all lists of the demo."""

from __future__ import annotations

import pytest

from steepboard.cli.folding import folded, table
from tests.cli.running import done, run

LISTS = (
    "today", "week", "jars", "jar CARA-10", "jar CARA-09 --why", "jar JUNI-08", "stock",
    "stock rosemary", "ahead", "bottles", "bottles --all", "bottles JUNI-08-A", "price", "costs",
    "dose", "dose convert JUNI-08-A", "dropper", "bench", "bench show BENCH-01", "formula",
    "losses", "losses --by straining", "losses --by material", "learned", "botanicals",
    "botanicals caraway", "botanicals seed", "spirits", "spirits rum", "remind CARA-10", "away",
    "doctor", "plan --want 250ml --strength 45% --botanical caraway --why",
    "plan --want 250ml --strength 45% --botanical caraway --sheet",
    "dilute --volume 1L --from 96% --to 40%", "density --strength 40%",
)  # fmt: skip


pytestmark = pytest.mark.xdist_group("demo")


@pytest.fixture
def home(demo):
    return demo.root


@pytest.mark.parametrize("words", LISTS)
def test_no_line_is_wider_than_a_terminal_of_80_columns(home, words, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    told = run(home, *words.split()).stdout.splitlines()
    assert told
    assert [line for line in told if len(line) > 80] == []


@pytest.mark.parametrize("words", ["stock", "bottles", "today", "jar JUNI-08"])
def test_folding_parts_lines_and_loses_no_word(home, words, monkeypatch):
    whole = done(home, *words.split())
    monkeypatch.setenv("COLUMNS", "60")
    parted = done(home, *words.split())
    assert sorted(parted.split()) == sorted(whole.split())
    assert max(map(len, parted.splitlines())) <= 60


def test_into_a_pipe_lines_go_whole(home):
    assert max(map(len, done(home, "botanicals").splitlines())) > 80


@pytest.mark.parametrize(
    ("text", "room", "lines"),
    [
        ("all fits", 8, ["all fits"]),
        ("it does not fit", 9, ["it does", "not fit"]),
        ("- a finding is set in", 12, ["- a finding", "  is set in"]),
        (" 7. a step is set in", 13, [" 7. a step is", "    set in"]),
        ("    as it begins", 12, ["    as it", "    begins"]),
        ("take 40.5 mL of it", 10, ["take", "40.5 mL of", "it"]),
        ("say `a b c`, or not", 10, ["say", "`a b c`,", "or not"]),
        ("on Wed  9 Dec", 11, ["on Wed  9", "Dec"]),
        ("/a/long/path is whole", 8, ["/a/long/path", "is whole"]),
        ("日本 酒", 5, ["日本", "酒"]),
        ("", 4, [""]),
    ],
)
def test_a_line_is_folded_between_words(text, room, lines):
    assert folded(text, room) == lines
    assert folded(text, None) == [text]


def test_the_widest_column_of_a_table_gives_way():
    rows = [("CARA-01", "caraway seed and more", "  3"), ("HOPS-01", "hops", " 12")]
    assert table(rows, "  ", 26) == [
        "CARA-01  caraway seed    3",
        "         and more",
        "HOPS-01  hops           12",
    ]


def test_a_column_is_no_narrower_than_its_longest_word():
    assert table([("abcdefgh", "ijkl mnop")], " ", 6) == ["abcdefgh ijkl", "         mnop"]
