"""Scripts of SQL: run as they stand, and part of the transaction they are run in."""

from __future__ import annotations

import sqlite3

import pytest
from sqlite_utils import Database

from steepboard.store.script import run

SCRIPT = """
    create table jar(code text, note text default 'strain; press');
    create trigger seen after insert on jar begin
        update jar set note = 'a;b' where code = new.code;
        delete from jar where code = 'X-0';
    end;
    insert into jar(code) values ('A-1'),
        ('X-0');
"""


@pytest.fixture
def db():
    return Database(sqlite3.connect(":memory:", isolation_level=None))


def test_statements_over_several_lines_and_triggers_are_run_in_order(db):
    run(db, SCRIPT)
    assert db.execute("select code, note from jar").fetchall() == [("A-1", "a;b")]


def test_a_script_is_part_of_the_transaction_it_is_run_in(db):
    db.execute("begin")
    run(db, SCRIPT)
    db.execute("rollback")
    assert db.table_names() == []


def test_a_statement_without_its_end_is_refused(db):
    with pytest.raises(ValueError, match="create table bottle"):
        run(db, "create table jar(code);\ncreate table bottle(code)")
