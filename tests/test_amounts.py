from __future__ import annotations

import math
import subprocess
import sys
import unicodedata
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steepboard import amounts
from steepboard.amounts import (
    Amount,
    parse_days,
    parse_fraction,
    parse_mass,
    parse_part,
    parse_ratio,
    parse_span,
    parse_strength,
    parse_temperature,
    parse_volume,
)
from steepboard.errors import BadAmount

Parser = Callable[[str], Amount]
PARSERS: list[Callable[[str], object]] = [
    parse_mass,
    parse_volume,
    parse_strength,
    parse_temperature,
    parse_fraction,
    parse_part,
    parse_ratio,
    parse_days,
]

# By the definitions of NIST Handbook 44, appendix C: 1 US fluid ounce = 29.5735295625 mL, 8 to the
# cup, 2 tablespoons and 6 teaspoons to the ounce; 1 ounce = 28.349523125 g, 16 to the pound.
FL_OZ, OZ = 29.5735295625, 28.349523125

READ: list[tuple[Parser, str, float, str, str]] = [
    (parse_mass, "26 g", 26, "g", "26 g"),
    (parse_mass, "26,5g", 26.5, "g", "26,5 g"),
    (parse_mass, "1.5 oz", 42.5242846875, "g", "1.5 oz → 42.5 g"),
    (parse_mass, "1/2 lb", 226.796185, "g", "1/2 lb → 226.8 g"),
    (parse_mass, "0.3 kg", 300, "g", "0.3 kg → 300 g"),
    (parse_mass, "450 mg", 0.45, "g", "450 mg → 0.45 g"),
    (parse_volume, "1.5oz", 44.36029434375, "mL", "1.5 oz → 44.4 mL"),
    (parse_volume, "1 1/2 oz", 44.36029434375, "mL", "1 1/2 oz → 44.4 mL"),
    (parse_volume, "2 fl. oz.", 59.147059125, "mL", "2 fl. oz. → 59.1 mL"),
    (parse_volume, "½ cup", 118.29411825, "mL", "1/2 cup → 118.3 mL"),
    (parse_volume, "1½ cup", 354.88235475, "mL", "1 1/2 cup → 354.9 mL"),
    (parse_volume, "1 ½ cups", 354.88235475, "mL", "1 1/2 cups → 354.9 mL"),
    (parse_volume, "1⁄2 cup", 118.29411825, "mL", "1/2 cup → 118.3 mL"),
    (parse_volume, "180ml", 180, "mL", "180 mL"),
    (parse_volume, "0,75 l", 750, "mL", "0,75 L → 750 mL"),
    (parse_volume, "0,750 l", 750, "mL", "0,750 L → 750 mL"),
    (parse_volume, "70 cl", 700, "mL", "70 cl → 700 mL"),
    (parse_volume, "2 tsp", 9.8578431875, "mL", "2 tsp → 9.86 mL"),
    (parse_volume, "1 Tbsp", 14.78676478125, "mL", "1 Tbsp → 14.8 mL"),
    (parse_volume, "5 ML", 5, "mL", "5 mL"),
    (parse_volume, ".5 L", 500, "mL", ".5 L → 500 mL"),
    # A convention of ours, from memory: 0.9 mL a dash, 20 drops to the mL.
    (parse_volume, "2 dashes", 1.8, "mL", "2 dashes → 1.8 mL"),
    (parse_volume, "10 drops", 0.5, "mL", "10 drops → 0.5 mL"),
    (parse_strength, "40%", 0.4, "fraction", "40 %"),
    (parse_strength, "40 % abv", 0.4, "fraction", "40 %"),
    (parse_strength, "62,5 % vol.", 0.625, "fraction", "62,5 %"),
    (parse_strength, "0 %", 0, "fraction", "0 %"),
    (parse_strength, "200 proof", 1, "fraction", "200 proof → 100 %"),
    (parse_temperature, "68F", 20, "°C", "68 °F → 20 °C"),
    (parse_temperature, "20 °C", 20, "°C", "20 °C"),
    (parse_temperature, "20 ºc", 20, "°C", "20 °C"),
    (parse_temperature, "−5 ℃", -5, "°C", "-5 °C"),
    (parse_temperature, "-40 F", -40, "°C", "-40 °F → -40 °C"),
    (parse_fraction, "11%", 0.11, "fraction", "11 %"),
    (parse_fraction, "0.11", 0.11, "fraction", "0.11 → 11 %"),
]


