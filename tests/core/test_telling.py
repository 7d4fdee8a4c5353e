# SPDX-License-Identifier: GPL-3.0-or-later
"""Values as they are told: no finer than they are known, in the reader's units."""

from napfold.core.telling import Telling


def test_lengths_are_told_no_finer_than_they_are_known() -> None:
    assert Telling("cm").length(0.6234) == "62.5 cm"
    assert Telling("cm").length(0.6211) == "62 cm"
    assert Telling("in").length(0.6234) == "24 1/2 in"
    assert Telling("cm").chosen(0.6211) == "62.1 cm"
    assert Telling("in").thickness(0.0035) == "0.14 in"
    assert Telling("cm").thickness(0.0035) == "3.5 mm"
    assert Telling("cm").measure("body_mass", 61.4) == "61 kg"
    assert Telling("in").measure("body_mass", 61.4) == "135 lb"


def test_what_is_wrong_with_a_drape_is_told_in_the_readers_units() -> None:
    words = "The cloth reaches 2.5 mm into the body."
    assert Telling("cm").sentence(words) == words
    assert Telling("in").sentence(words) == "The cloth reaches 0.10 in into the body."


def test_areas_volumes_and_pressures_are_told_to_two_figures() -> None:
    assert Telling("cm").about_area(0.01234) == "120 cm²"
    assert Telling("in").about_area(0.0645) == "100 in²"
    assert Telling("cm").volume(0.00872) == "8.7 litres"
    assert Telling("in").volume(0.0082) == "500 in³"
    # an ounce is 28.35 g, and a square inch 6.4516 cm²
    assert Telling("cm").pressure(98.0665) == "1.0 g on each cm²"
    assert Telling("in").pressure(98.0665 * 28.35 / 6.4516) == "1.0 oz on each in²"
