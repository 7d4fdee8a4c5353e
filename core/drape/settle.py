# SPDX-License-Identifier: GPL-3.0-or-later
"""The drape from start to end: dress, let hang, lower the arms, come to rest, part the layers.

Both layers are cut alike and joined at their rims, so the garment is first draped as one sheet
that carries both: dressed on a coarse mesh, brought to rest on the fine one. Then the sheet is
parted into outer and lining, each with its own figures, and both come to rest together.
"""

import math
from collections.abc import Generator
from dataclasses import replace
from itertools import groupby
from typing import TypeVar

import numpy as np

from ..cloth import Cloth
from ..errors import InputError, SolverError
from ..mannequin import POSES, BodyDistance, Mannequin, Pose, PosedBody, between
from ..panels import PanelMesh, panel_mesh
from ..pattern import Pattern
from ..slices import Slices
from .arrange import lay_round
from .contact_points import ball_size_m
from .going_on import start_from
from .half_panel import HalfPanel, left_half, whole_of
from .layer_contact import LayerContact
from .motion import Balance
from .progress import Progress, Steps
from .refine import carried_over
from .rest import is_at_rest, is_calm, iterations_after
from .result import Drape
from .soundness import Soundness, examine
from .surroundings import Surroundings
from .threads import one_thread

__all__ = ["EDGE_LENGTH_M", "settle"]

EDGE_LENGTH_M = 0.018
"""Edge length of the finished mesh; about 4,500 vertices a layer for a wrap of 1½ yd."""

DRESSING_EDGE_M = 0.036
DRESSING_POSE = "arms out"
MOST_ROOM_M = 0.03
CLEARANCE_M = 0.02
WEIGHTLESS_STEPS = 10
HANGING_STEPS = 10
LEAST_MOVES, MOST_MOVES = 4, 30
MOVE_OF_LIMBS_M = 0.05
"""How far the fastest joint moves at once: hands that move farther slip out of their sleeves' ends
and through the cloth."""

STEPS_A_MOVE = 2
"""Steps of the cloth for every move of the body: with one, hems end up to 25 mm elsewhere; with two as
with moves half as long, within 5 mm, and moving the body costs as much as a step."""

APPROACH_STEPS = 24
APPROACH_M = 0.5
APPROACH_SLOWS = 1.6
"""Chair and bed come the slower the nearer they are: in even steps of a thickness of cloth or two they
pass through what lies folded between them and the body."""

SWINGING_STEPS = 15
ROUNDS_OF_COARSE_SHEET = 10
ROUNDS_OF_ONE_SHEET = 4
ROUNDS_OF_LAYERS, USUAL_ROUNDS = 36, 12
ROUNDS_BEFORE_DIPS = 3
PATIENCE = 4
"""Rounds at rest after which what still crosses is left, and told: the mesh is too coarse there."""

MOST_CLEARINGS = 2
"""Times that what crosses at rest is moved apart: it may stay so when the wrap is at rest again."""

COARSELY_AT_REST_M = 0.001

Result = TypeVar("Result")


def settle(
    pattern: Pattern,
    outer_cloth: Cloth,
    lining_cloth: Cloth,
    mannequin: Mannequin,
    pose: str | Pose,
    edge_length_m: float = EDGE_LENGTH_M,
    own_body: PosedBody | None = None,
    earlier: Drape | None = None,
) -> Steps:
    """Drape a wrap on a mannequin, step by step.

    Parameters
    ----------
    pattern
        The cut, alike for both layers.
    outer_cloth, lining_cloth
        The materials.
    mannequin
        The body.
    pose
        One of `POSES`, or the angles of a pose that needs no chair or bed.
    edge_length_m
        Edge length of the finished panel mesh.
    own_body
        A body that cannot be moved. The mannequin, its twin, is dressed and takes its pose; then
        it stands in the mannequin's place.
    earlier
        A drape to go on from where it is like enough: much faster after one changed number. Of the
        many ways in which cloth can hang it finds the one nearest to the earlier drape's.

    Raises
    ------
    InputError
        There is no such pose.
    SolverError
        The garment did not stay finite, or ended up deep inside the body.
    """
    if isinstance(pose, str) and pose not in POSES:
        raise InputError("pose", pose, ", ".join(POSES), "choose one of these poses")
    alike = own_body is None and (isinstance(pose, str) or pose.left == pose.right)
    layers = (outer_cloth, lining_cloth)
    around = yield from _dressing_room(pattern, layers, mannequin)
    drape = _Draping(pattern, around, mannequin, edge_length_m, alike=alike)
    if earlier is not None and own_body is None and (yield from drape.go_on(earlier, pose)):
        yield from drape.settle_layers(going_on=True)
        return (yield from drape.result())
    yield from drape.lay_round()
    yield from drape.dress()
    yield from drape.take_pose(pose)
    if own_body is not None:
        drape.change_body(own_body)
    yield from drape.come_to_rest()
    yield from drape.part_layers()
    yield from drape.settle_layers()
    return (yield from drape.result())


