"""The whole shelf as CSV files: out and in again, and refused plainly where it does not fit."""

from __future__ import annotations

import csv
import re
import shutil
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings

from steepboard.errors import BadDocument, BadRows, NotInCsv, ShelfNotEmpty, TooNew
from steepboard.services.exchange import folder, outlet
from steepboard.store.exchange_parts import LEFT_OUT
from tests.services.exchange.test_round_trip import STEPS, text_of
from tests.shelves import desk_at
from tests.whole_shelf import ACTS, do, what_it_tells, whole


@pytest.fixture(scope="module")
def everything(tmp_path_factory):
    desk = desk_at(tmp_path_factory.mktemp("whole"))
    yield desk, whole(desk)
    desk.store.close()


@pytest.fixture(scope="module")
def sound(everything, tmp_path_factory):
    out = tmp_path_factory.mktemp("lists") / "out"
    outlet.write_folder(folder.written(everything[0]), out)
    return out


@pytest.fixture
def out(sound, tmp_path):
    """Give a folder that a test may spoil."""
    shutil.copytree(sound, tmp_path / "out")
    return tmp_path / "out"


@pytest.fixture
def new(tmp_path):
    (tmp_path / "new").mkdir()
    return desk_at(tmp_path / "new")


def rows(path):
    with path.open(newline="", encoding="utf-8-sig") as file:
        return list(csv.reader(file))


def put(path, told, between=","):
    with path.open("w", newline="", encoding="utf-8-sig") as file:
        csv.writer(file, delimiter=between).writerows(told)


def refused(new, out, fault=BadDocument):
    with pytest.raises(fault) as told:
        folder.take_in(new, out)
    assert str(told.value).endswith("Nothing was imported.")
    assert "\n" not in str(told.value)
    tables = new.store.rows("select name from sqlite_master where type = 'table'")
    kept = {row["name"] for row in tables if new.store.tuples(f"select * from {row['name']}")}
    assert kept == {"shelf", "_sqlite_migrations"}
    return told.value


def test_a_shelf_on_which_everything_was_done_comes_back_whole(everything, sound, new):
    desk, now = everything
    counts = folder.take_in(new, sound)
    assert counts["diary"] == len(desk.store.tuples("select * from entry"))
    assert text_of(new) == text_of(desk)
    assert what_it_tells(new, now) == what_it_tells(desk, now)
    for row in desk.store.rows("select name from sqlite_master where type = 'table'"):
        if row["name"] not in LEFT_OUT:
            sql = f"select * from {row['name']}"
            assert new.store.tuples(sql) == desk.store.tuples(sql), row["name"]


@settings(max_examples=25, deadline=None)
@given(STEPS)
def test_what_people_did_in_any_order_comes_back(steps):
    with TemporaryDirectory() as there:
        desk = desk_at(Path(there))
        do(desk, [(ACTS[0], 1, "first"), *steps])
        outlet.write_folder(folder.written(desk), Path(there) / "out")
        (Path(there) / "new").mkdir()
        new = desk_at(Path(there) / "new")
        new.store.conn.execute("pragma synchronous = off")
        folder.take_in(new, Path(there) / "out")
        assert text_of(new) == text_of(desk)
        desk.store.close()
        new.store.close()


def test_files_that_a_spreadsheet_saved_with_semicolons_and_decimal_commas_come_back(
    everything, out, new
):
    """Only numbers get a comma: text such as the amount of a price stays as it is."""
    for path in out.glob("*.csv"):
        head, *told = rows(path)
        numbers = [n for n, name in enumerate(head) if name.endswith(("_ml", "_g", "moisture"))]
        for row in told:
            for n in numbers:
                row[n] = row[n].replace(".", ",")
        put(path, [head, *told], ";")
    folder.take_in(new, out)
    assert text_of(new) == text_of(everything[0])


def test_rows_of_lists_that_no_other_names_may_stand_in_any_order(everything, out, new):
    head, *told = rows(out / "own_spirits.csv")
    put(out / "own_spirits.csv", [head, *reversed(told)])
    folder.take_in(new, out)
    assert text_of(new) == text_of(everything[0])


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("diary.csv", r"/diary.csv, line 3: number \d+ stands below \d+: a spreadsheet may have"),
        ("readings.csv", r"/readings.csv, line \d+: (place \d+ stands where 1 should|it belongs)"),
        ("botanicals.csv", r"/botanicals.csv, line \d+: it belongs to no row of diary.csv"),
    ],
)
def test_a_file_that_was_sorted_anew_is_told_and_not_guessed_at(out, new, name, told):
    head, *lines = rows(out / name)
    put(out / name, [head, *reversed(lines)])
    assert re.search(told, str(refused(new, out)))


