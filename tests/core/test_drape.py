# SPDX-License-Identifier: GPL-3.0-or-later
"""The drape from start to end on a coarse mesh, and its parts: dressing, refining, its file."""

from dataclasses import replace
from functools import cache
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from napfold.core.cloth import library
from napfold.core.drape import Drape, Progress, load_drape, run, save_drape, settle
from napfold.core.drape.arrange import lay_round
from napfold.core.drape.garment import Garment
from napfold.core.drape.going_on import start_from
from napfold.core.drape.half_panel import left_half, whole_of
from napfold.core.drape.layer_contact import LayerContact
from napfold.core.drape.motion import Balance
from napfold.core.drape.pieces import sheet
from napfold.core.drape.refine import carried_over
from napfold.core.drape.soundness import Soundness, examine
from napfold.core.drape.stiffness import Stiffness
from napfold.core.errors import FileError, InputError, SolverError
from napfold.core.mannequin import POSES, BodyDistance, Mannequin, build_mannequin
from napfold.core.mannequin.supports import Support
from napfold.core.panels import PanelMesh, build_panel_mesh
from napfold.core.pattern import Cut, build_pattern
from napfold.core.slices import finished
from napfold.core.tape import Tape

from ..bench.counting import Counts, counted
from .strips import strip

CUT = Cut(
    cloth_width_m=1.47,
    length_m=0.92,
    body_width_m=0.66,
    sleeve_drop_m=0.21,
    corner_radius_m=0.10,
)
COARSE_M = 0.05


@cache
def wearer() -> Mannequin:
    return build_mannequin(
        Tape(sex="female", given={"height": 1.68, "bust_girth": 0.965, "hip_girth": 1.04})
    )


@cache
def panel(edge_m: float = COARSE_M) -> PanelMesh:
    return build_panel_mesh(build_pattern(CUT), edge_m)


@cache
def draped() -> tuple[Drape, tuple[Progress, ...]]:
    seen: list[Progress] = []
    plush = library()["light plush"]
    steps = settle(build_pattern(CUT), plush, plush, wearer(), "standing", COARSE_M)
    return run(steps, seen.append), tuple(seen)


def test_dressing_closes_the_seams_and_is_its_own_mirror_image() -> None:
    body = wearer().posed(POSES["arms out"])
    placed = lay_round(panel(), body, 0.02, 0.01)
    front, back = panel().seam_pairs.T
    np.testing.assert_allclose(placed[front], placed[back], atol=1e-12)
    np.testing.assert_allclose(placed[panel().mirror] * [-1, 1, 1], placed, atol=2e-3)


def test_dressing_keeps_lengths_along_sleeve_and_side() -> None:
    """Down the straight middle of the back only the roll over the fold changes direction."""
    body = wearer().posed(POSES["arms out"])
    placed = lay_round(panel(0.02), body, 0.02, 0.01)
    flat, hem = panel(0.02).flat, panel(0.02).edges["hem_back"]
    chain = np.flatnonzero((np.abs(flat[:, 0]) < 1e-9) & (flat[:, 1] > 0.05))
    chain = chain[np.argsort(flat[chain, 1])]
    hung = np.sqrt((np.diff(placed[chain], axis=0) ** 2).sum(axis=1)).sum()
    np.testing.assert_allclose(hung, np.ptp(flat[chain, 1]), rtol=0.02)
    assert hem.size


def test_refining_carries_a_linear_field_over_exactly() -> None:
    coarse, fine = panel(0.04), panel(0.02)
    slope = np.array([[1.0, 0.2, -0.3], [0.1, 0.9, 0.4]])
    got = carried_over(coarse, coarse.flat @ slope, fine)
    # exact but for the small step inward that tells the sides of the front cut apart
    np.testing.assert_allclose(got, fine.flat @ slope, atol=5e-4)


def test_both_sides_of_the_front_cut_stay_apart_when_refined() -> None:
    coarse, fine = panel(0.04), panel(0.02)
    side = np.sign(coarse.flat[:, 0])
    side[coarse.edges["front_left"]], side[coarse.edges["front_right"]] = 1.0, -1.0
    got = carried_over(coarse, np.repeat(side[:, None], 3, axis=1), fine)[:, 0]
    assert got[fine.edges["front_left"]].min() > 0.9
    assert got[fine.edges["front_right"]].max() < -0.9


