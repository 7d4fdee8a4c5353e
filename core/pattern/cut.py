# SPDX-License-Identifier: GPL-3.0-or-later
"""The cut: a maker's choices, each checked against what the others leave room for."""

from dataclasses import dataclass, replace
from typing import Any

from ..errors import InputError
from ..units import require_range
from .choices import Choices, Corner, Front, Shoulder
from .ranges import LEAST_CORNER_M, ranges

__all__ = ["Cut", "fitted"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut(Choices):
    """Choices that go together: what can be cut and sewn.

    Raises
    ------
    RangeError
        A length is outside what can be cut, with the range that the other choices leave.
    InputError
        Two choices do not go together.
    """

    def __post_init__(self) -> None:
        if self.front is Front.OVERLAPPING and not self.seamed:
            raise InputError(
                "cut.front",
                f'"{self.front}"',
                f'"{Front.EDGE_TO_EDGE}" or "{Front.CLOSED}" with the shoulders on the fold',
                f'write shoulder = "{Shoulder.SEAMED}" beside it: two fronts wider than half do not '
                "come out of one folded length",
            )
        # in this order each range only uses values that have passed
        for name, low_m, high_m, remedy in ranges(self):
            value_m: float = getattr(self, f"{name}_m")
            # nothing of what may be left out is always allowed
            most_m = high_m if low_m else max(high_m, 0.0)
            require_range(f"cut.{name}", value_m, low_m, most_m, remedy, quantity="length")

    @property
    def limits(self) -> dict[str, tuple[float, float]]:
        """Least and greatest of each length, as the other choices leave it, by its name, metres."""
        return {
            name: (low_m, high_m if low_m else max(high_m, 0.0))
            for name, low_m, high_m, _ in ranges(self)
        }


def fitted(cut: Cut, **changes: Any) -> Cut:
    """The cut with these changes, its corner no larger than they leave room for.

    Raises
    ------
    RangeError
        There is no such cut.
    """
    wanted: dict[str, Any] = {"corner": cut.corner, "corner_radius_m": cut.corner_radius_m}
    wanted |= changes
    probe = replace(cut, **changes | {"corner": Corner.SQUARE})
    probe = replace(probe, corner=wanted["corner"], corner_radius_m=LEAST_CORNER_M)
    size_m = min(wanted["corner_radius_m"], probe.largest_corner_m)
    return replace(probe, corner_radius_m=size_m)
