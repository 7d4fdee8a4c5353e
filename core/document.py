# SPDX-License-Identifier: GPL-3.0-or-later
"""Nested tables of a document, read with errors that a person can act on."""

from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from typing import Any

from .errors import InputError
from .units import Quantity, parse_quantity

__all__ = ["Table", "flat", "look_up", "nested", "put", "shown", "take_out"]

_MOST_SHOWN = 60
_MOST_DEPTH = 4


def shown(value: object) -> str:
    """A value as a person wrote it in a TOML file, cut off when it is long."""
    match value:
        case str():
            text = f'"{value}"'
        case bool():
            text = str(value).lower()
        # what is inside may be large or deep
        case Mapping():
            text = "a table"
        case list() | tuple():
            text = f"a list of {len(value)}"
        case _:
            text = str(value)
    return _one_line(text)


def _one_line(text: str) -> str:
    short = text if len(text) <= _MOST_SHOWN else f"{text[:_MOST_SHOWN]}..."
    return short if short.isprintable() else ascii(short)


class Table:
    """One table of a document, read key by key.

    Parameters
    ----------
    path
        Dotted name of the table, empty for the document itself.
    content
        What stands there.
    known
        Keys that may stand in the table.

    Raises
    ------
    InputError
        The content is not a table, or a key is not known; the nearest known key is suggested.
    """

    def __init__(self, path: str, content: object, known: Iterable[str]) -> None:
        self.path = path
        if not isinstance(content, Mapping):
            raise InputError(
                path, shown(content), "a table of keys", f'start it with a line "[{path}]"'
            )
        self.content: Mapping[str, object] = content
        known = tuple(known)
        for key in self.content:
            if key not in known:
                nearest = get_close_matches(key[:_MOST_SHOWN], known, n=8)
                listed = nearest if nearest and len(known) > 24 else known
                raise InputError(
                    _one_line(self._name(key)),
                    "not a key that is known",
                    ", ".join(listed) + (" and others" if listed is nearest else ""),
                    f"write {nearest[0]} if that is what you mean"
                    if nearest
                    else "use one of these keys, or leave it out",
                )

    def _name(self, key: str) -> str:
        return f"{self.path}.{key}" if self.path else key

    def __contains__(self, key: str) -> bool:
        return key in self.content

    def _require(self, key: str, allowed: str) -> object:
        if key not in self.content:
            raise InputError(self._name(key), "missing", allowed, f"add a line for {key}")
        return self.content[key]

    def table(self, key: str, known: Iterable[str]) -> "Table":
        """A table inside this one; an absent one is read as empty."""
        return Table(self._name(key), self.content.get(key, {}), known)

    def tables(self, key: str, known: Iterable[str]) -> tuple["Table", ...]:
        """A list of tables inside this one; an absent one is read as empty."""
        content = self.content.get(key, [])
        if not (
            isinstance(content, list | tuple) and all(isinstance(one, Mapping) for one in content)
        ):
            name = self._name(key)
            raise InputError(
                name, shown(content), "a list of tables", f'start each with a line "[[{name}]]"'
            )
        return tuple(Table(self._name(key), part, known) for part in content)

    def quantity(self, key: str, quantity: Quantity) -> float:
        """A required quantity with its unit, in SI."""
        allowed = f"a {quantity} with its unit"
        content = self._require(key, allowed)
        if not isinstance(content, str):
            raise InputError(
                self._name(key), shown(content), allowed, "write number and unit, both in quotes"
            )
        return parse_quantity(quantity, self._name(key), content)

    def lines(self, key: str, allowed: str) -> tuple[str, ...]:
        """A required text, or a list of one or more."""
        content = self._require(key, allowed)
        lines = content if isinstance(content, list | tuple) else (content,)
        if not lines or not all(isinstance(line, str) for line in lines):
            raise InputError(
                self._name(key),
                shown(content),
                allowed,
                "write it in quotes; several between [ and ], with commas",
            )
        return tuple(str(line) for line in lines)

    def quantities(self, key: str, quantity: Quantity) -> tuple[float, ...]:
        """A required quantity with its unit, or a list of them, in SI."""
        lines = self.lines(key, f"one {quantity} with its unit, or a list of them")
        return tuple(parse_quantity(quantity, self._name(key), line) for line in lines)

    def points(self, key: str) -> tuple[tuple[float, float], ...]:
        """A required list of points, each two numbers."""
        allowed = "a list of points, such as [[412, 300], [409, 322]]"
        content = self._require(key, allowed)

        def is_point(point: object) -> bool:
            return (
                isinstance(point, list | tuple)
                and len(point) == 2
                and all(type(number) in (int, float) for number in point)
            )

        if not isinstance(content, list | tuple) or not all(map(is_point, content)):
            raise InputError(
                self._name(key), shown(content), allowed, "write x and y of each between [ and ]"
            )
        return tuple((float(x), float(y)) for x, y in content)

    def text(self, key: str, most_characters: int) -> str:
        """A required text of one printable line."""
        allowed = f"a text of 1 to {most_characters} characters"
        content = self._require(key, allowed)
        if (
            not isinstance(content, str)
            or not content.strip()
            or len(content) > most_characters
            or not content.isprintable()
        ):
            raise InputError(
                self._name(key), shown(content), allowed, "write one line of plain text in quotes"
            )
        return content

    def word(self, key: str, allowed: Iterable[str]) -> str:
        """A required word out of a list; the nearest one is suggested."""
        allowed = tuple(allowed)
        content = self._require(key, ", ".join(allowed))
        self._check_word(key, content, allowed)
        return str(content)

    def words(self, key: str, allowed: Iterable[str]) -> tuple[str, ...]:
        """A required list of one or more different words out of a list."""
        allowed = tuple(allowed)
        content = self._require(key, ", ".join(allowed))
        if not isinstance(content, list | tuple) or not content:
            raise InputError(
                self._name(key),
                shown(content),
                f"a list with one or more of {', '.join(allowed)}",
                "write the words in quotes, between [ and ]",
            )
        for place, word in enumerate(content):
            self._check_word(key, word, allowed)
            if word in content[:place]:
                raise InputError(
                    self._name(key), shown(word), "each word once", "leave out the second one"
                )
        return tuple(str(word) for word in content)

    def _check_word(self, key: str, word: object, allowed: tuple[str, ...]) -> None:
        if word in allowed:
            return
        # a slip of the fingers hardly ever hits the first letter: "dancing" is not "standing"
        alike = [known for known in allowed if known[:1].lower() == str(word)[:1].lower()]
        nearest = get_close_matches(str(word)[:_MOST_SHOWN], alike, n=1)
        raise InputError(
            self._name(key),
            shown(word),
            ", ".join(allowed),
            f'write "{nearest[0]}" if that is what you mean' if nearest else "choose one of these",
        )

    def whole_number(self, key: str, low: int, high: int) -> int:
        """A required whole number from low to high."""
        allowed = f"a whole number from {low} to {high}"
        content = self._require(key, allowed)
        if isinstance(content, bool) or not isinstance(content, int) or not low <= content <= high:
            raise InputError(self._name(key), shown(content), allowed, "choose one in this range")
        return content

    def number(self, key: str, low: float, high: float) -> float:
        """A required number without a unit, from low to high."""
        allowed = f"a number from {low:g} to {high:g}"
        content = self._require(key, allowed)
        if type(content) not in (int, float) or not low <= float(str(content)) <= high:
            raise InputError(
                self._name(key), shown(content), allowed, "write it without quotes and unit"
            )
        return float(str(content))

    def truth(self, key: str) -> bool:
        """A required true or false."""
        content = self._require(key, "true, false")
        if not isinstance(content, bool):
            raise InputError(
                self._name(key), shown(content), "true, false", "write one of them without quotes"
            )
        return content


