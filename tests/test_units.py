from __future__ import annotations

import subprocess
import sys

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedwright.units import (
    AREA,
    LENGTH,
    MASS,
    VOLUME,
    Dimension,
    System,
    UnitError,
    area_measure,
    long_measure,
    parse,
    parse_temperature,
    say_area,
    say_depth,
    say_difference,
    say_length,
    say_liquid,
    say_long,
    say_measure,
    say_temperature,
    say_volume,
    say_weight,
    trim,
)

FOOT, INCH = 0.3048, 0.0254


@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("4 ft 6 in", LENGTH, 4 * FOOT + 6 * INCH),
        ("4 ft, 6 in", LENGTH, 4 * FOOT + 6 * INCH),
        ("4' 6\"", LENGTH, 4 * FOOT + 6 * INCH),
        ("4'-6\"", LENGTH, 4 * FOOT + 6 * INCH),
        ("4 ft - 6 in", LENGTH, 4 * FOOT + 6 * INCH),
        ("1-1/2 in", LENGTH, 1.5 * INCH),
        ("1,500 lb", MASS, 1500 * 0.45359237),
        ("1,000 L", VOLUME, 1.0),
        ("0,125 m", LENGTH, 0.125),
        ("1.4m", LENGTH, 1.4),
        ("2,5 m", LENGTH, 2.5),
        ("-3 m", LENGTH, -3.0),
        ("−40 cm", LENGTH, -0.4),
        ("1 1/2 in", LENGTH, 1.5 * INCH),
        ("48 sq ft", AREA, 48 * FOOT**2),
        ("4.5 m2", AREA, 4.5),
        ("4.5 m²", AREA, 4.5),
        ("3 cu ft", VOLUME, 3 * FOOT**3),
        ("1/2 cu yd", VOLUME, 0.5 * 27 * FOOT**3),
        ("0.5 m3", VOLUME, 0.5),
        ("40 L", VOLUME, 0.040),
        ("1½ cups", VOLUME, 1.5 * 0.0002365882365),
        ("40 lb", MASS, 40 * 0.45359237),
        ("1 lb 4 oz", MASS, 1.25 * 0.45359237),
        ("1 ton", MASS, 2000 * 0.45359237),
    ],
)
def test_quantities_as_people_write_them(text: str, dimension: Dimension, value: float) -> None:
    # Factors: NIST Special Publication 811, appendix B.8 (foot, pound, gallon are exact).
    assert parse(text, dimension) == pytest.approx(value, rel=1e-9)


@pytest.mark.parametrize(
    "bad", ["4", 4, 4.0, "", "ft", "4 fot", "4 lb", "1/0 m", None, "4 ft x", "-", "4 - ft"]
)
def test_what_is_no_length_is_refused_with_what_is(bad: object) -> None:
    with pytest.raises(UnitError, match="is not a length with its unit, such as"):
        parse(bad, LENGTH)


@pytest.mark.parametrize(
    ("text", "celsius"), [("28 °F", -2.2222222), ("-2 C", -2.0), ("50F", 10.0), ("0 °C", 0.0)]
)
def test_temperatures(text: str, celsius: float) -> None:
    assert parse_temperature(text) == pytest.approx(celsius)


def test_a_temperature_without_scale_is_refused() -> None:
    with pytest.raises(UnitError, match="with its scale"):
        parse_temperature("28")


def test_output_in_both_systems() -> None:
    assert say_length(1.35, "metric") == "1.35 m"
    assert say_length(0.35, "metric") == "35 cm"
    assert say_length(4.5 * FOOT, "us") == "4 ft 6 in"
    assert say_length(0.2, "us") == "8 in"
    assert say_area(4.46, "us") == "48 sq ft"
    assert say_volume(0.0283168, "us") == "1 cu ft"
    assert say_volume(0.345, "metric") == "345 L"
    assert say_weight(18.1437, "us") == "40 lb"
    assert say_weight(0.25, "metric") == "250 g"
    assert say_temperature(0.0, "us") == "32 °F"
    assert say_depth(0.006, "us") == "¼ in"
    assert say_depth(0.006, "metric") == "6 mm"


def test_cups_go_down_to_spoons() -> None:
    cup = 0.0002365882365
    assert say_measure(2.25 * cup, "us") == "2¼ cups"
    assert say_measure(cup, "us") == "1 cup"
    assert say_measure(cup / 8, "us") == "2 tbsp"
    assert say_measure(cup / 96, "us") == "½ tsp"
    assert say_measure(0.0042, "metric") == "4.2 L"
    assert say_measure(0.000233, "metric") == "235 mL"


