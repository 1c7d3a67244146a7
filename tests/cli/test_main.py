from __future__ import annotations

import os
import sqlite3
import stat
import subprocess
import sys
from pathlib import Path

import click
import pytest

from steepboard.cli.main import steepboard
from tests.cli.running import done, refused, run, value

SLOW = ("textual", "pint", "apscheduler", "sqlite_utils", "desktop_notifier", "uncertainties")
# Names under which spirit unfit to drink is sold; from memory.
POISONS = ("methylated spirit", "denatured alcohol", "methanol", "isopropyl", "white spirit")
COMMANDS = steepboard.list_commands(click.Context(steepboard))
CARAWAY = ("charge", "caraway", "40g", "300ml", "45%")


def program(*args, **options):
    """Run the real program in a process of its own."""
    words = [sys.executable, "-m", "steepboard", *map(str, args)]
    return subprocess.run(words, check=False, capture_output=True, text=True, timeout=60, **options)


def test_the_commands_are_those_that_are_promised():
    assert set(COMMANDS) == {
        "demo", "watch", "today", "week", "jars", "jar", "plan", "charge", "stir", "strain",
        "later", "remind", "away", "calendar",
        "losses", "learned", "dilute", "blend", "density", "undo", "service", "doctor",
        "botanicals", "spirits", "bottle", "bottles", "draw", "topup", "combine", "count", "empty",
        "label", "tape", "record", "export", "import", "dose", "dropper", "bench", "formula",
        "stock", "par", "ahead", "sold", "price", "costs",
    }  # fmt: skip


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_help_with_an_example_of_itself(tmp_path, name):
    text = done(tmp_path, name, "--help")
    assert f"Example: steepboard {name}" in text
    assert "--help" in text


@pytest.mark.parametrize("name", COMMANDS)
def test_what_a_command_does_fits_the_list_of_commands(tmp_path, name):
    (line,) = [line for line in done(tmp_path, "--help").splitlines() if f"  {name} " in line]
    assert not line.endswith("...")


def test_the_version_is_told(tmp_path):
    assert done(tmp_path, "--version").startswith("steepboard 0.")


@pytest.mark.parametrize(
    "words",
    [
        ("draw", "CARA-01-A", "-5ml"),
        ("charge", "caraway", "-40g", "300ml", "45%"),
        ("par", "caraway", "-.5ml"),
        ("price", "spirit", "rye", "-3"),
        ("bench", "add", "-3 drops", "little"),
    ],
)
def test_an_amount_below_zero_is_told_as_such_and_not_as_an_option(tmp_path, words):
    assert refused(tmp_path, *words, code=2).startswith("An amount cannot be negative. See `")
    told = refused(tmp_path, "strain", "CARA-01", "--recovered", "-3ml", code=2)
    assert "A volume must be more than 0." in told


