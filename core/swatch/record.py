# SPDX-License-Identifier: GPL-3.0-or-later
"""The swatch record: all that a maker read off one piece of cloth."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import cast

from ..errors import InputError
from ..units import require_range
from .readings import READINGS

__all__ = ["Content", "Swatch"]

Content = float | int | tuple[float, ...] | tuple[tuple[float, float], ...]
_REMEDY = "measure again, and check the unit"

# A reading that means nothing without another one
_NEEDS = MappingProxyType(
    {
        "piece_mass": "piece",
        "piece": "piece_mass",
        "round_shadow_mass": "round_ring_mass",
        "round_outline": "round_ruler",
    }
)
_LEAST_POINTS = 12
_MOST_READINGS = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Swatch:
    """Readings of one cloth, several of each where there are.

    Parameters
    ----------
    given
        By the keys of `READINGS`, in SI: a number, a tuple of numbers, or of points (x, y). A
        tilt may be the angle alone.

    Raises
    ------
    InputError
        An unknown key, a reading that is none or is impossible, or one that lacks another.
    """

    given: Mapping[str, Content] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for key, content in self.given.items():
            if key not in READINGS:
                raise InputError(
                    f"cloth.swatch.{key}",
                    "no such reading",
                    ", ".join(READINGS),
                    "use one of these",
                )
            _check(key, content)
        for key, other in _NEEDS.items():
            if key in self.given and other not in self.given:
                raise InputError(
                    f"cloth.swatch.{other}",
                    "missing",
                    f"what belongs to {key}",
                    f"add a line for {other}",
                )
        object.__setattr__(self, "given", MappingProxyType(dict(self.given)))

    def __contains__(self, key: str) -> bool:
        return key in self.given

    def one(self, key: str) -> float:
        """A single reading, or what the printed sheet asks for."""
        content = self.given.get(key, READINGS[key].usual)
        return float(cast(float, content))

    def many(self, key: str) -> tuple[float, ...]:
        """All readings of a kind; none where the test was not made."""
        return cast("tuple[float, ...]", self.given.get(key, ()))

    def sides(self, key: str) -> tuple[float, float]:
        """Both sides of a piece or a board."""
        return cast("tuple[float, float]", self.given.get(key, READINGS[key].usual))

    def points(self, key: str) -> tuple[tuple[float, float], ...]:
        """Points of a picture."""
        return cast("tuple[tuple[float, float], ...]", self.given.get(key, ()))


def _check(key: str, content: Content) -> None:
    reading = READINGS[key]
    name = f"cloth.swatch.{key}"
    match reading.form:
        case "one" | "count":
            values: tuple[object, ...] = (content,)
        case "sides":
            values = cast("tuple[float, ...]", content)
            if len(values) != 2:
                raise InputError(name, f"{len(values)} sides", "two sides", "write both")
        case "points":
            points = cast("tuple[tuple[float, float], ...]", content)
            least, most = (2, 2) if key == "round_ruler" else (_LEAST_POINTS, _MOST_READINGS * 10)
            if not least <= len(points) <= most:
                raise InputError(
                    name, f"{len(points)} points", f"{least} to {most} points", "click more of them"
                )
            values = tuple(coordinate for point in points for coordinate in point)
        case _:
            values = cast("tuple[float, ...]", content)
            if not 1 <= len(values) <= _MOST_READINGS:
                raise InputError(
                    name, f"{len(values)} readings", f"1 to {_MOST_READINGS}", "write what you read"
                )
    for value in values:
        number = float(cast(float, value))
        require_range(
            name,
            number if math.isfinite(number) else math.nan,
            reading.low,
            reading.high,
            _REMEDY,
            quantity=reading.quantity,
        )
