# SPDX-License-Identifier: GPL-3.0-or-later
"""What is drawn over the viewport, as lines and words in metres; no drawing here.

The flat pattern lies on the floor before the wearer, the cloth to buy to its left; rings show hem
and sleeve ends by flat measures; names, ruler and levels stand round the figures.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

import numpy as np
from bpy.types import Scene

from ...core.arrays import FloatArray
from ...core.drape import Drape
from ...core.drape.threads import one_thread
from ...core.errors import NapfoldError
from ...core.flat_lines import FlatLines, lay_lines, layer_lines
from ...core.flat_rings import flat_rings
from ...core.job import Job
from ...core.lay import lay_orders
from ...core.tape import complete
from ...core.telling import Telling
from ...core.worn_lines import hem_segments, room_rings, section
from .. import bench, bodies
from ..figures import PRESENT, Figure
from ..jobs import job_of
from ..language import spoken, translated
from ..lengths import metres, units_of
from ..sidebar_lengths import SECTION

__all__ = ["Content", "Label", "content_of"]

FLOOR_M = 0.002
BEFORE_FEET_M, LEAST_REACH_M = 0.45, 0.35
BESIDE_M = 0.4
RULER_BESIDE_M = 0.6
TICK_M = {"cm": 0.1, "in": 0.1524}
NUMBERED = {"cm": 5, "in": 2}  # every fifth decimetre, every foot
LEVEL_HALF_M = 0.42
OVER_HEAD_M = 0.08
SECTION_BEHIND_M = 1.1


@dataclass(frozen=True, slots=True)
class Label:
    """Words at a place (3,) in metres; ``kind`` tells what they belong to."""

    text: str
    at: tuple[float, float, float]
    kind: str


@dataclass(slots=True)
class Content:
    """Segments (k, 2, 3) in metres by kind, and labels."""

    lines: dict[str, list[FloatArray]] = field(default_factory=dict)
    labels: list[Label] = field(default_factory=list)

    def line(self, kind: str, segments: FloatArray) -> None:
        """Add segments (k, 2, 3)."""
        self.lines.setdefault(kind, []).append(segments)

    def chain(self, kind: str, points: FloatArray) -> None:
        """Add a polyline (k, 3)."""
        self.line(kind, np.stack([points[:-1], points[1:]], axis=1))

    def segments(self) -> Iterator[tuple[str, FloatArray]]:
        """Kind and all its segments (k, 2, 3)."""
        for kind, parts in self.lines.items():
            yield kind, np.concatenate(parts)


@one_thread()
def content_of(scene: Scene) -> Content:
    """Everything to be drawn for a scene; nothing before Napfold has begun in it."""
    content = Content()
    if not bodies.shown(scene):
        return content
    settings = scene.napfold
    job = _job(scene)
    if settings.show_flat and job is not None:
        _add_flat(content, job)
    waiting = bench.present(scene) is None or bench.stale(scene)
    if settings.show_rings and waiting and job is not None:
        _add_rings(content, job)
    if settings.show_marks:
        _add_marks(content, scene)
    if settings.show_hem or settings.show_room or settings.show_section:
        for _, figure in bench.in_view(scene):
            _add_worn(content, scene, figure)
    return content


def _job(scene: Scene) -> Job | None:
    try:
        return job_of(scene)
    except NapfoldError:
        return None


def _add_flat(content: Content, job: Job) -> None:
    try:
        layer, lay = _flat(_Key(job))
    except NapfoldError:
        return  # the panel tells what is wrong
    before_m = BEFORE_FEET_M + _reach_m(job)
    low, high = layer.corners
    _lay_down(content, layer, (0.0, -before_m - high[1]))
    lay_high = lay.corners[1]
    left = low[0] - BESIDE_M - lay_high[0]
    _lay_down(content, lay, (left, -before_m - lay_high[1]))


class _Key:
    """A job by what its flat drawing depends on."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self._parts = (job.cut, job.allowances, repr(job.order), job.units)

    def __hash__(self) -> int:
        return hash(self._parts)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Key) and self._parts == other._parts


@lru_cache(maxsize=8)
def _flat(key: _Key) -> tuple[FlatLines, FlatLines]:
    job, tell = key.job, Telling(key.job.units)
    layer = layer_lines(job.cut, job.allowances, tell)
    return layer, lay_lines(lay_orders([job.order], job.units), tell)


def _reach_m(job: Job) -> float:
    """How far the wearer and what it rests on reach forward."""
    body = bodies.posed(job)
    if body is None:
        return LEAST_REACH_M
    parts = [body.vertices, *(support.mesh()[0] for support in body.furniture)]
    return max(LEAST_REACH_M, -min(float(part[:, 1].min()) for part in parts))


def _lay_down(content: Content, drawing: FlatLines, at: tuple[float, float]) -> None:
    shift = np.array([*at, FLOOR_M])
    for kind, segments in drawing.lines.items():
        up = np.pad(segments, ((0, 0), (0, 0), (0, 1)))
        content.line(kind, up + shift)
    for word in drawing.words:
        place = (word.at[0] + at[0], word.at[1] + at[1], FLOOR_M)
        content.labels.append(Label(spoken(word.text), place, "flat"))


