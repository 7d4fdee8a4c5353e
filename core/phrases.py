# SPDX-License-Identifier: GPL-3.0-or-later
"""Words with gaps: plain text that still knows its template, so that it can be said in another language.

Core speaks English, in one place. Whoever shows its words in another language translates templates
and has the gaps filled again.
"""

from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType
from typing import Any

__all__ = ["Phrase", "joined", "kept", "phrase", "recalled", "said"]

NO_VALUES: Mapping[str, str] = MappingProxyType({})


class Phrase(str):
    """A text that remembers how it was made; in all else a plain text.

    Attributes
    ----------
    template
        The words, with named gaps in braces.
    values
        What fills the gaps; phrases themselves, or what is the same in every language: numbers
        with units, names.
    """

    __slots__ = ("template", "values")
    template: str
    values: Mapping[str, str]

    def __new__(cls, template: str, values: Mapping[str, str] = NO_VALUES) -> "Phrase":
        self = super().__new__(cls, template.format(**values) if values else template)
        self.template, self.values = template, values
        return self


def phrase(template: str, **values: str) -> Phrase:
    """Words whose named gaps are filled."""
    return Phrase(template, values)


def joined(separator: str, parts: Iterable[str]) -> Phrase:
    """Several texts in a row, as ``separator.join`` makes them."""
    values = {f"part_{place}": part for place, part in enumerate(parts)}
    return Phrase(separator.join(f"{{{name}}}" for name in values), values)


def said(text: str, translate: Callable[[str], str]) -> str:
    """A text in another language; what is no phrase is left as it is."""
    if not isinstance(text, Phrase):
        return text
    template = translate(text.template)
    if not text.values:
        return template
    return template.format(**{name: said(part, translate) for name, part in text.values.items()})


def kept(text: str) -> object:
    """A text as plain data for JSON, from which `recalled` makes it again."""
    if not isinstance(text, Phrase):
        return str(text)
    return [text.template, {name: kept(part) for name, part in text.values.items()}]


def recalled(data: Any) -> str:
    """The text of `kept`."""
    if isinstance(data, str):
        return data
    template, values = data
    return Phrase(template, {name: recalled(part) for name, part in values.items()})
