from __future__ import annotations

import dataclasses
import shutil
import tomllib
from datetime import time
from pathlib import Path

import pytest

from steepboard.domain.records import Instrument, Separation
from steepboard.errors import BadSettings
from steepboard.settings import default_file, load


def own(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "settings.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_without_a_file_the_defaults_hold(tmp_path: Path) -> None:
    settings = load()
    assert load(tmp_path / "missing.toml") == settings
    assert settings.steep.days == 14
    assert settings.steep.separation is Separation.HAND
    assert settings.reminders.stir_at == time(9, 0)
    assert settings.arithmetic.solids_ml_per_g == 0.62


def test_every_key_of_the_default_file_is_a_setting_and_the_other_way_round() -> None:
    document = tomllib.loads(default_file().read_text(encoding="utf-8"))
    read = dataclasses.asdict(load())
    assert {table: set(keys) for table, keys in document.items()} == {
        table: set(keys) for table, keys in read.items()
    }


def test_every_default_is_explained_above_it() -> None:
    lines = default_file().read_text(encoding="utf-8").splitlines()
    above = ""
    for line in lines:
        if " = " in line and not line.startswith("#"):
            assert above.startswith("# "), line
        else:
            above = line
    assert sum(" = " in line for line in lines if not line.startswith("#")) > 10


def test_a_file_of_ones_own_changes_what_it_names_and_no_more(tmp_path: Path) -> None:
    path = own(
        tmp_path,
        '[steep]\ndays = 10\nseparation = "drip"\n[reminders]\nstir_at = "21:30"\n'
        '[clock]\nzone = "Europe/Lisbon"\n[instruments]\nvolume_step_ml = 5\n',
    )
    settings, plain = load(path), load()
    assert (settings.steep.days, settings.steep.separation) == (10, Separation.DRIP)
    assert settings.reminders.stir_at == time(21, 30)
    assert settings.clock.zone == "Europe/Lisbon"
    assert settings.instruments.volume_step_ml == 5.0
    assert settings.steep.kept_ml == plain.steep.kept_ml
    assert settings.arithmetic == plain.arithmetic


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("[steep]\ndasy = 10\n", "steep.dasy is not a setting. The nearest one is steep.days"),
        ("[stepe]\n", "[stepe] is not a setting. The nearest one is [steep]"),
        ("[instruments]\nscale_most_g = -1\n", "a number from 0 to 100000"),
        ("[instruments]\nhydrometer_step = 1\n", "a number from 0.0001 to 0.1"),
        ("[instruments]\nscale_step_g = 0\n", "a number from 0.001 to 100"),
        ("[steep]\ndays = 401\n", "a whole number from 1 to 400"),
        ("[stepe]\ndays = 10\n", "[stepe] is not a setting. The nearest one is [steep]"),
        ("days = 10\n", "days stands outside a table such as"),
        ('[steep]\ndays = "ten"\n', "steep.days is 'ten'; it must be a whole number from 1 to 400"),
        ("[steep]\ndays = true\n", "steep.days is True; it must be a whole number"),
        ("[steep]\ndays = 0\n", "steep.days is 0; it must be a whole number"),
        ("[steep]\nkept_ml = nan\n", "steep.kept_ml is nan; it must be a number from 0 to 1000"),
        ('[steep]\nseparation = "wring"\n', 'it must be one of "drip", "pressed by hand"'),
        ('[reminders]\nstir_at = "9"\n', "it must be a time of day such as"),
        ('[reminders]\nstir_at = "25:00"\n', "it must be a time of day such as"),
        ('[reminders]\nquiet_to = "24:00"\n', "it must be a time of day such as"),
        ("[reminders]\ntaste_from_day = 0\n", "a whole number from 1 to 400"),
        ("[reminders]\ntaste_every_days = 61\n", "a whole number from 1 to 60"),
        ("[reminders]\ngroup_minutes = -1\n", "a whole number from 0 to 120"),
        ('[clock]\nzone = "Mars/Base"\n', 'it must be a time zone such as "Europe/Lisbon"'),
        ('[clock]\nzone = "../etc/passwd"\n', "it must be a time zone"),
        ("[person]\ninitials = 5\n", "it must be text in quotes"),
        ('[look]\ntheme = "pink"\n', 'it must be one of "dark", "light"'),
        ("[steep\n", "is not readable as settings"),
    ],
)
def test_a_wrong_setting_is_told_with_file_and_key(tmp_path: Path, text: str, told: str) -> None:
    path = own(tmp_path, text)
    with pytest.raises(BadSettings) as fault:
        load(path)
    assert str(path) in str(fault.value)
    assert told in str(fault.value)


def test_a_file_that_is_not_text_is_told(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    path.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(BadSettings, match="not readable as settings"):
        load(path)


def test_the_defaults_are_found_in_the_package_first_and_beside_it_otherwise(
    tmp_path: Path,
) -> None:
    package = tmp_path / "steepboard"
    inside, beside = package / "config" / "settings.toml", tmp_path / "config" / "settings.toml"
    for place in (beside, inside):
        place.parent.mkdir(parents=True)
        shutil.copy(default_file(), place)
    assert default_file(package) == inside
    assert load(defaults=default_file(package)) == load()
    inside.unlink()
    assert default_file(package) == beside
    assert load(defaults=default_file(package)) == load()


def test_defaults_that_are_missing_are_told(tmp_path: Path) -> None:
    with pytest.raises(BadSettings, match="cannot be read"):
        load(defaults=tmp_path / "settings.toml")


def test_a_time_of_day_may_be_written_as_toml_knows_it(tmp_path: Path) -> None:
    path = own(tmp_path, "[reminders]\nstir_at = 21:30:00\n")
    assert load(path).reminders.stir_at == time(21, 30)


def test_a_folder_in_the_place_of_the_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(BadSettings, match="directory"):
        load(tmp_path)


def test_what_a_scale_bears_says_on_which_one_a_mass_was_weighed(tmp_path):
    house = load().instruments
    assert house.scale_for(500) is Instrument.FINE_SCALE
    assert house.scale_for(500.1) is Instrument.KITCHEN_SCALE
    assert (house.mass_step_g(500), house.mass_step_g(501)) == (0.1, 1.0)
    own = "[instruments]\nscale_step_g = 0.5\nscale_most_g = 0\n"
    (tmp_path / "settings.toml").write_text(own)
    none_fine = load(tmp_path / "settings.toml").instruments
    assert none_fine.mass_step_g(40) == 1.0
