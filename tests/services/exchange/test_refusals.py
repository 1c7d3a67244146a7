"""What cannot be taken in is refused in plain words with its line, and nothing of it is kept."""

from __future__ import annotations

import io
import json
import shutil

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steepboard.errors import (
    BadCatalogue,
    BadDocument,
    BadRows,
    RecordUnusable,
    ShelfNotEmpty,
    TooNew,
)
from steepboard.services import acts
from steepboard.services.exchange import document
from steepboard.store.connect import Store
from tests.shelves import MORNING, desk_at, order

AT = "2026-03-02T08:00:00.000000Z"
JARS = [{"number": 1, "code": "CARA-01", "name": "Caraway"}]
CHARGE = {
    "strain_on": "2026-03-16",
    "stir_every_days": 2,
    "separation": "drip",
    "botanicals": [{"name": "Caraway", "mass_g": 40, "material_class": "seed", "fresh": False}],
    "spirits": [{"name": "spirit", "volume_ml": 300, "strength": 0.45, "temperature_c": 20}],
}
CHARGED = {
    "number": 1, "jar": "CARA-01", "act": 1, "kind": "charge", "at": AT, "source": "board",
    "by": "KL", "charge": CHARGE,
}  # fmt: skip
STIRRED = {"number": 2, "jar": "CARA-01", "act": 2, "kind": "stir", "at": AT, "source": "board"}
BOTTLES = [{"number": 1, "code": "CARA-01-A", "batch": "CARA-01", "jar": "CARA-01", "name": "C"}]
FILLED = {
    "number": 1, "bottle": "CARA-01-A", "act": 1, "kind": "fill", "at": AT, "source": "board",
    "after_entry": 2, "tool_u": 0, "size_ml": 100,
    "poured": [{"volume_ml": 100, "volume_step_ml": 1, "jar": "CARA-01"}],
}  # fmt: skip
DRAWN = {
    "number": 2, "bottle": "CARA-01-A", "act": 2, "kind": "draw", "at": AT, "source": "board",
    "after_entry": 2, "tool_u": 0, "volume_ml": 5, "volume_step_ml": 1, "purpose": "dose",
}  # fmt: skip


def text_of(**lists):
    """Return a document with a row on each line; the first row of the first list is on line 3."""
    told = {"jars": JARS, "diary": [CHARGED, STIRRED]} | lists
    parts = [
        f'"{name}": [\n' + ",\n".join(map(json.dumps, rows)) + "]" for name, rows in told.items()
    ]
    return '{"format": "steepboard shelf", "version": 1,\n' + ",\n".join(parts) + "}\n"


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ({"allergens": ["cellery"]}, "your botanical Bog herb, allergens eu: “cellery”"),
        ({"cautions": ["NOSUCH"]}, "your botanical Bog herb, cautions: “NOSUCH”"),
    ],
)
def test_a_botanical_that_no_shelf_could_use_is_not_taken_in(desk, said, told):
    """Else the shelf could not be opened for it."""
    row = json.dumps({"id": "bog", "name": "Bog herb"} | said)
    text = f'{{"format": "steepboard shelf", "version": 1, "own_botanicals": [{row}]}}'
    with pytest.raises(BadCatalogue, match=told):
        document.take_in(desk, io.BytesIO(text.encode()), "shelf.json")
    assert desk.store.tuples("select * from own_botanical") == []


def bottled(**changes):
    return text_of(**({"bottles": BOTTLES, "bottle_diary": [FILLED, DRAWN]} | changes))


@pytest.fixture
def desk(tmp_path):
    return desk_at(tmp_path)


def take_in(desk, text):
    content = text if isinstance(text, bytes) else text.encode()
    return document.take_in(desk, io.BytesIO(content), "old.json")


def nothing_kept(desk):
    tables = desk.store.rows("select name from sqlite_master where type = 'table'")
    kept = {row["name"] for row in tables if desk.store.tuples(f"select * from {row['name']}")}
    return kept == {"shelf", "_sqlite_migrations"} and not desk.store.conn.in_transaction


def faults(desk, text):
    with pytest.raises(BadRows) as told:
        take_in(desk, text)
    assert str(told.value).endswith("Nothing was imported.")
    assert nothing_kept(desk)
    assert told.value.count == len(told.value.faults)
    return told.value.faults