@pytest.mark.parametrize(
    "words",
    [
        ("frobnicate",),
        ("today", "--frobnicate"),
        ("stir",),
        ("charge", "caraway", "40g", "300ml"),
        ("charge", "caraway", "40ml", "300ml", "45%"),
        ("charge", "caraway", "much", "300ml", "45%"),
        ("charge", "\x1b", "40g", "300ml", "45%"),
        (*CARAWAY, "--held", "-1"),
        (*CARAWAY, "--held", "nan"),
        (*CARAWAY, "--days", "0"),
        (*CARAWAY, "--days", "5", "--strain-on", "2026-03-09"),
        ("charge", "caraway"),
        ("charge", "CARA-01", "--days", "5"),
        ("charge", "CARA-01", "--dried"),
        (*CARAWAY, "--spirit", "one", "--spirit", "two"),
        ("blend", "300ml", "40%", "200ml"),
        ("blend",),
        ("dilute", "--volume", "1kg", "--from", "96%", "--to", "40%"),
        ("dilute", "--volume", "1L", "--from", "101%", "--to", "40%"),
        ("density",),
        ("density", "--strength", "40%", "--reading", "0.9"),
        ("plan", "--strength", "45%"),
        ("plan", "--want", "250ml"),
        ("plan", "--like", "CARA-01", "--botanical", "caraway"),
        (
            "plan",
            "--want",
            "250ml",
            "--strength",
            "45%",
            "--botanical",
            "caraway 2",
            "--botanical",
            "fennel 10g",
        ),
        ("plan", "--want", "250ml", "--strength", "45%", "--charge"),
        ("strain", "CARA-01", "--marc", "110ml"),
        ("--by", "MUCHTOOLONG", "today"),
    ],
    ids=" ".join,
)
def test_a_wrong_call_ends_with_2_and_one_line(tmp_path, words):
    line = refused(tmp_path, *words, code=2)
    assert line.endswith(".")
    before, see, _ = line.partition(" See `")
    assert not see or before.endswith((".", "?"))


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("jar", "CARA-09"), "CARA-09"),
        (("stir", "CARA-01", "CARA-09"), "CARA-09"),
        (("undo", "CARA-09"), "CARA-09"),
        (("dilute", "--volume", "1L", "--from", "40%", "--to", "96%"), "96 %"),
        (("blend", "300ml", "40%", "--temperature", "50C"), "temperature"),
        (("density", "--reading", "2"), "density: 2 is not allowed"),
        (("density", "--reading", "0.2"), "0.99820 g/mL"),  # published: water, OIML R 22
        (("density", "--reading", "nan"), "density"),
        (("density", "--strength", "40%", "--temperature", "-21C"), "-21"),
        ((*CARAWAY, "--temperature", "60C"), "60"),
        ((*CARAWAY, "--spirit", "methylated"), "methylated"),
        ((*CARAWAY, "--strain-on", "2020-01-01"), "days until the strain"),
        (("charge", "quassia", "8g", "100ml", "45%"), "--acknowledge"),
        (("charge", "CARA-01"), "steeping"),
        (("charge", "CARA-09"), "CARA-09"),
        (("plan", "--want", "1L", "--strength", "45%", "--spirit", "methanol"), "methanol"),
        (("plan", "--want", "1L", "--strength", "45%", "--botanical", "fuel"), "fuel"),
        (("plan", "--want", "250ml", "--strength", "45%", "--ratio", "1", "--held", "9"), "1:1"),
        ((), "terminal"),
    ],
    ids=lambda words: " ".join(words) if isinstance(words, tuple) else "",
)
def test_a_refusal_ends_with_1_and_one_line_that_says_why(tmp_path, words, said):
    done(tmp_path, *CARAWAY)
    assert said in refused(tmp_path, *words, code=1)


def test_a_name_of_several_words_is_to_be_quoted(tmp_path):
    said = refused(tmp_path, "strain", "lemon", "balm", code=2)
    assert "argument (balm). Put a name of several words in quotes. See " in said
    words = ("plan", "--want", "250ml", "--strength", "45%", "--botanical", "lemon", "balm")
    said = refused(tmp_path, *words, code=2)
    assert "argument (balm). Say what steeps as --botanical NAME, several words of a" in said


def test_a_plan_of_a_bare_name_says_how_to_name_what_steeps(tmp_path):
    said = refused(tmp_path, "plan", "caraway", "--want", "200ml", code=2)
    assert "argument (caraway). Say what steeps as --botanical NAME, several words" in said


def test_a_refused_charge_leaves_no_jar(tmp_path):
    refused(tmp_path, *CARAWAY, "--temperature", "60C", code=1)
    refused(tmp_path, *CARAWAY, "--spirit", "methylated spirit", code=1)
    assert value(tmp_path, "jars") == []


@pytest.mark.parametrize("word", POISONS)
def test_no_spirit_that_poisons_is_poured_however_it_is_written(tmp_path, word):
    hidden = f"{word[:2]}\u200b{word[2:]}"  # a space that is not seen
    assert refused(tmp_path, *CARAWAY, "--spirit", hidden.upper(), code=1)


@pytest.mark.parametrize("word", POISONS)
def test_a_poison_in_place_of_the_strength_is_refused_for_what_it_is(tmp_path, word):
    """As one argument and as several, of a jar and of a plan."""
    plan = ("plan", "--want", "250ml", "--botanical", "caraway")
    for words in (
        (*CARAWAY[:-1], word),
        (*CARAWAY[:-1], *word.split()),
        (*CARAWAY[:-1], "--spirit", word),
        (*plan, "--strength", word),
        (*plan, "--strength", "45%", "--from", word),
        (*plan, "--spirit", word),
    ):
        assert "is not for drinking" in refused(tmp_path, *words, code=1)


@pytest.mark.parametrize(
    "fault",
    [sqlite3.OperationalError("disk I/O error"), OSError(5, "Input/output error", "/x/shelf.db")],
)
def test_a_fault_of_disk_or_database_is_one_line(tmp_path, monkeypatch, fault):
    def fail(*args):
        raise fault

    monkeypatch.setattr("steepboard.services.views.shelf", fail)
    assert refused(tmp_path, "today", code=1)