@pytest.mark.parametrize(("parse", "typed", "value", "unit", "echo"), READ)
def test_an_amount_is_read_by_its_definition(
    parse: Parser, typed: str, value: float, unit: str, echo: str
) -> None:
    amount = parse(typed)
    assert amount.value == pytest.approx(value, rel=1e-12, abs=1e-9)
    assert (amount.unit, amount.echo) == (unit, echo)


def test_an_ounce_weighs_a_botanical_and_measures_a_liquid() -> None:
    assert parse_mass("1 oz").value == pytest.approx(OZ)
    assert parse_volume("1 oz").value == pytest.approx(FL_OZ)


@pytest.mark.parametrize("word", ["oz", "OZ.", "ounce", "ounces"])
def test_an_ounce_is_the_same_however_it_is_written(word: str) -> None:
    assert parse_mass(f"8 {word}").value == pytest.approx(8 * OZ)
    assert parse_volume(f"8 {word}").value == pytest.approx(8 * FL_OZ)


def test_us_proof_is_a_little_stronger_at_20_degrees_than_half_its_number() -> None:
    amount = parse_strength("80 proof")
    # Ethanol and its mixes expand by 0.15 to 0.2 % from 60 °F to 20 °C, ethanol the most.
    assert 0.4 < amount.value < 0.402
    assert amount.echo == "80 proof → 40.1 %"


@pytest.mark.parametrize(
    ("parse", "typed", "step"),
    [
        (parse_mass, "26 g", 1),
        (parse_mass, "26.0 g", 0.1),
        (parse_mass, "12 1/2 g", 1 / 2),
        (parse_volume, "1000 mL", 1),
        (parse_mass, "0.30 kg", 10),
        (parse_volume, "0.750 l", 1),
        (parse_volume, "70.0 cl", 1),
        (parse_volume, "1.50 oz", 0.01 * FL_OZ),
        (parse_strength, "45 %", 0.01),
        (parse_strength, "45.5 %", 0.001),
        (parse_strength, "90 proof", 0.005),
        (parse_temperature, "68 F", 5 / 9),
        (parse_fraction, "0.11", 0.01),
        (parse_fraction, "11.5 %", 0.001),
    ],
)
def test_the_resolution_is_one_step_of_the_last_place_typed(
    parse: Parser, typed: str, step: float
) -> None:
    assert parse(typed).resolution == pytest.approx(step, rel=1e-9)


@pytest.mark.parametrize(
    ("parse", "typed", "step"),
    # 5 % of the value, as the doubt about a kitchen measure: assumed.
    [
        (parse_volume, "1 cup", 0.05 * 8 * FL_OZ),
        (parse_volume, "1½ cup", 0.05 * 12 * FL_OZ),
        (parse_volume, "1 L", 50),
        (parse_volume, "2 tsp", 0.05 * FL_OZ / 3),
        (parse_volume, "1.5 oz", 0.05 * 1.5 * FL_OZ),
        (parse_mass, "1 lb", 0.05 * 16 * OZ),
    ],
)
def test_a_round_amount_in_a_kitchen_unit_is_doubted_by_a_twentieth(
    parse: Parser, typed: str, step: float
) -> None:
    assert parse(typed).resolution == pytest.approx(step, rel=1e-9)


def test_nothing_in_a_big_unit_is_no_coarser_than_nothing_in_a_small_one() -> None:
    assert parse_volume("0 L", zero=True).resolution == 1