@pytest.mark.parametrize("layers", [1, 2])
@pytest.mark.parametrize("halved", [False, True])
def test_the_factor_solves_as_a_dense_solution_does(layers: int, halved: bool) -> None:
    plush = library()["light plush"]
    build = Garment.as_one_sheet if layers == 1 else Garment.as_two_layers
    whole = left_half(panel()) if halved else whole_of(panel())
    assert whole is not None
    garment = build(whole.panel, plush, plush)
    size = len(garment.mass_kg)
    positions = np.zeros((size, 3))
    positions[garment.node[0], :2] = whole.panel.flat * 1.01
    positions[garment.node[-1], :2] = whole.panel.flat * 1.01
    held = np.tile(5.0 * np.eye(3), (size, 1, 1))
    dense = np.zeros((size, 3, size, 3))
    nodes = np.arange(size)
    dense[nodes, :, nodes, :] += held
    triangles = garment.membrane.triangles
    blocks = garment.membrane.stiffness_blocks(positions)
    for first in range(3):
        for second in range(3):
            np.add.at(
                dense,
                (triangles[:, first], slice(None), triangles[:, second]),
                blocks[:, first, second],
            )
    rows, columns, values = garment.bending.entries()
    # the image of a node moves as the node does, but the other way across the middle
    node = np.concatenate([nodes, garment.images.source])
    for axis in range(3):
        way = np.where((np.arange(len(node)) >= size) & (axis == 0), -1.0, 1.0)
        signed = way[rows] * way[columns] * values
        np.add.at(dense, (node[rows], axis, node[columns], axis), signed)
    pairs = None
    if layers == 2:
        outer, lining = (garment.node_triangles(sheet) for sheet in (0, 1))
        root = np.random.default_rng(2).normal(size=(len(outer), 3, 3))
        pairs = 20.0 * root @ np.swapaxes(root, 1, 2)
        sides = [(outer, 1 / 3), (lining, -1 / 3)]
        for mine, sign in sides:
            for theirs, other in sides:
                for first in range(3):
                    for second in range(3):
                        place = (mine[:, first], slice(None), theirs[:, second])
                        np.add.at(dense, place, sign * other * pairs)
    right = np.random.default_rng(1).normal(size=(size, 3))
    exact = np.linalg.solve(dense.reshape(3 * size, -1), right.ravel()).reshape(size, 3)
    got = finished(Stiffness(garment).factor(positions, held, pairs)).solve(right)
    # single precision, and rows of 16 bits where it is compiled
    np.testing.assert_allclose(got, exact, atol=5e-4 * np.abs(exact).max())


def test_one_sheet_and_two_layers_weigh_the_same() -> None:
    outer, lining = library()["long pile"], library()["light plush"]
    one = Garment.as_one_sheet(panel(), outer, lining).mass_kg.sum()
    two = Garment.as_two_layers(panel(), outer, lining).mass_kg.sum()
    np.testing.assert_allclose(one, two, rtol=1e-12)


def test_a_drape_ends_closed_outside_the_body_and_in_order() -> None:
    drape, _ = draped()
    front, back = drape.panel.seam_pairs.T
    np.testing.assert_array_equal(drape.outer[front], drape.outer[back])
    np.testing.assert_array_equal(drape.outer[drape.panel.rim], drape.lining[drape.panel.rim])
    assert drape.statistics["nodes_inside_body_m"] < 0.001
    pairs = len(drape.panel.triangles)
    assert drape.statistics["pairs_out_of_order"] < 0.01 * pairs


def test_a_drape_hangs_from_the_shoulders() -> None:
    """The back hem hangs by about half the length below the back neck point."""
    drape, _ = draped()
    neck = drape.body.landmarks["back_neck_point"][2]
    hem = drape.outer[drape.panel.edges["hem_back"], 2].mean()
    assert 0.5 * CUT.length_m - 0.08 < neck - hem < 0.5 * CUT.length_m + 0.05
    shoulder = drape.body.landmarks["shoulder_point_left"][2]
    assert drape.outer[:, 2].max() < neck + 0.06
    assert drape.outer[drape.panel.edges["sleeve_end_left"], 2].mean() < shoulder - 0.3


def test_progress_grows_to_one() -> None:
    _, seen = draped()
    fractions = [progress.fraction for progress in seen]
    assert fractions == sorted(fractions)
    assert fractions[-1] == 1.0
    assert len({progress.text for progress in seen}) >= 5


