# SPDX-License-Identifier: GPL-3.0-or-later
"""What the bench drapes, and that it goes on where the library to compare with is missing."""

import dataclasses
import importlib.util

import numpy as np
import pytest
from napfold.core.least_room import require_room
from napfold.core.tape import complete

from ..bench import peer
from ..bench.jobs import cloths, cut_for, tape_of
from ..bench.jobs import test_set as tasks
from ..bench.round_run import TIME_STEP_S, library, specimen
from ..validate.round_drape import SPECIMEN_M


def test_the_test_set_is_240_unlike_drapes_of_which_any_first_few_are_mixed() -> None:
    every = list(tasks())
    assert len({task.name for task in every}) == 240
    first = every[:20]
    assert len({task.body for task in first}) == 10
    # 3 lengths x 2 cloths x 4 poses are 24; 20 drapes hold 20 of them
    assert len({(task.length_yard, task.cloth, task.pose) for task in first}) == 20
    assert len({(task.body, task.cloth) for task in first}) >= 15


def test_every_wearer_of_the_test_set_gets_into_the_wrap() -> None:
    for task in tasks():
        measures, _ = complete(tape_of(task))
        require_room(cut_for(task), measures, sum(cloth.thickness_m for cloth in cloths(task)))


def test_without_the_library_the_bench_says_so_and_goes_on(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None)
    (row,) = peer.measure()
    assert row.figure is None
    assert row.passed is None
    assert row.reference == "not installed"


def test_the_library_is_given_our_specimen() -> None:
    """A step after the start it has fallen as anything falls, and it lies where ours lies."""
    pytest.importorskip("mujoco", reason="optional: pip install --group peer")
    piece = specimen()
    piece = dataclasses.replace(piece, start=piece.start * [1.0, 1.0, 0.0])  # without unevenness
    positions, _ = next(library(piece, 60.0))
    assert np.abs(positions[:, :2] - piece.flat).max() < 1e-4
    assert np.array_equal(positions[piece.held], piece.start[piece.held])
    # g t²; the wave from where it is held has come near the rim
    rim = np.hypot(*piece.flat.T) > SPECIMEN_M - 1e-6
    fallen = np.mean(piece.start[rim, 2] - positions[rim, 2])
    assert fallen == pytest.approx(9.80665 * TIME_STEP_S**2, rel=0.1)