@pytest.mark.parametrize(
    ("parse", "typed", "reason"),
    [
        (parse_volume, "40 g", "“40 g” is a mass; a volume is wanted here."),
        (parse_mass, "300 mL", "“300 mL” is a volume; a mass is wanted here."),
        (parse_mass, "45 %", "“45 %” is a strength; a mass is wanted here."),
        (parse_strength, "20 °C", "“20 °C” is a temperature; a strength is wanted here."),
        (parse_mass, "", "No amount was given."),
        (parse_mass, " \n ", "No amount was given."),
        (parse_mass, "40", "“40” has no unit."),
        (parse_strength, "40", "“40” has no unit."),
        (parse_mass, "nan g", "does not begin with a number"),
        (parse_mass, "inf g", "does not begin with a number"),
        (parse_mass, "1e3 g", "“e3 g” is not a unit of mass"),
        (parse_mass, "9**9**9 g", "is not a unit of mass"),
        (parse_mass, "1 oz + 2 g", "is not a unit of mass"),
        (parse_mass, "1 lb 4 oz", "is not a unit of mass"),
        (parse_mass, "1 pinch", "is not a unit of mass"),
        (parse_mass, "2 gr", "is not a unit of mass"),
        (parse_mass, "1,000 g", "can be read as 1000 or as 1.000"),
        (parse_mass, "12,500 g", "can be read as 12500 or as 12.500"),
        (parse_mass, "1.2.3 g", "1.2.3 has more than one point or comma"),
        (parse_mass, "1,234.5 g", "1,234.5 has more than one point or comma"),
        (parse_mass, "5. g", "No digit follows the . in “5. g”."),
        (parse_mass, "1/ g", "No digit follows the / in “1/ g”."),
        (parse_mass, "0.0000001 g", "0.0000001 has too many digits"),
        (parse_mass, "1234567890 g", "1234567890 has too many digits"),
        (parse_mass, "1/2/3 g", "1/2/3 is not a fraction that can be read here"),
        (parse_mass, ". g", "does not begin with a number"),
        (parse_temperature, "999999999 c", "is no temperature of a jar"),
        (parse_mass, "1/0 g", "cannot have 0 below"),
        (parse_mass, "-5 g", "must be more than 0"),
        (parse_mass, "0 g", "must be more than 0"),
        (parse_mass, "999999 kg", "too much"),
        (parse_mass, "4" * 60 + " g", "too long"),
        (parse_strength, "101 %", "Nothing is stronger than 100 %"),
        (parse_strength, "250 proof", "Nothing is stronger than 100 %"),
        (parse_strength, "-1 %", "must be 0 or more"),
        (parse_fraction, "11", "is not a part of a whole"),
        (parse_fraction, "101 %", "is not a part of a whole"),
        (parse_fraction, "0.1 g", "has no unit but %, not “g”"),
        (parse_fraction, "11 % abv", "has no unit but %, not “% abv”"),
    ],
)
def test_what_is_not_an_amount_of_the_kind_is_refused(
    parse: Parser, typed: str, reason: str
) -> None:
    with pytest.raises(BadAmount) as refused:
        parse(typed)
    assert reason in refused.value.reason
    assert refused.value.typed == typed
    assert parse(refused.value.example)


def test_nothing_at_all_is_an_amount_for_a_reading_only() -> None:
    assert parse_volume("0 mL", zero=True).value == 0
    with pytest.raises(BadAmount, match="0 or more"):
        parse_volume("-1 mL", zero=True)


@pytest.mark.parametrize(
    ("typed", "n"),
    [
        ("1:5", 5),
        ("5", 5),
        ("1 : 5,5", 5.5),
        (":8", 8),
        ("1/5", 5),
        ("1 / 5,5", 5.5),
        ("5 1/2", 5.5),
        ("1:5½", 5.5),
    ],
)
def test_a_ratio_is_millilitres_for_each_gram(typed: str, n: float) -> None:
    assert parse_ratio(typed) == n


BAD_RATIOS = [
    "2:5",
    "2/5",
    "11/2",
    "1/0",
    "1:0",
    "1:-5",
    "1:5 mL",
    "1/5 mL",
    "five",
    "",
    "1:5:6",
    "1/5/6",
    ":",
    "1/",
]