def test_the_same_job_gives_the_same_bits() -> None:
    plush = library()["light plush"]

    def first_steps() -> np.ndarray:
        steps = settle(build_pattern(CUT), plush, plush, wearer(), "standing", COARSE_M)
        seen = [next(steps) for _ in range(700)]
        return np.array(seen[-1].outer)

    np.testing.assert_array_equal(first_steps(), first_steps())


def test_a_pose_that_cannot_be_draped_is_refused_with_the_choice() -> None:
    plush = library()["light plush"]
    with pytest.raises(InputError, match="standing"):
        next(settle(build_pattern(CUT), plush, plush, wearer(), "somersault", COARSE_M))


def test_a_seated_wrap_lies_outside_body_and_chair() -> None:
    """The chair comes to the dressed body and is not passed through.

    Cloth that is sat on lies in folds that this coarse mesh squeezes by some millimetres.
    """
    plush = library()["light plush"]
    drape = run(settle(build_pattern(CUT), plush, plush, wearer(), "sitting", 0.036))
    assert [support.name for support in drape.body.supports][:1] == ["back rest"]
    layers = np.concatenate([drape.outer, drape.lining])
    for support in drape.body.supports:
        assert support.nearest(layers)[0].min() > -0.005
    distance = BodyDistance(drape.body)
    distance.set_pose(drape.body)
    assert distance.nearest(layers).distance.min() > -0.005
    rest = drape.body.supports[0]
    behind = layers[:, 1].max()
    assert behind < rest.mesh()[0][:, 1].max()


def test_a_body_of_ones_own_takes_the_mannequins_place() -> None:
    """A body 2 % larger all round than the mannequin: the same wrap lies outside it."""
    plush = library()["light plush"]
    standing = wearer().posed(POSES["standing"])
    middle = standing.landmarks["waist"] * np.array([1.0, 1.0, 0.0])
    grown = replace(standing, vertices=middle + 1.02 * (standing.vertices - middle))
    steps = settle(
        build_pattern(CUT), plush, plush, wearer(), standing.pose, COARSE_M, own_body=grown
    )
    drape = run(steps)
    assert drape.body is grown
    distance = BodyDistance(grown)
    distance.set_pose(grown)
    assert distance.nearest(drape.lining).distance.min() > -0.001


def test_a_drape_file_gives_back_every_number(tmp_path: Path) -> None:
    drape, _ = draped()
    reader = wearer().supported("reading in bed", 0.02)
    drape = replace(drape, reasons=("It is not quite at rest.",), body=reader)
    save_drape(tmp_path / "drape.npz", drape)
    back = load_drape(tmp_path / "drape.npz")
    np.testing.assert_array_equal(back.outer, drape.outer)
    np.testing.assert_array_equal(back.lining, drape.lining)
    np.testing.assert_array_equal(back.body.vertices, drape.body.vertices)
    words = [[part.words() for part in body.furniture] for body in (back.body, reader)]
    assert words[0] == words[1]
    assert [part.name for part in back.body.held] == ["left half of book", "right half of book"]
    for name, chain in drape.panel.edges.items():
        np.testing.assert_array_equal(back.panel.edges[name], chain)
    assert back.outer_cloth == drape.outer_cloth
    assert back.body.pose == drape.body.pose
    assert (back.converged, back.reasons) == (drape.converged, drape.reasons)
    assert dict(back.statistics) == dict(drape.statistics)


def test_what_is_no_drape_is_refused_in_one_sentence(tmp_path: Path) -> None:
    path = tmp_path / "drape.npz"
    path.write_bytes(b"not an archive")
    with pytest.raises(FileError, match=r"drape\.npz is not a drape"):
        load_drape(path)
    with pytest.raises(FileError, match="cannot be read"):
        load_drape(tmp_path / "missing.npz")


class Deep:
    """A distance that says how deep every point lies."""

    def __init__(self, depth_m: float) -> None:
        self.depth_m = depth_m

    def nearest(self, points: np.ndarray) -> SimpleNamespace:
        return SimpleNamespace(distance=np.full(len(points), -self.depth_m))


