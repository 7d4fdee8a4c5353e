# SPDX-License-Identifier: GPL-3.0-or-later
"""Blender's own cloth modifier on the same two-layer mesh, body and start.

The pose is that of dressing, so that the body stands still for both. Seams and rims are sewing
springs for the modifier, closed at the start as they are for us; it has self-collision, since
without it the layers would not stay in their order, and the cloth's mass, thickness and springs.
It runs until its seams are within 1 mm and its fastest vertex under 1 mm/s, or its frames are over.
"""

import json
import subprocess
import sys
from dataclasses import replace
from typing import Any

from ..rows import Row, at_most, reported
from .drape import ROOT, drape_once
from .jobs import REFERENCE
from .timing import say

__all__ = ["measure"]

TASK = replace(REFERENCE, pose="arms out")
FRAMES, WHOLE_FRAMES = 40, 600
SOUND = (
    ("inside_body_mm", "inside the body", "mm"),
    ("layers_cross_share", "edges through the other layer", "share"),
    ("itself_crosses_share", "edges through their own layer", "share"),
    ("seam_gap_mm", "open at a seam or rim", "mm"),
    ("stretch_999", "stretch, 99.9th percentile", ""),
    ("fastest_mm_per_s", "fastest vertex", "mm/s"),
)


def measure(whole: bool) -> list[Row]:
    """Ours and the modifier's figures side by side; with ``whole`` up to 600 frames."""
    ours = drape_once(TASK, "soundness", "further")
    frames = WHOLE_FRAMES if whole else FRAMES
    say(f"Blender's cloth modifier, at most {frames} frames")
    command = [sys.executable, "-m", "tests.bench.modifier_run", str(frames)]
    answer = subprocess.run(command, cwd=ROOT, capture_output=True, text=True)
    lines = [line for line in answer.stdout.splitlines() if line.startswith("{")]
    if answer.returncode != 0 or not lines or "error" in ours:
        why = ours.get("error") or (answer.stderr.strip().splitlines() or ["no message"])[-1]
        return [Row(name="Blender's cloth modifier", figure=None, reference=why)]
    peer: dict[str, Any] = json.loads(lines[-1])
    state = "at rest" if peer["done"] else f"not at rest after {peer['frames']} frames"
    clock = "{:.3g} s by the clock"
    ratio = peer["cpu_s"] / ours["cpu_s"]
    rows = [
        reported("vertices of both layers", 2 * ours["vertices"], ""),
        reported(
            "ours: processor time to rest",
            ours["cpu_s"],
            "s",
            reference=clock.format(ours["wall_s"]),
        ),
        reported(
            "modifier: processor time",
            peer["cpu_s"],
            "s",
            reference=f"{clock.format(peer['wall_s'])}; {state}",
        ),
        reported("modifier: a frame", peer["cpu_s"] / peer["frames"], "s"),
        Row(
            name="modifier's time over ours",
            figure=ratio,
            unit="times",
            reference="goal 50" + ("" if peer["done"] else "; the modifier was stopped"),
            gate="≥ 50",
            passed=ratio >= 50 if whole or ratio >= 50 else None,
        ),
    ]
    for key, words, unit in SOUND:
        rows.append(reported(words, ours[key], unit, reference=f"modifier {peer[key]:.4g}"))
    rows.append(at_most("ours: open at a seam or rim", ours["seam_gap_mm"], "mm", 1.0))
    return rows
