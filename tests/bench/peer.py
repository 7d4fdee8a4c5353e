# SPDX-License-Identifier: GPL-3.0-or-later
"""A general physics library's elastic sheet on the round specimen, beside ours, where it is installed.

    .venv/bin/python -m pip install --group peer

installs it. `round_run` says what both are given. Where their drape coefficients differ: ours is
weaker in compression (`membrane.COMPRESSION`), and a specimen can come to rest in several ways,
some points apart.
"""

import importlib.util
import json
import subprocess
import sys
from typing import Any

from ..rows import Row, at_most, reported
from .drape import ROOT
from .timing import say

__all__ = ["measure"]

LIBRARY = "mujoco"
MOST_S = 200
"""Processor time that the library gets; a machine at work on other things may take twice as long."""

SAME = "one round specimen (fabric B of validate, isotropic), same mesh, masses, start"
BESIDE = (
    ("drape_percent", "drape coefficient", "%"),
    ("folds", "nodes", ""),
    ("stretch_999", "stretch, 99.9th percentile", ""),
    ("fastest_mm_per_s", "fastest vertex", "mm/s"),
)


def measure() -> list[Row]:
    """Ours and the library's figures side by side; one row where it is not installed."""
    if importlib.util.find_spec(LIBRARY) is None:
        return [
            Row(name=f"{LIBRARY} on the round specimen", figure=None, reference="not installed")
        ]
    say("round specimen: ours")
    own = _run("ours")
    say(f"round specimen: {LIBRARY}, at most {MOST_S} s of processor time")
    peer = _run(LIBRARY, str(MOST_S))
    for found in (own, peer):
        if "error" in found:
            return [
                Row(name=f"{LIBRARY} on the round specimen", figure=None, reference=found["error"])
            ]
    state = f"stopped after {MOST_S} s" if peer["cpu_s"] >= MOST_S else "at rest"
    rows = [
        reported("vertices", own["vertices"], "", reference=SAME),
        reported("ours: to rest", own["cpu_s"], "s", reference=f"{own['wall_s']:.3g} by the clock"),
        reported(
            f"{LIBRARY}: to rest",
            peer["cpu_s"],
            "s",
            reference=f"{peer['wall_s']:.3g} by the clock; {state}",
        ),
        reported("library's time over ours, to rest", peer["cpu_s"] / own["cpu_s"], "times"),
        reported(
            "library's time over ours, to half a point from the end",
            peer["near_cpu_s"] / own["near_cpu_s"],
            "times",
            reference=f"{peer['near_cpu_s']:.3g} and {own['near_cpu_s']:.3g} s",
        ),
    ]
    for key, words, unit in BESIDE:
        rows.append(reported(words, own[key], unit, reference=f"{LIBRARY} {peer[key]:.4g}"))
    crossing = f"{LIBRARY} {peer['crossing_share']:.4g}"
    rows.append(at_most("edges through the sheet", own["crossing_share"], "share", 0.0, crossing))
    return rows


def _run(*words: str) -> dict[str, Any]:
    command = [sys.executable, "-m", "tests.bench.round_run", *words]
    answer = subprocess.run(command, cwd=ROOT, capture_output=True, text=True)
    if answer.returncode != 0:
        return {"error": (answer.stderr.strip().splitlines() or ["no message"])[-1]}
    found: dict[str, Any] = json.loads(answer.stdout.splitlines()[-1])
    return found