def test_the_documents_of_these_tests_are_sound_as_they_are(desk):
    assert take_in(desk, bottled()) == {"jars": 1, "diary": 2, "bottles": 1, "bottle_diary": 2}


def changed(row, **changes):
    return {key: value for key, value in (row | changes).items() if value is not ...}


def priced(amount):
    """Return a line of the house's diary that tells a price."""
    return {
        "number": 1, "topic": "spirit price", "name": "x", "act": "keep", "at": AT,
        "source": "board", "after_entry": 0, "after_bottle_entry": 0,
        "price": {"from_day": "2026-03-02", "amount": amount, "currency": "EUR"},
    }  # fmt: skip


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"kind": "shake"}, "diary, kind: “shake” is none of plan, charge"),
        ({"kind": 7}, "diary, kind: “7” is none of"),
        ({"by": 12}, "diary, by: “12” is not text"),
        ({"act": "2"}, "diary, act: “2” is not a whole number"),
        ({"act": 2.5}, "diary, act: “2.5” is not a whole number"),
        ({"act": 0}, "diary, act: “0” is below 1"),
        ({"act": 2**60}, "diary, act: “1152921504606846976” is above 9.0072e+15"),
        ({"act": True}, "diary, act: “true” is not a whole number"),
        ({"note": "x" * 501}, "diary, note: “" + "x" * 40 + "…” has more than 500 characters"),
        ({"note": None}, "diary, note: “null” is not text"),
        ({"colour": "red"}, "diary: “colour” is not known"),
        ({"act": ..., "kind": ...}, "diary: it lacks “act”, “kind”"),
        ({"at": "yesterday"}, "diary, at: “yesterday” is not written as it should be"),
        ({"at": "2026-02-30T08:00:00.000000Z"}, "is not written as it should be"),
        ({"kind": "move", "strain_on": "2026-13-01"}, "diary, strain_on: “2026-13-01” is not"),
        ({"kind": "move"}, "diary: what it says does not go together"),
        ({"kind": "undo"}, "diary: what it says does not go together"),
        ({"kind": "undo", "undoes": 7}, "undoes: it takes back no act that was done before it"),
        ({"kind": "undo", "undoes": 2}, "undoes: it takes back no act that was done before it"),
        ({"kind": "charge"}, "diary: it lacks “charge”"),
        ({"charge": CHARGE}, "diary, kind: “stir” is none of plan, charge"),
        ({"kind": "charge", "charge": []}, "diary, charge: this is not an object in { }"),
        ({"number": 1}, "diary: it is in this file twice"),
        ({"jar": "CARA-02"}, "diary, jar: nothing before it in this file is CARA-02"),
        ({"readings": []}, "diary, readings: it is empty"),
    ],
)  # fmt: skip
def test_each_wrong_row_is_told_with_its_line(desk, changes, told):
    found = faults(desk, text_of(diary=[CHARGED, changed(STIRRED, **changes)]))
    assert [line for line, _ in found] == [6]
    assert told in found[0][1]


def test_all_wrong_rows_are_told_and_those_that_name_them_are_not(desk):
    jars = [*JARS, {"number": 2, "code": "fenn-1", "name": "Fennel"}, JARS[0]]
    diary = [CHARGED, changed(STIRRED, jar="FENN-09"), changed(STIRRED, number=3, kind="shake")]
    assert [line for line, _ in faults(desk, text_of(jars=jars, diary=diary))] == [4, 5, 8, 9]
    lost = [changed(JARS[0], name=""), JARS[0] | {"code": "CARA-02", "number": 2}]
    assert [line for line, _ in faults(desk, text_of(jars=lost))] == [3]


def test_a_fault_deep_in_a_row_has_its_own_line(desk):
    text = json.dumps(json.loads(text_of(diary=[CHARGED])), indent=1)
    lines = text.splitlines()
    wrong = next(n for n, line in enumerate(lines) if '"strength"' in line)
    lines[wrong] = lines[wrong].replace("0.45", "45")
    assert faults(desk, "\n".join(lines)) == (
        (wrong + 1, "diary, charge, spirits, strength: “45” is above 1"),
    )


