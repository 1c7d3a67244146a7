"""From the schema with bottles to the one with doses, droppers, trials and formulas."""

from __future__ import annotations

import sqlite3
from contextlib import closing

import pytest

from steepboard.domain.base import Base
from steepboard.domain.bench import Trial, Verdict
from steepboard.domain.blending import Formula, Ingredient
from steepboard.domain.dosing import Dropper, HouseDose, Portion, Tool
from steepboard.domain.readings import Measured
from steepboard.domain.records import Source
from steepboard.store import bottles, house, migrations, steps, trials
from steepboard.store.connect import Store
from tests.shelves import MORNING

DRINK = Base("soda", 90.0, 0.08, 60.0)
DOSE = HouseDose("caraway syrup", "Caraway", "plain syrup and 2 mL", 2.0, 0.17, DRINK)
DROPPER = Dropper("blue bulb", Tool.DROP, 0.023, 0.02, 0.43, "87 drops to 2 mL")
FORMULA = Formula(
    "Night train", Base("sour", 100.0, 0.28, 90.0), (Ingredient("Caraway", 0.3),), "dry"
)
TRIAL = Trial(
    "BENCH-01", MORNING, "KL", FORMULA.base, 0.6, "CARA-01-A", "Caraway",
    Portion("blue bulb", Tool.DROP, 0.023, 0.09, "measured here: 87 drops to 2 mL"), 2.0, 3.0,
)  # fmt: skip


@pytest.fixture
def store(tmp_path, monkeypatch):
    """Give a record of the sixth schema, with a bottle, brought up to date."""
    path = tmp_path / "shelf.db"
    with monkeypatch.context() as patch:
        patch.setattr(migrations, "STEPS", steps.STEPS[:6])
        Store(path).close()
    with closing(sqlite3.connect(path)) as db, db:
        db.execute("insert into jar values (1, 'CARA-01', 'Caraway')")
        db.execute("insert into bottle values (7, 'CARA-01-A', 'CARA-01', 1, 'Caraway')")
        db.execute("insert into par values ('caraway', 50)")
    return Store(path)


def said(db, topic, name, act="keep", undoes=None):
    return house.add_entry(db, topic, name, act, MORNING, Source.COMMAND, "KL", undoes)


def test_what_stood_there_before_stays(store):
    assert bottles.tag(store, "CARA-01-A").id == 7
    assert house.pars(store) == {"caraway": 50.0}
    assert store.rows("pragma foreign_key_check") == []
    assert house.doses(store) == house.droppers(store) == house.formulas(store) == ()


def test_each_thing_comes_back_as_it_was_kept(store):
    with store.writing() as db:
        house.add_dose(db, said(db, "dose", DOSE.name), DOSE)
        house.add_dropper(db, said(db, "dropper", DROPPER.name), DROPPER)
        house.add_formula(db, said(db, "formula", FORMULA.name), FORMULA)
        trials.add_trial(db, said(db, "trial", TRIAL.code), TRIAL, 7)
        step = said(db, "trial", TRIAL.code, "step")
        trials.add_step(db, step, Verdict.LITTLE, "thin", Measured(0.046, 0.0), "2 drops")
        later = said(db, "trial", TRIAL.code, "verdict")
        trials.add_verdict(db, later, TRIAL.code, 1, Verdict.RIGHT, "it grew")
    assert house.doses(store) == (DOSE,)
    assert house.droppers(store) == (DROPPER,)
    assert house.formulas(store) == (FORMULA,)
    (trial,) = trials.trials(store)
    assert (trial.base, trial.portion, trial.thinned) == (TRIAL.base, TRIAL.portion, 2.0)
    (step,) = trial.steps
    assert (step.number, step.added, step.typed) == (1, Measured(0.046, 0.0), "2 drops")
    assert (step.verdict, step.counts) == (Verdict.LITTLE, Verdict.RIGHT)
    assert (step.remark, step.later_remark) == ("thin", "it grew")


def test_what_was_said_last_of_a_name_counts_until_it_is_taken_back(store):
    with store.writing() as db:
        for volume_ml in (2.0, 3.0):
            one = HouseDose(DOSE.name, "Caraway", "", volume_ml, 0.17)
            house.add_dose(db, said(db, "dose", DOSE.name), one)
        assert house.doses(store)[0].volume_ml == 3.0
        gone = said(db, "dose", DOSE.name, "forget")
        assert (house.doses(store), house.kept(store, "dose")) == ((), ())
        said(db, "dose", DOSE.name, "undo", gone)
        assert house.doses(store)[0].volume_ml == 3.0
        said(db, "dose", DOSE.name, "undo", house.last_said(store, "dose", DOSE.name).id)
        assert house.doses(store)[0].volume_ml == 2.0


@pytest.mark.parametrize(
    "nonsense",
    [
        "insert into house_entry values (2, 'dose', ' ', 'keep', '{at}', {by}, null, {z})",
        "insert into house_entry values (2, 'dose', 'a', 'step', '{at}', {by}, null, {z})",
        "insert into house_entry values (2, 'dose', 'a', 'undo', '{at}', {by}, null, {z})",
        "insert into house_entry values (2, 'dose', 'a', 'keep', '{at}', {by}, 1, {z})",
        "insert into house_entry values (2, 'dose', 'a', 'undo', '{at}', {by}, 9, {z})",
        "insert into house_dose values (1, 'Caraway', '', 0, 1, '', null, null, null)",
        "insert into house_dose values (1, 'Caraway', '', 2, 0, '', null, null, null)",
        "insert into house_dose values (1, 'Caraway', '', 2, 1, 'soda', 90, null, 0)",
        "insert into dropper values (1, 'spoon', 0.05, 0, 0.4, '')",
        "insert into dropper values (1, 'drop', 0, 0, 0.4, '')",
        "insert into trial_step values (1, null, null, '', null, 'right', '')",
        "insert into trial_step values (1, 0.1, 0, '2 drops', null, 'lovely', '')",
        "insert into ingredient values (1, 0, 'Caraway', 0.3)",
    ],
)
def test_the_tables_refuse_nonsense(store, nonsense):
    with store.writing() as db:
        said(db, "dose", "a")
    with pytest.raises(sqlite3.IntegrityError):
        store.conn.execute(
            nonsense.format(at="2026-03-02T08:00:00.000000Z", by="'board', 'KL'", z="0, 0")
        )
