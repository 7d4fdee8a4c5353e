# SPDX-License-Identifier: GPL-3.0-or-later
"""How long a Blender window waits at the longest, for every kind of slice and click in the add-on.

In Blender's module without a window, and on array code, as Blender runs it: in a process of its own, in
which Numba is hidden. What is measured is how long Python holds Blender, not how long its window is
drawn. The goal is 50 ms.
"""

import importlib
import json
import subprocess
import sys
import time
from collections import defaultdict
from collections.abc import Callable
from pathlib import Path

from ..rows import Row, reported

__all__ = ["measure"]

GOAL = "goal 50 ms"
JOBS = Path(__file__).resolve().parents[2] / "sample_avatars" / "jobs"


def measure() -> list[Row]:
    """The longest of each kind, milliseconds, the worst first."""
    command = [sys.executable, "-m", "tests.bench.slices"]
    answer = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True)
    longest_s: dict[str, float] = json.loads(answer.stdout.splitlines()[-1])
    rows = [(1000 * held_s, name) for name, held_s in longest_s.items()]
    return [reported(name, held_ms, "ms", GOAL) for held_ms, name in sorted(rows, reverse=True)]


class _Clock:
    """Keeps the longest time of each kind of work."""

    def __init__(self) -> None:
        self.longest_s: dict[str, float] = defaultdict(float)

    def hold(self, name: Callable[[], str] | str, work: Callable[[], object]) -> None:
        began_s = time.perf_counter()
        work()
        held_s = time.perf_counter() - began_s
        told = name if isinstance(name, str) else name()
        self.longest_s[told] = max(self.longest_s[told], held_s)


def _longest(scene: object) -> dict[str, float]:
    import bpy
    from napfold.blender_addon import bodies, session
    from napfold.blender_addon.figures import home_of
    from napfold.blender_addon.jobs import job_of
    from napfold.blender_addon.overlay.content import content_of
    from napfold.blender_addon.task import Task

    clock, own = _Clock(), scene.napfold
    home_of(scene, make=True)
    task = Task(bodies.steps(job_of(scene)), session.SLICE_S)
    while not task.finished:
        clock.hold("building the body", task.step)
    clock.hold("the undressed body into the scene", lambda: bodies.put_wearer(scene))
    own.cut.length_words = "138 cm"
    clock.hold("pattern, lay and rings after a number", lambda: content_of(scene))
    run = session.DrapeSession(scene, session.SLICE_S)
    while not run.finished:
        clock.hold(lambda: f"drape: {run.progress[1]}", run.step)
        if not run.finished:
            clock.hold("drape: the cloth on its way is shown", run.show)
    clock.hold("a finished drape into the scene", run.keep)
    clock.hold("labels and ruler round a drape", lambda: content_of(scene))
    clock.hold("add to the row", bpy.ops.napfold.variant_add)
    clock.hold("restore a variant", bpy.ops.napfold.variant_restore)
    for pose in ("sitting", "standing"):
        clock.hold("switch the pose", lambda pose=pose: setattr(own, "pose", pose))
    own.colouring = "CLOTH"
    clock.hold("colours of stand-off", lambda: setattr(own, "colouring", "STAND_OFF"))
    own.show_hem = own.show_room = own.show_section = True
    clock.hold("hem, room and section drawn", lambda: content_of(scene))
    path = str(JOBS / "larch_hut.toml")
    clock.hold("open a job file", lambda: bpy.ops.napfold.job_open(filepath=path))
    clock.hold("remove a variant", bpy.ops.napfold.variant_remove)
    return clock.longest_s


def main() -> None:
    sys.modules["numba"] = None
    import bpy

    addon = importlib.import_module("napfold.blender_addon")
    bpy.ops.wm.read_homefile(app_template="", use_empty=True)
    addon.register()
    try:
        longest_s = _longest(bpy.context.scene)
    finally:
        addon.unregister()
    sys.stdout.write(f"\n{json.dumps(longest_s)}\n")


if __name__ == "__main__":
    main()
