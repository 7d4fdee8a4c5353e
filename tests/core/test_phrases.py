# SPDX-License-Identifier: GPL-3.0-or-later
"""Words with gaps: text to all who read it, and said anew in another language."""

import json

from napfold.core.landing import land
from napfold.core.phrases import Phrase, joined, kept, phrase, recalled, said

GERMAN = {
    "ends {place}": "endet {place}",
    "{distance} above {level}": "{distance} über {level}",
    "the knee": "Knie",
}


def german(template: str) -> str:
    return GERMAN.get(template, template)


def test_a_phrase_is_its_english_text() -> None:
    told = phrase("ends {place}", place=phrase("at the wrist"))
    assert told == "ends at the wrist"
    assert f"{told}!" == "ends at the wrist!"
    # braces in words without gaps are left alone
    assert phrase("100 % {as it is}") == "100 % {as it is}"


def test_it_is_said_with_every_part_translated_and_numbers_as_they_are() -> None:
    landing = land(0.50, {phrase("the knee"): 0.45, phrase("the floor"): 0.0})
    told = phrase("ends {place}", place=landing.words(lambda value_m: f"{value_m * 100:.0f} cm"))
    assert told == "ends 5 cm above the knee"
    assert said(told, german) == "endet 5 cm über Knie"
    assert said(joined("; ", (told, "My wrap")), german) == "endet 5 cm über Knie; My wrap"
    assert said("the knee", german) == "the knee"  # a name that a user chose


def test_kept_as_plain_data_it_comes_back_the_same() -> None:
    told = joined(" ", (phrase("ends {place}", place=phrase("the {odd}")), "12 cm", phrase("")))
    again = recalled(json.loads(json.dumps(kept(told))))
    assert isinstance(again, Phrase)
    assert again == told
    assert said(again, german) == "endet the {odd} 12 cm "