def test_an_interrupt_is_no_traceback(tmp_path, monkeypatch):
    def interrupt(*args):
        raise KeyboardInterrupt

    monkeypatch.setattr("steepboard.services.views.shelf", interrupt)
    result = run(tmp_path, "today")
    assert (result.exit_code, result.stderr.strip()) == (1, "Stopped.")


def test_a_damaged_record_is_said_in_one_line_and_left_alone(tmp_path):
    (tmp_path / "shelf.db").write_bytes(b"a shopping list, no record" * 99)
    assert "shelf.db" in refused(tmp_path, "today", code=1)
    assert (tmp_path / "shelf.db").read_bytes().startswith(b"a shopping list")


def test_settings_that_cannot_be_read_are_said_in_one_line(tmp_path):
    (tmp_path / "settings.toml").write_text('[clock]\nzone = "Nowhere/Land"\n')
    assert "clock.zone" in refused(tmp_path, "today", code=1)


def test_a_home_that_is_a_file_is_refused(tmp_path):
    (tmp_path / "file").write_text("")
    assert "file" in refused(tmp_path / "file", "today", code=1)


def test_who_acts_is_named_by_option_settings_or_login(tmp_path):
    done(tmp_path, *CARAWAY)
    (tmp_path / "settings.toml").write_text('[person]\ninitials = "MH"\n')
    by_settings = program("--home", tmp_path, "stir", "CARA-01")
    assert by_settings.returncode == 0
    diary = value(tmp_path, "jar", "CARA-01")["diary"]
    assert [entry["initials"] for entry in diary] == ["KL", "MH"]


def test_record_and_folder_are_for_their_owner_alone(tmp_path):
    home = tmp_path / "new" / "shelf"
    assert program("--home", home, *CARAWAY, umask=0).returncode == 0
    assert stat.S_IMODE(home.stat().st_mode) == 0o700
    assert {stat.S_IMODE(path.stat().st_mode) for path in home.iterdir()} == {0o600}


def test_today_loads_nothing_that_is_slow(tmp_path):
    done(tmp_path, *CARAWAY)
    code = (
        "import sys\nfrom steepboard.cli.main import main\n"
        "try: main()\nexcept SystemExit: print(*sys.modules, sep='\\n', file=sys.stderr)"
    )
    words = [sys.executable, "-c", code, "--home", str(tmp_path), "today"]
    result = subprocess.run(words, capture_output=True, text=True, check=True)
    modules = result.stderr.splitlines()
    loaded = {line.partition(".")[0] for line in modules}
    assert "click" in loaded
    assert loaded.isdisjoint((*SLOW, "csv", "fpdf"))
    idle = ("steepboard.catalogue", "steepboard.services.learning", "steepboard.printing")
    assert [module for module in modules if module.startswith(idle)] == []


def test_a_reader_that_goes_away_leaves_no_traceback(tmp_path):
    for _ in range(3):
        done(tmp_path, *CARAWAY)
    reader, writer = os.pipe()
    os.close(reader)
    result = subprocess.run(
        [sys.executable, "-m", "steepboard", "--home", str(tmp_path), "jars"],
        check=False,
        stdout=writer,
        stderr=subprocess.PIPE,
        text=True,
    )
    os.close(writer)
    assert (result.returncode, result.stderr) == (1, "")


def test_an_output_that_cannot_be_written_is_said_to_be_that():
    with Path("/dev/full").open("w") as full:
        result = subprocess.run(
            [sys.executable, "-m", "steepboard", "blend", "300ml", "40%", "200ml", "96%"],
            check=False,
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
        )
    assert result.returncode == 1
    assert result.stderr.startswith("The output cannot be written: ")
    assert len(result.stderr.splitlines()) == 1


def test_a_plan_leaves_nothing_behind(tmp_path):
    home = tmp_path / "shelf"
    assert value(home, "plan", "--want", "250ml", "--strength", "45%", "--botanical", "caraway")
    assert not home.exists()


def test_a_terminal_that_lacks_a_sign_gets_a_question_mark(tmp_path):
    environment = {**os.environ, "PYTHONIOENCODING": "latin-1", "STEEPBOARD_HOME": str(tmp_path)}
    result = program("blend", "1cup", "40%", env=environment, encoding="latin-1")
    assert (result.returncode, result.stderr) == (0, "")
    assert "1 cup ? 236.6 mL" in result.stdout


def test_a_machine_without_a_zone_is_told_so_and_goes_by_utc(tmp_path):
    environment = {**os.environ, "TZ": "Nowhere/Land", "STEEPBOARD_HOME": str(tmp_path)}
    result = program("today", env=environment)
    assert result.returncode == 0
    assert "UTC" in result.stderr
    assert len(result.stderr.splitlines()) == 1
