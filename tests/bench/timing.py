# SPDX-License-Identifier: GPL-3.0-or-later
"""Time taken, and telling how far the bench is."""

import time
from collections.abc import Callable
from typing import TypeVar

__all__ = ["cpu_seconds", "say"]

Result = TypeVar("Result")


def cpu_seconds(work: Callable[[], Result], times: int) -> tuple[float, Result]:
    """Least processor time of several runs, and the last result: other programs count for less."""
    best = float("inf")
    for _ in range(times):
        start = time.process_time()
        result = work()
        best = min(best, time.process_time() - start)
    return best, result


def say(text: str) -> None:
    """Tell how far the bench is."""
    print(f"  .. {text}", flush=True)