def _add_rings(content: Content, job: Job) -> None:
    body = bodies.posed(job)
    if body is None or body.supports:
        return  # sitting and lying bodies hem otherwise than flat measures tell
    measures, _ = complete(job.tape)
    thick_m = (cloth.thickness_m for cloth in (job.outer_cloth, job.lining_cloth))
    rings = flat_rings(body, measures, job.cut, job.allowances, *thick_m, Telling(job.units))
    for ring in rings:
        content.chain("ring", ring.points)
        front = ring.points[np.argmin(ring.points[:, 1])]
        if ring.name != "right sleeve end":
            content.labels.append(Label(spoken(ring.words), _place(front), "ring"))


def _place(point: FloatArray) -> tuple[float, float, float]:
    return float(point[0]), float(point[1]), float(point[2])


def _add_marks(content: Content, scene: Scene) -> None:
    shown = bench.in_view(scene)
    tell = Telling(units_of(scene))
    scale = scene.unit_settings.scale_length
    top_m, left_m = 0.0, -LEVEL_HALF_M
    for name, figure in shown:
        box = _box_m(figure, scale)
        top_m, left_m = max(top_m, box[1, 2]), min(left_m, box[0, 0])
        _add_figure(content, name, figure, box, tell, several=len(shown) > 1)
    if shown:
        _add_ruler(content, left_m - RULER_BESIDE_M, top_m, tell)


def _box_m(figure: Figure, scale_length: float) -> FloatArray:
    """Lowest and highest corner (2, 3) of a figure as it stands, metres."""
    corners = [
        np.array(thing.bound_box) + np.array([thing.location.x, 0.0, 0.0])
        for thing in figure.collection.objects
        if thing.data is not None
    ]
    points = np.concatenate(corners or [np.zeros((1, 3))]) * scale_length
    return np.stack([points.min(axis=0), points.max(axis=0)])


def _add_figure(
    content: Content,
    name: str,
    figure: Figure,
    box: FloatArray,
    tell: Telling,
    *,
    several: bool,
) -> None:
    """A name over the head, the levels of the body, the hem."""
    middle = float(box[:, 0].mean())
    told = figure.told
    if several:
        words = name if figure.key.number != PRESENT else translated("In the panel")
        over = (middle, 0.0, float(box[1, 2]) + OVER_HEAD_M)
        content.labels.append(Label(words, over, "name"))
    _add_levels(content, told.get("levels_m", {}), middle, named=figure.key.number == PRESENT)
    if "hem_m" in told:
        hem_m = float(told["hem_m"])
        ends = np.array([[middle - LEVEL_HALF_M, 0, hem_m], [middle + LEVEL_HALF_M, 0, hem_m]])
        content.chain("hem", ends)
        words = f"{translated('hem')} {tell.length(hem_m)}"
        content.labels.append(Label(words, _place(ends[1]), "hem"))


def _add_levels(
    content: Content, levels_m: Mapping[str, Any], middle: float, *, named: bool
) -> None:
    for name, height_m in levels_m.items():
        if height_m == 0.0:
            continue
        ends = np.array(
            [[middle - LEVEL_HALF_M, 0, height_m], [middle + LEVEL_HALF_M, 0, height_m]]
        )
        content.chain("level", ends)
        if named:
            content.labels.append(Label(translated(name), _place(ends[0]), "level"))


def _add_worn(content: Content, scene: Scene, figure: Figure) -> None:
    """Hem, rings and section of a figure, where it stands."""
    settings, drape = scene.napfold, figure.drape
    outer = figure.part("outer")
    if drape is None or outer is None:
        return
    tell = Telling(units_of(scene))
    stands = np.array(outer.location) * scene.unit_settings.scale_length
    if settings.show_hem:
        content.line("hem", hem_segments(drape) + stands)
    if settings.show_room:
        rooms = figure.told["words"][tell.units]["rooms"]
        for ring in room_rings(drape):
            content.line("skin", ring.skin + stands)
            content.line("room", ring.cloth + stands)
            place = _place(ring.cloth.reshape(-1, 3)[0] + stands)
            words = rooms.get(f"{ring.side} {ring.station}", "")
            content.labels.append(Label(f"+{words}", place, "ring"))
    if settings.show_section:
        _add_section(content, drape, stands, metres(settings, SECTION, "section_height"), tell)


def _add_section(
    content: Content, drape: Drape, stands: FloatArray, height_m: float, tell: Telling
) -> None:
    """The section in its place, and laid on the floor behind the wearer."""
    floor = stands + np.array([0.0, SECTION_BEHIND_M, FLOOR_M - height_m])
    for name, segments in section(drape, height_m).items():
        kind = {"body": "skin", "lining": "room", "outer": "cut"}[name]
        content.line(kind, segments + stands)
        content.line(kind, segments + floor)
    words = f"{translated('section at')} {tell.length(height_m)}"
    at = (float(stands[0]), SECTION_BEHIND_M, FLOOR_M)
    content.labels.append(Label(words, at, "flat"))


def _add_ruler(content: Content, x: float, top_m: float, tell: Telling) -> None:
    """A height ruler from the floor."""
    step_m = TICK_M[tell.units]
    count = int(top_m / step_m) + 1
    content.chain("ruler", np.array([[x, 0, 0], [x, 0, count * step_m]]))
    for number in range(count + 1):
        numbered = number % NUMBERED[tell.units] == 0
        height_m, long_m = number * step_m, 0.05 if numbered else 0.025
        content.chain("ruler", np.array([[x - long_m, 0, height_m], [x, 0, height_m]]))
        if numbered:
            at = (x - 0.12, 0.0, height_m)
            content.labels.append(Label(tell.chosen(height_m), at, "ruler"))
