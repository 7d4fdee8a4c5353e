# SPDX-License-Identifier: GPL-3.0-or-later
"""Quantities are read exactly, written back to the last bit and told as people say them."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from napfold.core.errors import InputError
from napfold.core.units import (
    UNIT_SYSTEMS,
    Quantity,
    RangeError,
    UnitSystem,
    format_quantity,
    parse_quantity,
    require_range,
    write_quantity,
)


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("150 cm", 1.5),
        ("1.5 m", 1.5),
        ("1,5 m", 1.5),
        ("15mm", 0.015),
        ("60 in", 1.524),
        ("1 1/2 yd", 1.3716),
        ("1½ yd", 1.3716),
        ("½ in", 0.0127),
        ("5 ft 6 in", 1.6764),
        ("5' 6 1/2\"", 1.6891),
        ("58″", 1.4732),
        ("1e-05 m", 1e-5),
        ("2 Yards", 1.8288),
    ],
)
def test_lengths_are_read_as_people_write_them(text: str, metres: float) -> None:
    assert parse_quantity("length", "cut.length", text) == metres


@pytest.mark.parametrize(
    ("quantity", "text", "value_si"),
    [
        ("mass", "62 kg", 62.0),
        ("mass", "640 g", 0.64),
        # 1 lb = 0.45359237 kg by definition
        ("mass", "1 lb", 0.45359237),
        ("mass", "16 oz", 0.45359237),
        ("mass per area", "280 g/m2", 0.28),
        ("mass per area", "280 g/m²", 0.28),
        ("mass per area", "280 gsm", 0.28),
        # 1 oz/yd2 = 33.906 g/m2 in textile tables
        ("mass per area", "1 oz/yd2", pytest.approx(0.033906, abs=5e-7)),
        ("angle", "180 deg", pytest.approx(3.141592653589793, rel=1e-15)),
        ("angle", "0.4 rad", 0.4),
    ],
)
def test_other_quantities_are_read(quantity: Quantity, text: str, value_si: float) -> None:
    assert parse_quantity(quantity, "key", text) == value_si


@given(st.integers(1, 400), st.sampled_from([1, 2, 4, 8]))
def test_one_length_is_one_number_in_every_unit(count: int, parts: int) -> None:
    """Inches, feet and yards of the same length give the same bits."""
    read = {
        parse_quantity("length", "key", text)
        for text in (
            f"{count}/{parts} in",
            f"{count}/{12 * parts} ft",
            f"{count}/{36 * parts} yd",
            f"{count * 25.4 / parts:.6f} mm",
        )
    }
    assert len(read) == 1


@pytest.mark.parametrize(
    ("text", "remedy"),
    [
        ("54", "add the unit"),
        ("1 1/2", "add the unit"),
        ("1,500 mm", "without a comma"),
        ("5 in 6 in", "as in the examples"),
        ("6 in 5 ft", "as in the examples"),
        ("5 ft 6", "as in the examples"),
        ("1/0 yd", "as in the examples"),
        ("-3 cm", "without the minus"),
        ("3 furlong", "as in the examples"),
        ("3 kg", "as in the examples"),
        ("", "as in the examples"),
        ("in", "as in the examples"),
        ("nan m", "as in the examples"),
        ("1 m\n", ""),
        ("9" * 61 + " m", "shorter"),
    ],
)
def test_what_is_not_a_length_is_refused(text: str, remedy: str) -> None:
    if not remedy:
        assert parse_quantity("length", "key", text) == 1.0  # white space round it does no harm
        return
    with pytest.raises(InputError, match="1 1/2 yd") as caught:
        parse_quantity("length", "cut.length", text)
    assert caught.value.key == "cut.length"
    assert remedy in caught.value.remedy


@given(st.text(max_size=80))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        value = parse_quantity("length", "key", text)
    except InputError:
        return
    assert value >= 0


@given(
    st.sampled_from(["length", "mass", "mass per area", "angle"]),
    st.floats(0, 1e3),
    st.sampled_from(UNIT_SYSTEMS),
)
def test_what_is_written_reads_back_to_the_last_bit(
    quantity: Quantity, value_si: float, units: UnitSystem
) -> None:
    text = write_quantity(quantity, value_si, units)
    assert parse_quantity(quantity, "key", text) == value_si


@pytest.mark.parametrize(
    ("quantity", "value_si", "units", "text"),
    [
        ("length", 1.3716, "in", "54 in"),
        ("length", 1.3716, "cm", "137.16 cm"),
        ("length", 0.1, "in", "10 cm"),  # no short number of inches is exactly this
        ("length", 0.00635, "in", "1/4 in"),
        ("mass per area", 0.64, "cm", "640 g/m2"),
        ("length", 1 / 3, "cm", "0.3333333333333333 m"),
    ],
)
def test_the_shortest_exact_writing_is_chosen(
    quantity: Quantity, value_si: float, units: UnitSystem, text: str
) -> None:
    assert write_quantity(quantity, value_si, units) == text


@pytest.mark.parametrize(
    ("quantity", "value_si", "units", "text"),
    [
        ("length", 0.972, "cm", "97.2 cm"),
        ("length", 0.972, "in", "38 1/4 in"),  # 38.268 in
        ("length", -0.0032, "in", "-1/8 in"),
        ("length", 0.0, "in", "0 in"),
        ("length", 0.0254 * 7.99, "in", "8 in"),
        ("mass", 0.64, "cm", "640 g"),
        ("mass", 1.456, "cm", "1.46 kg"),
        ("mass", 0.3, "in", "10.6 oz"),
        ("mass", 1.456, "in", "3.2 lb"),
        ("mass per area", 0.28, "cm", "280 g/m²"),
        ("mass per area", 0.28, "in", "8.3 oz/yd²"),
        ("angle", 0.4, "cm", "23 degrees"),
        ("bending rigidity", 14.2e-6, "in", "14 µN·m"),
        ("force per length", 3000.0, "in", "3000 N/m"),
        ("force per length", 3269.0, "cm", "3300 N/m"),
        ("number", 0.5, "cm", "0.5"),
        ("number", math.tan(math.radians(25)), "cm", "0.47"),
        ("length", float("nan"), "cm", "not a number"),
    ],
)
def test_quantities_are_told_rounded(
    quantity: Quantity, value_si: float, units: UnitSystem, text: str
) -> None:
    assert format_quantity(quantity, value_si, units) == text


@pytest.mark.parametrize("value_si", [0.0799, 0.4073, float("nan"), float("inf")])
def test_a_range_is_told_in_the_units_asked_for(value_si: float) -> None:
    with pytest.raises(RangeError, match=re.escape("8.0 cm to 40.7 cm")) as caught:
        require_range("cut.drop", value_si, 0.08, 0.4072, "make it fit", quantity="length")
    told = caught.value.retold("drop", "in", '"3 in"')
    assert str(told) == 'drop is "3 in"; allowed: 3 1/4 in to 16 in. Make it fit.'


@given(st.floats(0.01, 2), st.floats(0.02, 2), st.sampled_from(UNIT_SYSTEMS))
def test_the_bounds_that_are_told_are_allowed(low: float, width: float, units: UnitSystem) -> None:
    error = RangeError("key", 9.0, low, low + width, "do", quantity="length", units=units)
    for text in error.allowed.split(" to "):
        value = parse_quantity("length", "key", text)
        require_range("key", value, low, low + width, "do", quantity="length")