def test_botanicals_of_one_jar_that_changed_places_are_told(out, new):
    head, *told = rows(out / "spirits.csv")
    place = head.index("place")
    assert [row[place] for row in told[:2]] == ["1", "2"]
    put(out / "spirits.csv", [head, told[1], told[0], *told[2:]])
    assert "line 2: place 2 stands where 1 should" in str(refused(new, out))


def test_every_bad_row_is_told_with_its_file_its_line_and_its_head(out, new):
    for name, head, wrong in (
        ("diary.csv", "kind", "shake"),
        ("spirits.csv", "strength", "45"),
        ("own_botanicals.csv", "fresh", "perhaps"),
        ("jars.csv", "code", ""),
    ):
        told = rows(out / name)
        told[2][told[0].index(head)] = wrong
        put(out / name, told)
    faults = dict.fromkeys(refused(new, out, BadRows).faults)
    assert (3, "own_botanicals.csv, fresh: “perhaps” is not true or false") in faults
    assert (3, "jars.csv: it lacks “code”") in faults
    assert any(line == 3 and "diary.csv, kind: “shake” is none" in told for line, told in faults)
    assert (3, "spirits.csv, strength: “45.0” is above 1") in faults


def test_a_folder_that_lacks_something_or_has_more_is_told(out, new, tmp_path):
    (out / "poured.csv").rename(out / "poured old.csv")
    assert "poured.csv is missing" in str(refused(new, out))
    shutil.copy(out / "poured old.csv", out / "poured.csv")
    assert "poured old.csv is no list" in str(refused(new, out))
    (out / "shelf.csv").unlink()
    assert "this folder has no shelf.csv, so no export wrote it" in str(refused(new, out))


@pytest.mark.parametrize(
    ("name", "content", "told"),
    [
        ("shelf.csv", "format,version\nsteepboard shelf,0\n", "shelf.csv, version is not “1”"),
        ("shelf.csv", "format,version\nshelf,1\n", "shelf.csv, format is not “steepboard shelf”"),
        ("shelf.csv", "format,version\n", "it does not begin as a steepboard shelf does"),
        ("jars.csv", "", "/jars.csv, line 1: the first line is empty"),
        ("jars.csv", "number,code,colour\n", "/jars.csv, line 1: the head “colour” is not known"),
        ("jars.csv", "number,code,name\n1,CARA-01\n", "line 2: it has 2 cells, and there are 3"),
        ("poured.csv", "number,volume_ml\n1,2\n", "/poured.csv, line 1: the head “place” is miss"),
        ("jars.csv", "number,code,name\n1,K\udcfc,x\n", "/jars.csv, line 2: this is not text in"),
    ],
)
def test_a_file_that_is_none_of_these_is_refused(out, new, name, content, told):
    (out / name).write_bytes(content.encode("utf-8", "surrogateescape"))
    assert told in str(refused(new, out))


def test_a_folder_of_a_newer_version_asks_for_that(out, new):
    (out / "shelf.csv").write_text("format,version\nsteepboard shelf,2\n")
    refused(new, out, TooNew)


def test_a_shelf_that_has_something_is_left_as_it_is(everything, out):
    before = text_of(everything[0])
    with pytest.raises(ShelfNotEmpty):
        folder.take_in(everything[0], out)
    assert text_of(everything[0]) == before


@pytest.mark.parametrize("text", ["a\x1b[31m", "two\nlines", "\u202e"])
def test_text_that_csv_would_not_bring_back_is_refused_and_no_folder_left(tmp_path, text):
    desk = desk_at(tmp_path)
    do(desk, [(ACTS[0], 1, "first")])
    desk.store.conn.execute("update entry set note = ?", [text])
    with pytest.raises(NotInCsv, match="Export the shelf as a document"):
        outlet.write_folder(folder.written(desk), tmp_path / "out")
    assert not [path for path in tmp_path.iterdir() if path.is_dir()]
