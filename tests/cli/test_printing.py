"""Labels, tape and the batch record from the command line."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.cli.running import done, refused, run, value
from tests.printing import paper
from tests.shelves import MORNING

LATER = MORNING + timedelta(days=16)


@pytest.fixture
def home(tmp_path, monkeypatch):
    """A shelf with two bottles of one jar, and a folder of its own to print to."""
    shelf = tmp_path / "home"
    done(shelf, "charge", "caraway", "40g", "300ml", "45%")
    done(shelf, "strain", "CARA-01", "--recovered", "240ml", "--marc", "86g", now=LATER)
    done(shelf, "bottle", "CARA-01", "2x100ml", now=LATER)
    (tmp_path / "out").mkdir()
    monkeypatch.chdir(tmp_path / "out")
    return shelf


def test_labels_are_written_and_what_was_written_is_said(home, tmp_path):
    told = done(home, "label", "cara-01", now=LATER)
    assert told == (
        "2 labels on a4-3x8 (A4, 3 by 8, 70 × 36 mm): written to CARA-01-labels.pdf. "
        "Print at 100 %, not fitted.\n"
    )
    pdf = (tmp_path / "out" / "CARA-01-labels.pdf").read_bytes()
    assert paper.codes(paper.picture(pdf, dpi=300)) == ["CARA-01-A", "CARA-01-B"]


def test_a_sheet_a_place_and_a_file_can_be_named(home, tmp_path):
    out = tmp_path / "of-mine.pdf"
    asked = ("label", "CARA-01-B", "--sheet", "a4-2x7", "--from", "14", "--out", out)
    assert done(home, *asked, now=LATER).startswith("1 label on a4-2x7 ")
    assert "CARA-01-B" in paper.words(out.read_bytes())


def test_tape_and_record_are_written_too(home, tmp_path):
    assert done(home, "tape", "CARA-01", now=LATER).startswith("1 strip of tape on tape-100x24")
    assert "Strain 9 Mar 2026" in paper.words((tmp_path / "out" / "CARA-01-tape.pdf").read_bytes())
    told = done(home, "record", "cara-01", "--out", "batch.pdf", now=LATER)
    assert told == "The batch record of CARA-01 is written to batch.pdf.\n"
    assert "Batch record CARA-01" in paper.words((tmp_path / "out" / "batch.pdf").read_bytes())


def test_programs_are_told_the_file_and_the_codes(home):
    assert value(home, "label", "CARA-01", "--out", "a.pdf", now=LATER) == {
        "file": "a.pdf",
        "codes": ["CARA-01-A", "CARA-01-B"],
        "sheet": "a4-3x8 (A4, 3 by 8, 70 × 36 mm)",
    }
    assert value(home, "record", "CARA-01", "--out", "b.pdf", now=LATER) == {
        "file": "b.pdf",
        "code": "CARA-01",
    }


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("label", "NONE-01"), "No bottle is called NONE-01."),
        (("label", "CARA-01", "--sheet", "a5"), "No sheet is called a5. There are a4-3x8"),
        (("label", "CARA-01", "--from", "25"), "first label: 25 is not allowed"),
        (("label", "CARA-01", "--out", "no/where.pdf"), "no/where.pdf: No such file"),
        (("tape", "NONE-01"), "No jar is called NONE-01."),
        (("record", "NONE-01"), "No jar is called NONE-01."),
        (("record", "CARA-01", "--out", "."), ".: "),
    ],
)
def test_what_cannot_be_printed_is_refused_and_nothing_is_written(home, tmp_path, words, told):
    assert refused(home, *words, code=1, now=LATER).startswith(told)
    assert list((tmp_path / "out").iterdir()) == []


def test_a_file_of_somebody_elses_is_left_alone(home, tmp_path):
    (tmp_path / "out" / "notes.pdf").write_bytes(b"%PDF-1.4 notes")
    told = refused(home, "label", "CARA-01", "--out", "notes.pdf", code=1, now=LATER)
    assert told == "notes.pdf is not a print of this program: choose another name with --out."
    assert (tmp_path / "out" / "notes.pdf").read_bytes() == b"%PDF-1.4 notes"


@pytest.mark.parametrize("command", ["label", "tape", "record"])
def test_help_has_an_example_and_names_the_sheets(home, command):
    told = run(home, command, "--help").stdout
    assert f"Example: steepboard {command}" in told
    assert ("a4-3x8" in told) == (command != "record")
