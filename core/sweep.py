# SPDX-License-Identifier: GPL-3.0-or-later
"""A measure against a number that was changed, and where on the way a word for it changes.

Variants that differ in one number and nothing else make a line. Between two of them a measure is taken
to change evenly; where that straight line passes a bound of the trade's classes, or a level of the
body, the word flips.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from itertools import pairwise

from .comparison import Outcome
from .roominess import BODY_CLASSES, SLEEVE_CLASSES, class_bounds

__all__ = ["Flip", "Line", "Measure", "Sweep", "numbers", "sweeps"]

Bounds = Iterable[tuple[float, str]]


@dataclass(frozen=True, slots=True)
class Flip:
    """Where a word changes: the changed number and the measure there, SI, and the bound's words."""

    number: float
    measure: float
    words: str


@dataclass(frozen=True, slots=True)
class Line:
    """Variants that differ in one number only.

    ``shared`` names what they have in common that others of the sweep have not; ``points`` holds
    (number, measure, variant's heading) by rising number, SI.
    """

    shared: str
    points: tuple[tuple[float, float, str], ...]
    flips: tuple[Flip, ...]


@dataclass(frozen=True, slots=True)
class Measure:
    """A measure of the fit that is worth a plot, and what bounds it."""

    name: str
    read: Callable[[Outcome], float | None]
    bounds: Callable[[Outcome], Bounds]


@dataclass(frozen=True, slots=True)
class Sweep:
    """One measure against one number: a line for each set of variants."""

    number: str
    measure: str
    lines: tuple[Line, ...]


def _room(outcome: Outcome) -> float | None:
    room = outcome.fit.sleeves["left"].room["upper arm"]
    return None if room is None else room.extra_girth_m


def _ease(outcome: Outcome) -> float | None:
    ease = outcome.fit.ease["bust"]
    return None if ease is None else ease.ease_m


def _levels(outcome: Outcome) -> Bounds:
    return ((height_m, name) for name, height_m in outcome.levels.items())


def _classes(classes: tuple[tuple[float, str], ...]) -> Callable[[Outcome], Bounds]:
    bounds = [(low, name) for low, _, name in class_bounds(classes) if low is not None]
    return lambda _: bounds


def _wrist(outcome: Outcome) -> Bounds:
    hand_m = outcome.fit.sleeves["left"].hand_m
    return ((0.0, "the wrist"), (hand_m, "the knuckles"))


MEASURES: tuple[Measure, ...] = (
    Measure(
        "hem at the centre back over the floor",
        lambda outcome: outcome.fit.hem.centre_back.height_m,
        _levels,
    ),
    Measure("sleeve room round the upper arm", _room, _classes(SLEEVE_CLASSES)),
    Measure("ease at the bust", _ease, _classes(BODY_CLASSES)),
    Measure(
        "sleeve's end past the wrist",
        lambda outcome: outcome.fit.sleeves["left"].past_wrist_m,
        _wrist,
    ),
)

LEAST_POINTS = 3
MATTERS_M = 0.03
"""A measure that changes less over the whole line is not plotted: folds alone move it half as far."""


def numbers(outcome: Outcome) -> dict[str, float]:
    """Every length that can be changed from variant to variant, by name, metres."""
    cut = {
        entry.name.removesuffix("_m").replace("_", " "): getattr(outcome.cut, entry.name)
        for entry in fields(outcome.cut)
        if entry.name.endswith("_m")
    }
    taped = {
        name.replace("_", " "): measure.value_m
        for name, measure in outcome.measures.items()
        if measure.given
    }
    return cut | taped


def sweeps(outcomes: Sequence[Outcome]) -> list[Sweep]:
    """Every measure against every number that at least three variants differ in."""
    found = []
    every = [numbers(outcome) for outcome in outcomes]
    for name in dict.fromkeys(name for one in every for name in one):
        groups: dict[object, list[tuple[float, Outcome]]] = {}
        for outcome, one in zip(outcomes, every, strict=True):
            if name in one:
                rest = tuple(sorted((key, value) for key, value in one.items() if key != name))
                key = (rest, outcome.outer_cloth, outcome.lining_cloth, outcome.pose)
                groups.setdefault(key, []).append((one[name], outcome))
        lines = [group for group in groups.values() if _apart(group) >= LEAST_POINTS]
        for measure in MEASURES:
            drawn = [line for group in lines if (line := _line(group, measure)) is not None]
            if drawn:
                found.append(Sweep(name, measure.name, tuple(drawn)))
    return found


def _apart(group: Sequence[tuple[float, Outcome]]) -> int:
    return len({number for number, _ in group})


def _line(group: Sequence[tuple[float, Outcome]], measure: Measure) -> Line | None:
    """The line of one group, if the measure changes along it."""
    points = []
    for number, outcome in sorted(group, key=lambda pair: pair[0]):
        value = measure.read(outcome)
        if value is not None:
            points.append((number, value, outcome.heading))
    values = [value for _, value, _ in points]
    if len(points) < LEAST_POINTS or max(values) - min(values) < MATTERS_M:
        return None
    outcome = group[0][1]
    shared = f"{outcome.outer_cloth.name} over {outcome.lining_cloth.name}, {outcome.pose}"
    return Line(shared, tuple(points), tuple(_flips(points, dict(_named(outcome, measure)))))


def _named(outcome: Outcome, measure: Measure) -> Iterable[tuple[float, str]]:
    return measure.bounds(outcome)


def _flips(
    points: Sequence[tuple[float, float, str]], bounds: Mapping[float, str]
) -> Iterable[Flip]:
    for (first, before, _), (second, after, _) in pairwise(points):
        for bound, words in bounds.items():
            if (before < bound) != (after < bound):
                share = (bound - before) / (after - before)
                yield Flip(first + share * (second - first), bound, words)
