# SPDX-License-Identifier: GPL-3.0-or-later
"""A long computation, pulled in slices of time so that a window stays alive; no bpy here."""

import time
from collections.abc import Callable, Generator
from typing import Generic, TypeVar

__all__ = ["Task"]

Step = TypeVar("Step")
Result = TypeVar("Result")


class Task(Generic[Step, Result]):
    """Pulls a generator for at most a given time at once.

    Parameters
    ----------
    generator
        Yields its progress and returns its result.
    budget_s
        Time that one `step` may take, in seconds. A step pulls at least once, and pulls again
        only while another pull as long as the last one still fits.
    clock
        Rising time in seconds.

    Attributes
    ----------
    latest
        The newest progress, None before the first.
    finished
        True when the generator has returned or was closed.
    result
        What it returned, None until then.
    """

    def __init__(
        self,
        generator: Generator[Step, None, Result],
        budget_s: float,
        clock: Callable[[], float] = time.perf_counter,
    ) -> None:
        self._generator = generator
        self._budget_s = budget_s
        self._clock = clock
        self.latest: Step | None = None
        self.result: Result | None = None
        self.finished = False

    def step(self) -> None:
        """Pull for one slice of time; an error inside the generator comes out here."""
        start = before = self._clock()
        while not self.finished:
            self._pull()
            now = self._clock()
            if (now - start) + (now - before) > self._budget_s:
                return
            before = now

    def close(self) -> None:
        """Give the computation up."""
        self._generator.close()
        self.finished = True

    def _pull(self) -> None:
        try:
            self.latest = next(self._generator)
        except StopIteration as end:
            self.result = end.value
            self.finished = True
        except BaseException:
            self.finished = True
            raise