@pytest.mark.parametrize(
    ("lists", "told"),
    [
        ({"bottles": BOTTLES * 2}, "bottles: it is in this file twice"),
        ({"bottles": [changed(BOTTLES[0], jar="X-01")]}, "nothing before it in this file is X-01"),
        ({"bottles": [changed(BOTTLES[0], batch="X-01")]}, "what it says does not go together"),
        ({"bottle_diary": [changed(FILLED, after_entry=9)]}, "no entry of the jars' diaries"),
        ({"bottle_diary": [changed(FILLED, jar_entry=9)]}, "nothing before it in this file is 9"),
        ({"bottle_diary": [changed(FILLED, poured=...)]}, "bottle_diary: it lacks “poured”"),
        ({"bottle_diary": [changed(FILLED, size_ml=-1)]}, "size_ml: “-1” is not above 0"),
        ({"bottle_diary": [FILLED, changed(DRAWN, volume_ml=...)]}, "does not go together"),
        (
            {"bottle_diary": [changed(FILLED, poured=[{"volume_ml": 5, "volume_step_ml": 1}])]},
            "bottle_diary, poured: what it says does not go together",
        ),
        ({"bottle_diary": [changed(DRAWN, kind="undo", undoes=1, purpose=..., volume_ml=...,
            volume_step_ml=...)]}, "it takes back no act"),
        ({"house_diary": [priced("1e9")]}, "amount: “1e9” is not written as it should be"),
        ({"house_diary": [priced(12.5)]}, "amount: “12.5” is not text"),
        ({"house_diary": [changed(priced("1"), after_bottle_entry=9)]},
            "no entry of the bottles' diaries has this number"),
    ],
)  # fmt: skip
def test_bottles_and_prices_are_looked_at_as_closely(desk, lists, told):
    ((_, reason),) = faults(desk, bottled(**lists))
    assert told in reason


def test_a_bottle_that_was_poured_from_before_it_was_filled_is_refused(desk):
    other = changed(BOTTLES[0], number=2, code="CARA-01-B")
    poured = [{"volume_ml": 5, "volume_step_ml": 1, "bottle": "CARA-01-B"}]
    with pytest.raises(BadDocument, match="the diary of CARA-01-A cannot be followed"):
        take_in(
            desk,
            bottled(bottles=[*BOTTLES, other], bottle_diary=[changed(FILLED, poured=poured)]),
        )
    assert nothing_kept(desk)


SOUND = bottled()
ROW = SOUND.index('"act": 2')


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "old.json, line 1: the file ends before it is complete."),
        (SOUND[:ROW], "line 6: the file ends before it is complete"),
        (SOUND.encode("utf-16"), "line 1: this is not JSON"),
        (SOUND.replace("Caraway", "Kümmel").encode("latin-1"), "line 3: this is not text in UTF-8"),
        (SOUND.replace('"act": 2', '"act": NaN'), "line 6: this is not JSON"),
        (SOUND.replace('"act": 2', '"act": Infinity'), "line 6: this is not JSON"),
        (SOUND.replace('"act": 2', f'"act": {10**40}'), "line 6: a number is too large"),
        (SOUND.replace('"act": 2', '"act": 1e999'), "line 6: a number is too large"),
        (SOUND.replace('"act": 2', '"act": 2, "act": 3'), "line 6: “act” is there twice"),
        (SOUND.replace('"diary"', '"jars"'), "line 4: “jars” is there twice"),
        (SOUND.replace('"diary"', '"notes"'), "line 5: “notes” is not known"),
        (SOUND.replace('"jars": [', '"jars": {"a": [').replace("}],", "}]},", 1), "not a list"),
        (SOUND.replace('"jars"', '"jars": 3, "x"'), "line 2: “jars” is not a list in [ ]"),
        ('{"format": "steepboard shelf", "version": 1, "jars": ' + "[" * 99, "it goes deep"),
        ("[" + SOUND + "]", "line 1: it is not an object in { }"),
        ('"shelf"', "line 1: it is not an object in { }"),
        ("{}", "line 1: it does not begin as a steepboard shelf does"),
        (SOUND + "more", "this is not JSON"),
        (SOUND.replace("steepboard shelf", "something"), "format is not “steepboard shelf”"),
        (SOUND.replace('"version": 1', '"version": 0'), "version is not “1”"),
        (SOUND.replace('"version": 1', '"version": true'), "version is not “1”"),
        (SOUND.replace('"version": 1,', ""), "it does not begin as a steepboard shelf does"),
        ("PK\x03\x04", "line 1: this is not JSON"),
    ],
)  # fmt: skip
def test_what_is_no_shelf_is_refused_in_one_plain_line(desk, text, told):
    with pytest.raises(BadDocument) as fault:
        take_in(desk, text)
    assert told in str(fault.value)
    assert "\n" not in str(fault.value)
    assert nothing_kept(desk)


