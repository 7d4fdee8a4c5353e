# SPDX-License-Identifier: GPL-3.0-or-later
"""The slicing of a long computation, with a clock that the test moves."""

from collections.abc import Generator

import pytest
from napfold.blender_addon.task import Pace, Task


class Clock:
    """Time that passes only when work is done."""

    def __init__(self) -> None:
        self.now_s = 0.0

    def __call__(self) -> float:
        return self.now_s


def work(clock: Clock, durations_s: list[float]) -> Generator[int, None, str]:
    for number, duration_s in enumerate(durations_s):
        clock.now_s += duration_s
        yield number
    return "done"


@pytest.mark.parametrize(
    ("pull_s", "expected_pulls"),
    [
        (0.004, 7),  # after 28 ms another 4 ms would pass 30 ms
        (0.010, 3),  # fits exactly
        (0.016, 1),  # a second pull would end at 32 ms
        (0.200, 1),  # one pull is always made, or nothing would ever end
    ],
)
def test_a_slice_ends_before_the_budget_is_passed(pull_s: float, expected_pulls: int) -> None:
    clock = Clock()
    task = Task(work(clock, [pull_s] * 20), budget_s=0.0300001, clock=clock)
    task.step()
    assert task.latest == expected_pulls - 1
    assert not task.finished
    assert clock.now_s <= max(0.0300001, pull_s)


def test_all_slices_together_give_what_one_loop_gives() -> None:
    clock = Clock()
    durations = [0.001, 0.05, 0.02, 0.0, 0.029, 0.003] * 5
    task = Task(work(clock, durations), budget_s=0.03, clock=clock)
    seen = []
    while not task.finished:
        task.step()
        seen.append(task.latest)
    assert task.result == "done"
    assert task.latest == len(durations) - 1
    assert seen == sorted(seen)
    assert clock.now_s == pytest.approx(sum(durations))


def test_closing_ends_the_computation_and_runs_its_clean_up() -> None:
    cleaned = []

    def computation() -> Generator[int, None, str]:
        try:
            yield 1
            yield 2
        finally:
            cleaned.append(True)
        return "never"

    task = Task(computation(), budget_s=0.0)
    task.step()
    task.close()
    assert cleaned == [True]
    assert task.finished
    assert task.result is None
    task.step()
    assert task.latest == 1


def test_an_error_comes_out_and_ends_the_task() -> None:
    def failing() -> Generator[int, None, None]:
        yield 1
        raise ValueError("the cloth tore")

    task = Task(failing(), budget_s=1.0)
    with pytest.raises(ValueError, match="the cloth tore"):
        task.step()
    assert task.finished
    assert task.latest == 1


def shown_and_computed(drawing_s: float, slices: int, slice_s: float) -> tuple[int, float]:
    """How often it is shown, and the share of time that computes, where drawing takes this long."""
    pace, now_s, shown = Pace(0.0), 0.0, 0
    for _ in range(slices):
        began_s, now_s = now_s, now_s + slice_s
        tell, show = pace.due(began_s, now_s, ready=True)
        assert tell >= show
        shown += show
        now_s += drawing_s if show else 0.0
    return shown, slices * slice_s / now_s


def test_a_window_that_draws_fast_shows_four_pictures_a_second() -> None:
    # the first slice is shown, and then every ninth of 30 ms passes a quarter second
    shown, share = shown_and_computed(drawing_s=0.005, slices=901, slice_s=0.03)
    assert shown == 101
    assert share == pytest.approx(27.03 / 27.535)


def test_a_window_that_draws_slowly_computes_three_fifths_of_the_time() -> None:
    # the first slice is shown; after 2 s of drawing more than 3 s of computing, so 101 slices of 30 ms
    shown, share = shown_and_computed(drawing_s=2.0, slices=1 + 9 * 101, slice_s=0.03)
    assert shown == 10
    assert share == pytest.approx(27.3 / 47.3)


def test_progress_is_told_each_second_where_nothing_is_shown() -> None:
    pace, told = Pace(0.0), []
    for number in range(25):
        # a slice of 10 ms, then 290 ms in which the window does something else
        tell, show = pace.due(0.3 * number, 0.3 * number + 0.01, ready=False)
        assert not show
        told += [number] if tell else []
    assert told == [4, 8, 12, 16, 20, 24]
