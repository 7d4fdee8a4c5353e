# SPDX-License-Identifier: GPL-3.0-or-later
"""Work in slices: generators that pause often and give their result at the end."""

from collections.abc import Generator
from typing import Any, TypeVar

__all__ = ["Slices", "finished"]

Result = TypeVar("Result")
Slices = Generator[None, None, Result]
"""Work that pauses so that whoever drives it can keep a window alive."""


def finished(work: Generator[Any, None, Result]) -> Result:
    """Do all of the work at once and give its result."""
    while True:
        try:
            next(work)
        except StopIteration as end:
            result: Result = end.value
            return result