def _dressing_room(
    pattern: Pattern, layers: tuple[Cloth, Cloth], mannequin: Mannequin
) -> Generator[Progress, None, Surroundings]:
    """What a garment of these layers touches in the dressing pose."""
    yield Progress(0.0, "Cutting the cloth")
    distance = BodyDistance(mannequin, mannequin.part)
    yield Progress(0.0, "Cutting the cloth")
    body = mannequin.posed(POSES[DRESSING_POSE])
    yield Progress(0.0, "Cutting the cloth")
    return Surroundings(*layers, distance, body, pattern.cut.nap)


class _Draping:
    """One drape on its way through the stages."""

    def __init__(
        self,
        pattern: Pattern,
        around: Surroundings,
        mannequin: Mannequin,
        edge_length_m: float,
        *,
        alike: bool,
    ) -> None:
        self._mannequin = mannequin
        self._pattern = pattern
        self._alike = alike
        self._edge_length_m = edge_length_m
        self._around = around
        self._layers: LayerContact | None = None
        self._balance: Balance | None = None
        self._done = 0
        self._whole = 24 * USUAL_ROUNDS

    def go_on(self, earlier: Drape, pose: str | Pose) -> Generator[Progress, None, bool]:
        """Start with the layers of an earlier drape; False where it is too unlike this one."""
        text = "Going on from the last drape"
        body = yield from self._prepared(text, self._goal(pose))
        start = start_from(earlier, self._pattern, body, self._around.distance, self._edge_length_m)
        if start is None:
            return False
        self._around = replace(self._around, body=body)
        panel, outer, lining = start
        self._half = self._halved(panel)
        kept = self._half.kept
        layers = self._around.two_layers(self._half.panel, outer[kept], lining[kept])
        self._motion, self._layers = yield from self._prepared(text, layers)
        return True

    def _halved(self, panel: PanelMesh) -> HalfPanel:
        """The left half of a mesh where both will hang alike, else all of it."""
        half = left_half(panel) if self._alike else None
        return whole_of(panel) if half is None else half

    def lay_round(self) -> Generator[Progress, None, None]:
        """Lay the garment, coarsely meshed, round the body in the dressing pose."""
        text = "Cutting the cloth"
        mesh = panel_mesh(self._pattern, max(self._edge_length_m, DRESSING_EDGE_M))
        self._half = self._halved((yield from self._prepared(text, mesh)))
        panel, around = self._half.panel, self._around
        clear_m = CLEARANCE_M + around.thickness_m
        placed = lay_round(
            panel, around.body, clear_m, 0.75 * ball_size_m(panel.edge_length_m, around.thickness_m)
        )
        yield Progress(0.0, text)
        self._motion = yield from self._prepared(text, around.one_sheet(panel, placed, moves=True))
        self._whole += WEIGHTLESS_STEPS + HANGING_STEPS + MOST_MOVES + SWINGING_STEPS
        self._whole += 2 * ROUNDS_OF_COARSE_SHEET + 12 * ROUNDS_OF_ONE_SHEET

    def dress(self) -> Generator[Progress, None, None]:
        """Without weight let go what laying the garment round stretched; then let it hang."""
        for _ in range(WEIGHTLESS_STEPS):
            step = self._motion.step(gravity_share=0.0, kept_velocity=0.5)
            yield from self._watched(1, "Closing the seams", step)
            yield from self._watched(0, "Closing the seams", self._motion.untangle())
        for count in range(HANGING_STEPS):
            share = min(1.0, 1.25 * (count + 1) / HANGING_STEPS)
            step = self._motion.step(gravity_share=share, kept_velocity=0.8)
            yield from self._watched(1, "Letting the wrap hang", step)
            yield from self._watched(0, "Letting the wrap hang", self._motion.untangle())

    def take_pose(self, pose: str | Pose) -> Generator[Progress, None, None]:
        """Move the body from the dressing pose to the wanted one with the garment on it."""
        goal = yield from self._watched(0, "Moving into the pose", self._goal(pose))
        moves = _moves_between(self._around.body, goal)
        for count in range(moves):
            way = between(POSES[DRESSING_POSE], goal.pose, (count + 1) / moves)
            with one_thread():
                body = self._mannequin.posed(way)
            for _ in range(STEPS_A_MOVE):
                yield from self._step("Moving into the pose", body)
        for _, group in groupby(goal.supports, key=lambda support: tuple(support.approach)):
            arriving = tuple(group)
            there = self._around.body.supports
            for left_m in APPROACH_M * np.linspace(1.0, 0.0, APPROACH_STEPS) ** APPROACH_SLOWS:
                near = (part.moved(left_m * part.approach) for part in arriving)
                body = replace(goal, supports=(*there, *near))
                yield from self._step("Sitting down", body)
        for _ in range(SWINGING_STEPS):
            yield from self._step("Swinging out", self._around.body)

    def _goal(self, pose: str | Pose) -> Slices[PosedBody]:
        """The body as it is wanted, on its chair or bed if it needs one."""
        if isinstance(pose, Pose):
            return self._mannequin.posed(pose)
        # two thicknesses of wrap, sleeve and side, lie between arm and trunk
        room_m = min(2 * self._around.thickness_m, MOST_ROOM_M)
        return (yield from self._mannequin.taking_place(pose, room_m))

    def _step(self, text: str, body: PosedBody) -> Generator[Progress, None, None]:
        if body is not self._around.body:
            self._around = replace(self._around, body=body)
            self._motion.move_body(body)
        step = self._motion.step(gravity_share=1.0, kept_velocity=0.9)
        yield from self._watched(1, text, step)
        yield from self._watched(0, text, self._motion.untangle())
        # a coarse edge across a wrist dips far, and would pass through it
        yield from self._watched(0, text, self._motion.lift_dips())

    def change_body(self, body: PosedBody) -> None:
        """Put another body in the place of the mannequin."""
        distance = BodyDistance(body, body.part)
        self._around = replace(self._around, distance=distance, body=body)

    def come_to_rest(self) -> Generator[Progress, None, None]:
        """Bring the one sheet to rest: on the coarse mesh far, on the fine one what it adds."""
        text = "Coming to rest"
        for _ in range(ROUNDS_OF_COARSE_SHEET):
            yield from self._watched(0, text, self._motion.untangle())
            balance = yield from self._watched(2, text, self._motion.descend())
            if balance.most_moved_m < COARSELY_AT_REST_M:
                break
        positions = self._motion.positions[self._motion.garment.node[0]]
        half = self._half
        if self._edge_length_m < DRESSING_EDGE_M:
            mesh = panel_mesh(self._pattern, self._edge_length_m)
            half = self._halved((yield from self._prepared(text, mesh)))
            positions = carried_over(self._half.panel, positions, half.panel)
        yield self._progress(0, text)
        sheet = self._around.one_sheet(half.panel, positions, moves=False)
        self._motion = yield from self._prepared(text, sheet)
        self._half = half
        for _ in range(ROUNDS_OF_ONE_SHEET):
            yield from self._watched(0, text, self._motion.untangle())
            yield from self._watched(12, text, self._motion.descend())

    def part_layers(self) -> Generator[Progress, None, None]:
        """Part the sheet into outer and lining."""
        layers = self._around.parted(self._motion)
        self._motion, self._layers = yield from self._prepared("Parting the layers", layers)

    def settle_layers(self, *, going_on: bool = False) -> Generator[Progress, None, None]:
        """Draw apart what crosses and bring both layers to rest.

        Going on from an earlier drape rounds are shorter, and a calm one is enough.
        """
        balances: list[Balance] = []
        crossed, rounds_at_rest, clearings, text = 0, 0, 0, "Settling both layers"
        for done in range(ROUNDS_OF_LAYERS):
            firmer = is_at_rest(balances, going_on=True)
            crossing = yield from self._watched(0, text, self._motion.untangle(firmer=firmer))
            dipping = 0
            if done >= ROUNDS_BEFORE_DIPS:
                dipping = yield from self._watched(0, text, self._motion.lift_dips())
            calm = going_on and not crossed and is_calm(balances)
            if (calm or is_at_rest(balances, going_on=going_on)) and not dipping:
                rounds_at_rest += 1
                if not crossing:
                    break
                clearings += yield from self._watched(0, text, self._motion.clear_tangles())
                if clearings == MOST_CLEARINGS or rounds_at_rest == PATIENCE:
                    break
            crossed = crossing
            descent = self._motion.descend(iterations_after(balances, going_on=going_on))
            balances.append((yield from self._watched(24, text, descent)))
        self._balance = balances[-1]
        yield self._progress(self._whole - self._done, text)

    def result(self) -> Generator[Progress, None, Drape]:
        """The drape, with what is wrong with it if anything is."""
        garment, positions = self._motion.garment, self._motion.positions
        if self._balance is None or self._layers is None:
            raise RuntimeError("settle_layers comes before result")
        self._layers.refresh(positions)
        around = self._around
        looks = examine(
            garment, positions, around.body, around.distance, self._layers, self._balance
        )
        soundness: Soundness = yield from self._prepared("Settling both layers", looks)
        outer, lining = (self._half.whole(positions[node]) for node in garment.node)
        return Drape(
            panel=self._half.of,
            outer=outer,
            lining=lining,
            outer_cloth=around.outer,
            lining_cloth=around.lining,
            body=around.body,
            stand_off_m=around.lining.thickness_m / 2,
            converged=soundness.holds,
            reasons=soundness.reasons,
            statistics=soundness.statistics,
        )

    def _prepared(self, text: str, steps: Slices[Result]) -> Generator[Progress, None, Result]:
        """Do what prepares a stage in slices; what hung before goes on hanging."""
        now = Progress(min(self._done / self._whole, 1.0), text)
        while True:
            try:
                with one_thread():
                    next(steps)
            except StopIteration as end:
                result: Result = end.value
                return result
            yield now

    def _watched(
        self, work: int, text: str, steps: Slices[Result]
    ) -> Generator[Progress, None, Result]:
        """Do a step in slices, giving the progress before it at each pause and after it once."""
        before = self._progress(0, text)
        while True:
            try:
                with one_thread():
                    next(steps)
            except StopIteration as end:
                yield self._progress(work, text)
                result: Result = end.value
                return result
            yield before

    def _progress(self, work: int, text: str) -> Progress:
        self._done += work
        motion = self._motion
        if not np.isfinite(motion.positions).all():
            raise SolverError(f"{text} failed: the cloth did not stay finite. Try a finer mesh.")
        layers = [self._half.whole(motion.positions[node]) for node in motion.garment.node]
        return Progress(
            fraction=min(self._done / self._whole, 1.0),
            text=text,
            outer=layers[0],
            panel=self._half.of,
            lining=layers[1] if len(layers) == 2 else None,
            body=self._around.body,
        )


def _moves_between(body: PosedBody, goal: PosedBody) -> int:
    """In how many moves the body comes to its goal."""
    travel_m = max(
        float(np.linalg.norm(goal.joints[name] - at)) for name, at in body.joints.items()
    )
    return min(max(math.ceil(travel_m / MOVE_OF_LIMBS_M), LEAST_MOVES), MOST_MOVES)
