# SPDX-License-Identifier: GPL-3.0-or-later
"""Both translations are complete, and hold nothing that Blender does not show."""

import re

import pytest

from .installed import Extension
from .spoken import all_texts

pytestmark = pytest.mark.addon


@pytest.mark.parametrize("language", ["de_DE", "fr_FR"])
def test_every_text_is_translated_and_nothing_else(extension: Extension, language: str) -> None:
    words = extension("blender_addon.translations").LANGUAGES[language]
    texts = all_texts(extension)
    assert len(texts) > 300
    assert sorted(texts - set(words)) == []
    assert sorted(set(words) - texts) == []


@pytest.mark.parametrize("language", ["de_DE", "fr_FR"])
def test_translations_keep_gaps_and_carry_no_full_stop_of_their_own(
    extension: Extension, language: str
) -> None:
    for text, told in extension("blender_addon.translations").LANGUAGES[language].items():
        gaps = [sorted(re.findall(r"\{\w*\}", words)) for words in (text, told)]
        assert gaps[0] == gaps[1], text
        assert told.endswith(".") == text.endswith("."), text
        assert told == told.strip()
