# SPDX-License-Identifier: GPL-3.0-or-later
"""A long computation, pulled in slices of time so that a window stays alive; no bpy here."""

import time
from collections.abc import Callable, Generator
from typing import Generic, TypeVar

from ..core.drape.threads import one_thread

__all__ = ["Pace", "Task"]

# Progress is told once a second. What is computed is shown after a quarter second of it, or after one and a
# half times what showing it the last time cost.
TELL_S = 1.0
SHOW_S, DRAWING_SHARE = 0.25, 1.5

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
        """Pull for one slice of time, on one thread; an error inside the generator comes out here."""
        with one_thread():
            self._pull_while_it_fits()

    def _pull_while_it_fits(self) -> None:
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


class Pace:
    """When a long computation tells how far it is, and when it shows what it has.

    Where a window is slow to draw, it shows less often and goes on computing. The cost of showing is
    all that passed beside computing since: a window smooths what it shows over several drawings.

    Parameters
    ----------
    now_s
        The time at the start, in seconds of a rising clock, as below.
    """

    def __init__(self, now_s: float) -> None:
        self._told_s = self._shown_s = now_s
        self._computed_s = 0.0
        self._shown = False

    def due(self, began_s: float, now_s: float, *, ready: bool) -> tuple[bool, bool]:
        """Whether to tell and whether to show, after a slice from one time to the other.

        ``ready`` says whether there is something to show; the first of it is shown at once.
        """
        self._computed_s += now_s - began_s
        drawn_s = now_s - self._shown_s - self._computed_s
        worth = self._computed_s > max(SHOW_S, DRAWING_SHARE * drawn_s)
        show = ready and (worth or not self._shown)
        tell = show or now_s - self._told_s > TELL_S
        if tell:
            self._told_s = now_s
        if show:
            self._shown, self._shown_s, self._computed_s = True, now_s, 0.0
        return tell, show