def test_lists_in_another_order_are_refused_since_rows_name_what_stands_before(desk):
    told = json.loads(text_of())
    text = json.dumps({key: told[key] for key in ("format", "version", "diary", "jars")})
    with pytest.raises((BadDocument, BadRows)):
        take_in(desk, text)
    assert nothing_kept(desk)


def test_a_document_of_a_newer_version_asks_for_that(desk):
    with pytest.raises(TooNew, match="newer Steepboard: it has version 2, and this one reads 1"):
        take_in(desk, SOUND.replace('"version": 1', '"version": 2').replace('"jars"', '"vats"'))
    assert nothing_kept(desk)


def test_an_editor_s_mark_before_the_text_and_any_spacing_are_read(desk):
    assert take_in(desk, b"\xef\xbb\xbf" + json.dumps(json.loads(SOUND), indent=3).encode())


def test_a_shelf_with_anything_on_it_is_left_as_it_is(desk):
    acts.charge(desk, order(), MORNING)
    before = desk.store.tuples("select * from entry")
    with pytest.raises(ShelfNotEmpty, match="writes over nothing"):
        take_in(desk, SOUND)
    assert desk.store.tuples("select * from entry") == before


def test_another_writer_is_waited_for_and_then_told_of(desk, tmp_path, monkeypatch):
    desk.store.conn.execute("pragma busy_timeout = 50")
    other = Store(tmp_path / "shelf.db")
    with other.transaction(), pytest.raises(RecordUnusable, match="locked"):
        take_in(desk, SOUND)
    assert nothing_kept(desk)
    assert take_in(desk, SOUND)["jars"] == 1


def test_a_disk_that_fills_up_loses_nothing(desk):
    pages = desk.store.tuples("pragma page_count")[0][0]
    desk.store.conn.execute(f"pragma max_page_count = {pages + 5}")
    notes = [changed(STIRRED, number=n, act=n, note="x" * 500) for n in range(2, 400)]
    with pytest.raises(RecordUnusable, match="full"):
        take_in(desk, text_of(diary=[CHARGED, *notes]))
    assert nothing_kept(desk)
    assert take_in(desk, SOUND)["jars"] == 1


def test_a_stop_halfway_keeps_nothing(desk, monkeypatch):
    class Stopped(io.BytesIO):
        def readline(self, size=-1):
            if self.tell() > ROW:
                raise KeyboardInterrupt
            return super().readline(size)

    with pytest.raises(KeyboardInterrupt):
        document.take_in(desk, Stopped(SOUND.encode()), "old.json")
    assert nothing_kept(desk)


def test_a_disk_that_cannot_be_read_is_told_by_the_file_s_name(desk):
    class Broken(io.BytesIO):
        def readline(self, size=-1):
            raise OSError(5, "Input/output error")

    with pytest.raises(BadDocument, match=r"old.json, line 1: input/output error\. Nothing"):
        document.take_in(desk, Broken(), "old.json")
    assert nothing_kept(desk)


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_whatever_a_file_holds_it_is_taken_in_or_refused_plainly(tmp_path_factory, data):
    """Bytes of a sound file are changed at random; each ends in a whole shelf or in none."""
    content = bytearray(SOUND.encode())
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(content) - 1))
        content[at : at + data.draw(st.integers(0, 3))] = data.draw(st.binary(max_size=3))
    desk = desk_at(_fresh(tmp_path_factory))
    try:
        counts = take_in(desk, bytes(content))
    except (BadDocument, BadRows, TooNew):
        assert nothing_kept(desk)
    else:
        assert counts["jars"] == len(desk.store.tuples("select * from jar"))
    desk.store.close()


def _fresh(factory):
    """Return a folder with an empty record, copied from one that is made once."""
    first, folder = factory.getbasetemp() / "empty.db", factory.mktemp("any")
    if not first.exists():
        made = Store(folder / "shelf.db")
        made.conn.execute(f"vacuum into '{first}'")
        made.close()
        return folder
    shutil.copy(first, folder / "shelf.db")
    return folder
