# SPDX-License-Identifier: GPL-3.0-or-later
"""Speed of the drape: the reference job, compiled and in array code, again, and by mesh size.

Gates hold the processor's seconds. All runs on one thread, so on a quiet machine the clock shows the
same; what it showed stands beside each. Where it shows much more, other programs held the processor
and its caches, and the processor's seconds too are too long.
"""

import json
import math
import subprocess
import sys
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

from ..rows import Row, at_most, reported
from .jobs import REFERENCE, Task
from .timing import say

__all__ = ["drape_once", "measure"]

ROOT = Path(__file__).resolve().parents[2]
EDGES_M = (0.036, 0.0255)
MORE_EDGES_M = (0.012, 0.009, 0.006)
"""The smallest makes about 2 × 40,000 vertices."""

LIMITS = {
    "compiled": {"first": (6.0, "goal 2 s"), "again": (1.5, "")},
    "array code": {"first": (20.0, "goal 8 s"), "again": (5.0, "")},
}


def drape_once(task: Task, *words: str) -> dict[str, Any]:
    """Make one drape in a process of its own; an error's last line stands in ``error``."""
    say(f"draping: {task.name} {' '.join(words)}".rstrip())
    command = [sys.executable, "-m", "tests.bench.one_drape", json.dumps(asdict(task)), *words]
    answer = subprocess.run(command, cwd=ROOT, capture_output=True, text=True)
    if answer.returncode != 0:
        last = (answer.stderr.strip().splitlines() or ["no message"])[-1]
        return {"task": task.name, "error": last}
    found: dict[str, Any] = json.loads(answer.stdout.splitlines()[-1])
    return found


def measure(whole: bool) -> list[Row]:
    """The rows; with ``whole`` up to 2 × 40,000 vertices."""
    rows: list[Row] = []
    times = {}
    for way, words in (("compiled", ("again",)), ("array code", ("again", "array-code"))):
        found = drape_once(REFERENCE, *words)
        if "error" in found:
            rows.append(Row(name=f"{way}: reference job", figure=None, reference=found["error"]))
            continue
        times[way] = found
        rows += _rows(way, found)
    if len(times) == 2:
        ratio = times["array code"]["cpu_s"] / times["compiled"]["cpu_s"]
        rows.append(reported("array code over compiled, processor time", ratio, "times"))
    return rows + (_growth(times["compiled"], whole) if "compiled" in times else [])


def _rows(way: str, found: dict[str, Any]) -> list[Row]:
    shape_s = found["true_to_shape_s"]
    rows = [
        reported(f"{way}: vertices a layer", found["vertices"], ""),
        _timed(f"{way}: dressed and at rest", found, *LIMITS[way]["first"]),
        at_most(f"{way}: first picture true to shape", shape_s, "s", 1.5),
        at_most(f"{way}: peak memory", found["memory_mb"], "MB", 1000.0),
        reported(f"{way}: iterations", found["iterations"], ""),
        reported(f"{way}: factorizations", found["factorizations"], ""),
    ]
    for what, later in found["again"].items():
        rows.append(_timed(f"{way}: again after a changed {what}", later, *LIMITS[way]["again"]))
    return rows


def _timed(name: str, found: dict[str, Any], most_s: float, goal: str) -> Row:
    """Processor seconds against their gate; beside them the clock's, and if it is no sound drape."""
    words = [goal] if goal else []
    words.append(f"{found['wall_s']:.3g} s by the clock")
    if not found["converged"]:
        words.append("not at rest or not sound")
    return at_most(name, found["cpu_s"], "s", most_s, "; ".join(words))


def _growth(reference: dict[str, Any], whole: bool) -> list[Row]:
    sizes = [reference]
    for edge_m in (*EDGES_M, *(MORE_EDGES_M if whole else ())):
        sizes.append(drape_once(replace(REFERENCE, edge_m=edge_m)))
    sizes = sorted((one for one in sizes if "error" not in one), key=lambda one: one["vertices"])
    rows = [
        reported(
            f"2 × {one['vertices']} vertices",
            one["cpu_s"],
            "s",
            reference=f"{one['wall_s']:.3g} s by the clock; {one['memory_mb']:.0f} MB",
        )
        for one in sizes
    ]
    least, most = sizes[0], sizes[-1]
    growth = math.log(most["vertices"] / least["vertices"])
    power = math.log(most["cpu_s"] / least["cpu_s"]) / growth if growth else math.nan
    span = f"from 2 × {least['vertices']} to 2 × {most['vertices']}"
    return [*rows, at_most("cost grows with vertices to the power of", power, "", 1.3, span)]