@pytest.mark.parametrize(
    ("typed", "value", "unit", "echo"),
    [
        ("2", 2, "part", "2 parts"),
        ("1 part", 1, "part", "1 part"),
        ("1½ parts", 1.5, "part", "1 1/2 parts"),
        ("40 g", 40, "g", "40 g"),
        ("0.5kg", 500, "g", "0.5 kg → 500 g"),
    ],
)
def test_a_share_is_grams_or_parts(typed: str, value: float, unit: str, echo: str) -> None:
    found = parse_part(typed)
    assert (found.value, found.unit) == (pytest.approx(value), unit)
    assert found.echo == echo


@pytest.mark.parametrize("typed", ["0 parts", "-1", "2 ml", "two"])
def test_what_is_no_share_is_refused(typed: str) -> None:
    with pytest.raises(BadAmount):
        parse_part(typed)


@pytest.mark.parametrize("typed", BAD_RATIOS)
def test_what_is_not_a_ratio_is_refused(typed: str) -> None:
    with pytest.raises(BadAmount, match=r"is not a ratio\. Write it like 1:5\."):
        parse_ratio(typed)


near_amounts = st.text("0123456789.,/½¾ -−+%°ºCFgmlLozcupabvproof²٣", max_size=14)


@settings(deadline=None)
@given(st.one_of(st.text(max_size=60), near_amounts))
def test_any_text_is_read_or_refused_in_one_plain_line(text: str) -> None:
    for parse in PARSERS:
        try:
            found = parse(text)
        except BadAmount as refused:
            assert_plain(str(refused))
            continue
        if isinstance(found, Amount):
            assert math.isfinite(found.value)
            assert found.resolution > 0
            assert_plain(found.typed + found.echo)


def assert_plain(line: str) -> None:
    assert not {unicodedata.category(c) for c in line} & {"Cc", "Cs", "Zl", "Zp"}


def test_pint_is_loaded_only_when_something_is_converted() -> None:
    code = (
        "import sys; from steepboard.amounts import parse_mass, parse_ratio\n"
        "parse_ratio('1:5'); assert 'pint' not in sys.modules\n"
        "parse_mass('40 g'); assert 'pint' in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


def test_the_examples_of_refusals_are_understood() -> None:
    for kind in amounts._KINDS:
        assert amounts._amount(kind.example, kind, zero=False).echo == kind.example


@pytest.mark.parametrize(
    ("text", "read", "span"),
    [
        ("1:6-1:12", parse_ratio, (6, 12)),
        ("6 to 12", parse_ratio, (6, 12)),
        ("1:8", parse_ratio, (8, 8)),
        ("9–13 %", parse_fraction, (0.09, 0.13)),
        ("0,09 - 0,13", parse_fraction, (0.09, 0.13)),
        ("45-60%", parse_strength, (0.45, 0.6)),
        ("1 1/2 - 3 days", parse_days, (1.5, 3)),
        ("6 h to 2 days", parse_days, (0.25, 2)),
        ("3-6 h", parse_days, (0.125, 0.25)),
        ("4 days", parse_days, (4, 4)),
    ],
)
def test_a_least_and_a_most_are_read_with_the_unit_behind(text, read, span):
    assert parse_span(text, read) == pytest.approx(span)


@pytest.mark.parametrize(
    ("text", "read", "told"),
    [
        ("8-3", parse_ratio, "the first is more than the second"),
        ("1-2-3", parse_days, "more than two amounts"),
        ("many", parse_ratio, "not a ratio"),
        ("-3", parse_days, "not a number of days or hours"),
        ("2 weeks", parse_days, "not a number of days or hours"),
        ("45 % to", parse_strength, "No amount was given"),
        ("", parse_days, "No amount was given"),
    ],
)
def test_what_is_no_span_is_told_with_an_example(text, read, told):
    with pytest.raises(BadAmount, match=told) as caught:
        parse_span(text, read)
    assert "Write it like" in str(caught.value)
