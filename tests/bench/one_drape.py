# SPDX-License-Identifier: GPL-3.0-or-later
"""Make one drape in a process of its own and print what was measured, as JSON.

    python -m tests.bench.one_drape TASK [WORD ...]

TASK is a `Task` as JSON. With the word *array-code* Numba is kept from being found; *cold* leaves
out the small drape that compiles before the clock starts; *soundness* measures the drape; *further*
lets it settle further; *again* drapes again from the first drape after one changed number: the
drop, the outer cloth, the bust girth.
"""

import dataclasses
import json
import resource
import sys
import time
from typing import Any

if "array-code" in sys.argv:
    sys.modules["numba"] = None  # as where it is not installed

from napfold.core.cloth import library
from napfold.core.drape import Drape, Progress, run, settle
from napfold.core.mannequin import Mannequin, build_mannequin
from napfold.core.pattern import build_pattern
from napfold.core.tape import Tape

from .counting import Counts, counted
from .jobs import Task, cloths, cut_for, tape_of
from .sound import further, soundness

SHAPE_M = 0.03
"""A picture on the way is true to shape when hem and sleeve ends are this near to the end's."""

INCH_M = 0.0254
OTHER_OUTER = "heavy fleece"
AGAIN = ("drop", "cloth", "girth")


class Watch:
    """Notes when the progress first shows, and goes on to show, the shape of the end."""

    def __init__(self) -> None:
        self.start = time.process_time()
        self.seen: list[tuple[float, tuple[float, ...]]] = []
        self._last: Any = None

    def __call__(self, progress: Progress) -> None:
        if progress.outer is self._last:
            return  # as before: nothing new to be shown
        self._last = progress.outer
        if progress.outer is not None and progress.panel is not None:
            places = _places(progress.outer, progress.panel)
            self.seen.append((time.process_time() - self.start, places))

    def true_to_shape_s(self, drape: Drape) -> float:
        """Seconds to the first picture from which on all are true to shape."""
        end = _places(drape.outer, drape.panel)
        since = time.process_time() - self.start
        for seconds, places in reversed(self.seen):
            if max(abs(a - b) for a, b in zip(places, end, strict=True)) > SHAPE_M:
                break
            since = seconds
        return since


def _places(outer: Any, panel: Any) -> tuple[float, ...]:
    ends = ("hem_back", "hem_front_left", "hem_front_right", "sleeve_end_left", "sleeve_end_right")
    return tuple(float(outer[panel.edges[end], 2].mean()) for end in ends)


def changed(task: Task, what: str, mannequin: Mannequin) -> tuple[Any, ...]:
    """What `settle` is given after one changed number, but for the pose and what follows it.

    A changed girth needs another mannequin, whose making counts.
    """
    cut, layers = cut_for(task), cloths(task)
    if what == "drop":
        cut = dataclasses.replace(cut, sleeve_drop_m=cut.sleeve_drop_m + INCH_M)
    elif what == "cloth":
        layers = (library()[OTHER_OUTER], layers[1])
    else:
        tape = tape_of(task)
        given = dict(tape.given)
        given["bust_girth"] += INCH_M
        mannequin = build_mannequin(Tape(sex=tape.sex, given=given))
    return build_pattern(cut), *layers, mannequin


def again(task: Task, what: str, earlier: Drape, mannequin: Mannequin) -> dict[str, Any]:
    """Drape again after one changed number."""
    wall, cpu = time.perf_counter(), time.process_time()
    with counted() as counts:
        given = changed(task, what, mannequin)
        drape = run(settle(*given, task.pose, task.edge_m, earlier=earlier))
    return {
        "wall_s": time.perf_counter() - wall,
        "cpu_s": time.process_time() - cpu,
        "converged": drape.converged,
        "reasons": list(drape.reasons),
        **dataclasses.asdict(Counts.of(counts)),
    }


def main(task: Task, words: list[str]) -> dict[str, Any]:
    """Drape and measure."""
    mannequin = build_mannequin(tape_of(task))
    garment = (build_pattern(cut_for(task)), *cloths(task), mannequin, task.pose)
    if "array-code" not in words and "cold" not in words:
        # compile, or read what was compiled before, outside of the times
        run(settle(*garment, 0.06))
    with counted() as counts:
        watch = Watch()
        wall, cpu = time.perf_counter(), time.process_time()
        drape = run(settle(*garment, task.edge_m), watch)
        wall, cpu = time.perf_counter() - wall, time.process_time() - cpu
    found: dict[str, Any] = {
        "task": task.name,
        "vertices": len(drape.panel.flat),
        "wall_s": wall,
        "cpu_s": cpu,
        "true_to_shape_s": watch.true_to_shape_s(drape),
        "memory_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
        "converged": drape.converged,
        "reasons": list(drape.reasons),
        **dataclasses.asdict(Counts.of(counts)),
    }
    if "soundness" in words:
        found |= soundness(drape, mannequin)
    if "further" in words:
        found |= further(drape, mannequin, counts)
    if "again" in words:
        found["again"] = {what: again(task, what, drape, mannequin) for what in AGAIN}
    return found


if __name__ == "__main__":
    print(json.dumps(main(Task(**json.loads(sys.argv[1])), sys.argv[2:])))
