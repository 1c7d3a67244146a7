"""From the schema before it to the one that keeps what is not tasted yet, with a trial in it."""

from __future__ import annotations

import pytest

from steepboard.domain.bench import Verdict
from steepboard.domain.readings import Measured
from steepboard.errors import RecordUnusable
from steepboard.store import migrations, steps, trials
from steepboard.store.connect import Store
from steepboard.store.rows import stamp
from tests.shelves import MORNING
from tests.store.test_house_step import TRIAL, said


@pytest.fixture
def store(tmp_path, monkeypatch):
    """Give a record of the ninth schema with a trial of one step, brought up to date."""
    path = tmp_path / "shelf.db"
    with monkeypatch.context() as patch:
        patch.setattr(migrations, "STEPS", steps.STEPS[:9])
        before = Store(path)
        with before.writing() as db:
            db.execute("insert into jar values (1, 'CARA-01', 'Caraway')")
            db.execute("insert into bottle values (7, 'CARA-01-A', 'CARA-01', 1, 'Caraway')")
            for number, act in enumerate(("keep", "step"), 1):
                db.execute(
                    "insert into house_entry values (?, 'trial', ?, ?, ?, 'command', 'KL', null)",
                    [number, TRIAL.code, act, stamp(MORNING)],
                )
            trials.add_trial(db, 1, TRIAL, 7)
            trials.add_step(db, 2, Verdict.LITTLE, "", Measured(0.1, 0.0), "4 drops")
        before.close()
    return Store(path)


def test_steps_stay_and_drops_may_wait_from_now_on(store):
    """What a trial had is there; what is added after its last step waits."""
    (trial,) = trials.trials(store)
    assert [step.typed for step in trial.steps] == ["4 drops"]
    assert (trial.untasted, trial.remark) == ((), "")
    with store.writing() as db:
        trials.add_untasted(
            db, said(db, "trial", TRIAL.code, "step"), Measured(0.025, 0.0), "1 drop"
        )
        trials.add_remark(db, said(db, "trial", TRIAL.code, "step"), "thin")
    (trial,) = trials.trials(store)
    assert [one.typed for one in trial.untasted] == ["1 drop"]
    assert trial.remark == "thin"


@pytest.mark.parametrize(
    "row", ["null, null, '', null", "0.1, 0, '', 'thin'", "0, 0, '', null", "null, null, '', ' '"]
)
def test_what_is_neither_an_addition_nor_a_remark_is_kept_out(store, row):
    """An addition has mL and their step; a remark has words; no row has both."""
    with store.writing() as db:
        entry = said(db, "trial", TRIAL.code, "step")
    with pytest.raises(RecordUnusable), store.writing() as db:
        db.execute(f"insert into trial_added values ({entry}, {row})")
