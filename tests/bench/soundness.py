# SPDX-License-Identifier: GPL-3.0-or-later
"""Soundness over the test set: ten bodies, three lengths, light and heavy, four poses.

All 240 take hours: as many are made at once as there are processors, each result is kept as it comes,
and a run goes on where the last one stopped as long as the core's code is the same.
"""

import hashlib
import json
import os
from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from ..rows import Row
from .drape import ROOT, drape_once
from .jobs import Task, test_set
from .timing import say

__all__ = ["measure"]

RESULTS = ROOT / "build" / "soundness.jsonl"
HALVED_EVERY = 24
"""One in so many drapes is made again with edges half as long."""

# name in the results, in words, unit, most that is sound
CRITERIA = (
    ("inside_body_mm", "inside the body", "mm", 1.0),
    ("layers_cross_share", "edges through the other layer", "share", 0.0),
    ("itself_crosses_share", "edges through their own layer", "share", 0.0),
    ("seam_gap_mm", "open at a seam or rim", "mm", 1.0),
    ("stretch_999", "stretch, 99.9th percentile", "", 0.35),
    ("fastest_mm_per_s", "fastest vertex when let go", "mm/s", 1.0),
    ("settling_further_mm", "a length changes, settling further", "mm", 2.0),
    ("asymmetry_mm", "unlike its mirror image", "mm", 5.0),
    ("halving_mm", "a length changes, edges halved", "mm", 5.0),
)


def measure(few: int | None) -> list[Row]:
    """Drape what is not yet in the results, and sum up; ``few`` takes the first of the test set."""
    tasks = list(test_set())[:few]
    code = _code()
    known = _known(RESULTS, code)
    missing = [(number, task) for number, task in enumerate(tasks) if task.name not in known]
    # each drape is a process of its own, so threads do to wait for them
    with ThreadPoolExecutor(os.cpu_count()) as several:
        for found in several.map(lambda numbered: _measured(*numbered), missing):
            known[found["task"]] = found | {"code": code}
            _append(RESULTS, known[found["task"]])
            say(f"{len(known)} of {len(tasks)}")
    return list(_rows([known[task.name] for task in tasks]))


def _measured(number: int, task: Task) -> dict[str, Any]:
    found = drape_once(task, "cold", "soundness", "further")
    if number % HALVED_EVERY == 0 and "error" not in found:
        finer = drape_once(replace(task, edge_m=task.edge_m / 2), "cold", "soundness")
        if "error" not in finer:
            one, other = found["lengths_m"], finer["lengths_m"]
            changes = {name: abs(one[name] - other[name]) for name in one.keys() & other.keys()}
            worst = max(changes, key=lambda name: changes[name])
            found |= {"halving_mm": 1e3 * changes[worst], "halving_worst": worst}
    return found


def _code() -> str:
    """What stands for the present state of the core's code."""
    digest = hashlib.sha256()
    for path in sorted((ROOT / "core").rglob("*.py")):
        digest.update(path.read_bytes())
    return digest.hexdigest()[:16]


def _known(path: Path, code: str) -> dict[str, dict[str, Any]]:
    """Earlier results of the same code, by task."""
    if not path.exists():
        return {}
    results = map(json.loads, path.read_text(encoding="utf-8").splitlines())
    known = {found["task"]: found for found in results if found.get("code") == code}
    say(f"{len(known)} drapes are known from {path}")
    return known


def _append(path: Path, found: dict[str, Any]) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("a", encoding="utf-8") as stream:
        stream.write(json.dumps(found) + "\n")


def _rows(results: list[dict[str, Any]]) -> Iterable[Row]:
    made = [found for found in results if "error" not in found]
    yield Row(
        name="drapes that could not be made",
        figure=len(results) - len(made),
        reference=f"of {len(results)}",
        gate="0",
        passed=len(made) == len(results),
    )
    told = sum(found["converged"] for found in made)
    yield Row(name="drapes told as sound enough", figure=told, reference=f"of {len(made)}")
    for key, words, unit, most in CRITERIA:
        values = np.array([found[key] for found in made if key in found])
        if not len(values):
            continue
        missed = int((values > most).sum())
        yield Row(
            name=f"{words}: worst",
            figure=float(values.max()),
            unit=unit,
            reference=f"{missed} of {len(values)} miss; median {np.median(values):.3g}",
            gate=f"≤ {most:g}",
            passed=missed == 0,
        )
    for found in results:
        missed_keys = [
            f"{words} {found[key]:.3g} {unit}".rstrip()
            for key, words, unit, most in CRITERIA
            if found.get(key, 0.0) > most
        ]
        if "error" in found:
            missed_keys = [found["error"]]
        if missed_keys:
            say(f"MISSED {found['task']}: {'; '.join(missed_keys)}")