def look_up(document: Mapping[str, object], key: str) -> object:
    """The value at a dotted key; None if there is none."""
    value: object = document
    for part in key.split("."):
        value = value.get(part) if isinstance(value, Mapping) else None
    return value


def put(document: dict[str, Any], key: str, value: object) -> None:
    """Set the value at a dotted key; tables on the way are made, and other values give way."""
    *path, last = key.split(".")
    for part in path:
        if not isinstance(document.get(part), dict):
            document[part] = {}
        document = document[part]
    document[last] = value


def take_out(document: dict[str, Any], key: str) -> bool:
    """Take the value at a dotted key out; false if there is none."""
    *path, last = key.split(".")
    table = look_up(document, ".".join(path)) if path else document
    if not isinstance(table, dict) or last not in table:
        return False
    del table[last]
    return True


def flat(document: Mapping[str, object], prefix: str = "") -> dict[str, object]:
    """The same values under dotted keys, lists as tuples; empty tables are lost.

    Tables deeper than any job file has are left as they are, for their reader to refuse.
    """
    values: dict[str, object] = {}
    for key, value in document.items():
        if isinstance(value, Mapping) and prefix.count(".") < _MOST_DEPTH:
            values |= flat(value, f"{prefix}{key}.")
        else:
            values[prefix + key] = tuple(value) if isinstance(value, list) else value
    return values


def nested(values: Mapping[str, object]) -> dict[str, Any]:
    """The document that :func:`flat` gives these values for."""
    document: dict[str, Any] = {}
    for key, value in values.items():
        put(document, key, list(value) if isinstance(value, tuple) else value)
    return document