def examined(
    depth_m: float = 0.0,
    moved_m: float = 0.0,
    gap_m: float = 0.003,
    supports: tuple[Support, ...] = (),
) -> Soundness:
    """Two flat strips of plush over each other, neither sewn nor joined."""
    flat, triangles = strip(0.2, 0.1, 0.02)
    cut = sheet(flat, triangles, 0.02)
    plush = library()["light plush"]
    garment = Garment.as_two_layers(cut, plush, plush)
    positions = np.zeros((len(garment.mass_kg), 3))
    positions[garment.node[0]] = np.column_stack([flat, np.full(len(flat), gap_m)])
    positions[garment.node[1]] = np.column_stack([flat, np.zeros(len(flat))])
    layers = LayerContact(garment, np.full(len(flat), 0.003), 5e5, friction=0.0)
    layers.refresh(positions)
    balance = Balance(
        mean_force=0.0,
        largest_force=0.0,
        energy_j=0.0,
        energy_height_m=0.0,
        most_moved_m=moved_m,
        farthest_moved_m=moved_m,
    )
    body = SimpleNamespace(supports=supports)
    return finished(examine(garment, positions, body, Deep(depth_m), layers, balance))


def test_a_sound_drape_has_no_faults() -> None:
    assert examined().holds
    assert examined().reasons == ()


def test_cloth_a_little_inside_the_body_is_told_and_doubted() -> None:
    soundness = examined(depth_m=0.004)
    assert not soundness.holds
    assert soundness.reasons == ("The cloth reaches 4.0 mm into the body.",)


def test_cloth_deep_inside_the_body_is_no_drape() -> None:
    with pytest.raises(SolverError, match="5 cm inside the body"):
        examined(depth_m=0.052)


def test_a_restless_wrap_is_told_and_doubted() -> None:
    soundness = examined(moved_m=0.0031)
    assert not soundness.holds
    assert len(soundness.reasons) == 1
    assert "moved by 3.1 mm" in soundness.reasons[0]


def test_cloth_in_the_seat_is_told_and_doubted() -> None:
    """The lower strip lies at z = 0, 2 mm under the top of the seat."""
    seat = Support(
        name="seat",
        centre=np.array([0.0, 0.0, -0.098]),
        half_size_m=np.array([0.5, 0.5, 0.1]),
        rotation=np.eye(3),
        edge_radius_m=0.02,
        approach=np.array([0.0, 0.0, -1.0]),
    )
    soundness = examined(supports=(seat,))
    assert not soundness.holds
    assert soundness.reasons == ("The cloth reaches 2.0 mm into the chair or bed.",)


def test_layers_in_the_wrong_order_are_told_and_doubted() -> None:
    soundness = examined(gap_m=-0.003)
    assert not soundness.holds
    assert len(soundness.reasons) == 1
    assert soundness.statistics["pairs_out_of_order"] > 0


SOUND_M = 0.025
"""Edge length of a mesh that is fine enough for a drape to be sound."""


def test_going_on_from_a_drape_takes_less_work_and_hangs_as_a_new_one_does() -> None:
    """An inch more sleeve: in fewer iterations, hem and sleeve as a new drape has them.

    Cloth can hang in more than one way, on a coarse mesh up to an edge length apart.
    """
    plush = library()["light plush"]

    def drape(cut: Cut, earlier: Drape | None = None) -> tuple[Drape, int]:
        with counted() as systems:
            pattern = build_pattern(cut)
            steps = settle(pattern, plush, plush, wearer(), "standing", SOUND_M, earlier=earlier)
            result = run(steps)
        return result, Counts.of(systems).iterations

    first, _ = drape(CUT)
    deeper = replace(CUT, sleeve_drop_m=CUT.sleeve_drop_m + 0.0254)
    (new, anew), (again, going_on) = drape(deeper), drape(deeper, first)
    assert again.converged
    assert going_on < 0.6 * anew
    for edge in ("hem_back", "sleeve_end_left"):
        heights = [found.outer[found.panel.edges[edge], 2].mean() for found in (new, again)]
        assert abs(heights[0] - heights[1]) < SOUND_M

    pattern, body, distance = build_pattern(CUT), first.body, BodyDistance(wearer())
    longer = build_pattern(replace(CUT, length_m=2 * CUT.length_m))
    up = wearer().posed(POSES["reaching up"])
    assert start_from(first, pattern, body, distance, SOUND_M) is not None
    assert start_from(first, pattern, up, distance, SOUND_M) is None
    assert start_from(first, longer, body, distance, SOUND_M) is None
    assert start_from(first, pattern, body, distance, SOUND_M / 2) is None