def test_lengths_below_zero_keep_feet_and_inches_together() -> None:
    assert say_length(-52 * INCH, "us") == "−4 ft 4 in"
    assert say_length(-57 * INCH, "us") == "−4 ft 9 in"
    assert say_length(-1.5, "metric") == "−1.50 m"
    assert say_length(-0.0001, "metric") == "0 cm"
    assert parse("−4 ft 4 in", LENGTH) == pytest.approx(-52 * INCH)
    assert parse("-4 ft 4 in", LENGTH) == pytest.approx(-52 * INCH)


def test_short_lengths_are_finer() -> None:
    assert say_length(1.7 * INCH, "us") == "1¾ in"
    assert say_length(17.5 * INCH, "us") == "17½ in"
    assert say_length(0.25 * INCH, "us") == "¼ in"
    assert say_liquid(0.2945, "us") == "80 gal"
    assert say_liquid(0.254, "metric") == "255 L"


@given(st.floats(0.4, 900.0))
def test_lengths_in_feet_and_inches_come_back_within_half_an_inch(metres: float) -> None:
    assert parse(say_length(metres, "us"), LENGTH) == pytest.approx(metres, abs=INCH / 2 + 1e-9)


@given(st.floats(0.001, 1e6))
def test_trim_never_ends_in_a_point_or_needless_zero(value: float) -> None:
    text = trim(value, 2)
    assert not text.endswith(".")
    assert "." not in text or not text.endswith("0")


@pytest.mark.parametrize("text", ["9" * 400 + " m", "1e999 m", "1 " * 5000 + "m", "1/" + "9" * 400])
def test_numbers_beyond_all_measure_are_refused(text: str) -> None:
    with pytest.raises(UnitError, match="a length with its unit"):
        parse(text, LENGTH)


def test_a_temperature_of_hundreds_of_digits_is_refused() -> None:
    with pytest.raises(UnitError, match="with its scale"):
        parse_temperature("9" * 400 + " °F")


@pytest.mark.parametrize("dimension", [LENGTH, AREA, VOLUME, MASS], ids=lambda d: d.name)
def test_every_unit_word_is_worth_what_pint_says(dimension: Dimension) -> None:
    registry = pint.UnitRegistry()
    for word, unit in dimension.words.items():
        factor = registry.Quantity(1.0, unit).to(dimension.si).magnitude
        assert parse(f"1 {word}", dimension) == pytest.approx(factor, rel=4e-16, abs=0), word


def test_plain_units_are_read_without_pint() -> None:
    code = (
        "import sys; from bedwright.units import *;"
        "parse('4 ft 6 in', LENGTH), parse('2 m2', AREA), parse('40 L', VOLUME);"
        "parse('40 lb', MASS); assert 'pint' not in sys.modules;"
        "parse('2 gal', VOLUME); assert 'pint' in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True, timeout=120)


@pytest.mark.parametrize(
    ("celsius", "system", "words"),
    [(-17.9, "us", "0 °F"), (-0.2, "metric", "0 °C"), (-18.6, "us", "-1 °F"), (2.2, "us", "36 °F")],
)
def test_no_temperature_is_minus_nought(celsius: float, system: System, words: str) -> None:
    assert say_temperature(celsius, system) == words


def test_less_than_a_gram_is_not_nothing() -> None:
    assert say_weight(0.0004, "metric") == "0.4 g"
    assert say_weight(0.004, "metric") == "4 g"


def test_long_lengths_areas_and_differences_are_in_one_unit_alone() -> None:
    """By the international foot, 0.3048 m."""
    assert long_measure(30.48, "us") == (pytest.approx(100.0), "ft")
    assert long_measure(30.48, "metric") == (30.48, "m")
    assert area_measure(FOOT * FOOT, "us") == (pytest.approx(1.0), "sq ft")
    assert say_long(1240.0, "metric") == "1,240 m"
    assert say_long(1240.0, "us") == "4,068 ft"
    assert say_long(3.048, "us", ".1f") == "10.0 ft"
    assert say_difference(4.0, "us") == "7 °F"
    assert say_difference(1.5, "metric", 1) == "1.5 °C"
