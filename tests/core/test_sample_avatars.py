# SPDX-License-Identifier: GPL-3.0-or-later
"""Every ready tape, and any other plausible one, gives a body that reads the same tape."""

import math
import tomllib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from napfold.core.drape.crossings import piercings, sheet_edges
from napfold.core.job import load_job
from napfold.core.mannequin import Mannequin, build_mannequin
from napfold.core.mannequin.body_tape import measure_body
from napfold.core.mannequin.sections import depth_ratio
from napfold.core.tape import Tape, complete
from napfold.core.units import parse_quantity

FOLDER = Path(__file__).parents[2] / "sample_avatars"
FILES = sorted(FOLDER.glob("*.toml"))
# girths, heights, and lengths over the shoulder, m
TOLERANCES_M = {
    "_girth": 0.002,
    "height": 0.003,
    "_breadth": 0.003,
    "_depth": 0.003,
    "_wrist": 0.005,
    "_length": 0.005,
    "_waist": 0.005,
}
DEPTH_RATIO_SD = 0.055  # of the survey's people about the regression, at the bust
SOFTEST_DEGREES = 35.0


def read_tape(path: Path) -> Tape:
    table = tomllib.loads(path.read_text(encoding="utf-8"))["tape"]
    given_values = {
        name: parse_quantity("length", f"tape.{name}", text)
        for name, text in table.items()
        if name != "sex"
    }
    return Tape(sex=table["sex"], given=given_values)


def assert_tape_is_met(mannequin: Mannequin) -> dict[str, float]:
    found = measure_body(mannequin)
    for name, (value, _, is_given) in mannequin.measures.items():
        if is_given and name in found:
            end = next(end for end in TOLERANCES_M if name.endswith(end))
            assert found[name] == pytest.approx(value, abs=TOLERANCES_M[end]), name
    return found


def assert_surface_is_sound(mannequin: Mannequin) -> None:
    vertices, faces = mannequin.vertices, mannequin.triangles
    assert 8_000 <= len(vertices) <= 20_000
    edges = sheet_edges(faces)
    assert 2 * len(edges) == 3 * len(faces)
    assert len(vertices) - len(edges) + len(faces) == 2  # closed, without handles
    assert len(piercings(vertices, edges, faces)) == 0
    mirrored = vertices[mannequin.mirror] * np.array([-1.0, 1.0, 1.0])
    assert np.array_equal(mirrored, vertices)


def bends(mannequin: Mannequin) -> np.ndarray:
    """Angle between the faces at every edge, degrees."""
    corner = mannequin.vertices[mannequin.triangles]
    normal = np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0])
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    half = mannequin.triangles[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2)
    face = np.repeat(np.arange(len(mannequin.triangles)), 3)
    order = np.lexsort(np.sort(half, axis=1).T)
    one, two = face[order[::2]], face[order[1::2]]
    return np.degrees(np.arccos(np.clip((normal[one] * normal[two]).sum(axis=1), -1.0, 1.0)))


def test_there_are_ten() -> None:
    assert len(FILES) == 10


@pytest.mark.slow
@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_mannequin_of_the_tape(path: Path) -> None:
    mannequin = build_mannequin(read_tape(path))
    assert mannequin.warnings == ()
    assert_surface_is_sound(mannequin)
    found, measures = assert_tape_is_met(mannequin), mannequin.measures
    for name in ("upper_arm_girth", "neck_girth", "thigh_girth", "calf_girth", "wrist_girth"):
        assert found[name] == pytest.approx(measures.value(name), abs=0.003), name
    for name in ("inside_leg_height", "shoulder_point_height", "side_neck_point_height"):
        assert found[name] == pytest.approx(measures.value(name), abs=0.003), name
    # the landmark is where arm and trunk join; large arms join below where the survey leads to
    assert found["axilla_height"] == pytest.approx(mannequin.landmarks["axilla"][2], abs=0.002)
    assert found["axilla_height"] == pytest.approx(measures.value("axilla_height"), abs=0.020)
    for level in ("bust", "waist", "navel_waist", "hip"):
        ratio = found[f"{level}_depth"] / found[f"{level}_breadth"]
        most = 1.2 * DEPTH_RATIO_SD if level == "bust" else 0.02
        assert ratio == pytest.approx(depth_ratio(measures, level), abs=most), level
    # smooth to the touch of a cloth: hardly an edge turns sharply, but in the crotch and the hands
    assert np.quantile(bends(mannequin), 0.99) < SOFTEST_DEGREES


@st.composite
def plausible_tapes(draw: st.DrawFn) -> Tape:
    """Measures of one body: each within two standard deviations of what the others lead to."""
    sex = draw(st.sampled_from(["female", "male", "unstated"]))
    names = draw(
        st.lists(
            st.sampled_from(
                [
                    "waist_girth",
                    "hip_girth",
                    "back_neck_point_to_wrist",
                    "back_neck_point_to_waist",
                    "shoulder_length",
                    "upper_arm_girth",
                    "wrist_girth",
                    "neck_girth",
                    "inside_leg_height",
                    "thigh_girth",
                ]
            ),
            unique=True,
            max_size=6,
        )
    )
    values: dict[str, float] = {}
    for name in ("height", "bust_girth", *names):
        expected = complete(Tape(sex=sex, given=values))[0][name]
        values[name] = expected.value_m + draw(st.floats(-2.0, 2.0)) * expected.sd_m
    return Tape(sex=sex, given=values)


@settings(max_examples=5, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(tape=plausible_tapes())
def test_any_plausible_tape_is_met(tape: Tape) -> None:
    mannequin = build_mannequin(tape)
    assert_tape_is_met(mannequin)
    assert_surface_is_sound(mannequin)


# Drawn from the survey's distribution; a mannequin shaped straight after each of them misses a
# measure: chests under which thick arms join, a neck broader than the shoulders leave, a shoulder
# line steeper than any, a hip close to waist and crotch, an arm, a sleeve too short for the height of
# the wrist, a high armpit under a thick arm. Then breadths and depths that the survey's regression
# does not lead to.
UNUSUAL = (
    ("male", {"height": 1.763, "bust_girth": 1.207, "upper_arm_girth": 0.422, "shoulder_point_height": 1.43, "underbust_girth": 1.127, "biacromial_breadth": 0.425}),
    ("male", {"height": 1.684, "thigh_girth": 0.731, "shoulder_point_height": 1.362, "bust_girth": 1.178}),
    ("female", {"height": 1.717, "shoulder_length": 0.131, "biacromial_breadth": 0.394, "neck_girth": 0.351, "shoulder_point_height": 1.402, "back_neck_point_to_wrist": 0.904, "bust_girth": 1.114}),
    ("female", {"height": 1.563, "shoulder_length": 0.129, "biacromial_breadth": 0.337, "neck_girth": 0.337, "shoulder_point_height": 1.241, "back_neck_point_to_wrist": 0.762, "bust_girth": 0.914}),
    ("male", {"height": 1.782, "bust_girth": 0.91, "waist_girth": 0.681, "bust_height": 1.298, "navel_waist_girth": 0.711, "navel_waist_height": 1.047, "hip_height": 0.851}),
    ("female", {"height": 1.622, "bust_girth": 0.908, "hip_height": 0.827, "foot_length": 0.249, "navel_waist_girth": 0.676, "inside_leg_height": 0.808, "forearm_girth": 0.248, "neck_girth": 0.309}),
    ("male", {"height": 1.68, "bust_girth": 1.14, "knee_girth": 0.409, "wrist_height": 0.839, "biacromial_breadth": 0.407}),
    ("female", {"height": 1.779, "bust_girth": 0.935, "wrist_height": 0.828, "back_neck_point_to_wrist": 0.879}),
    ("male", {"height": 1.83, "bust_girth": 1.158, "shoulder_point_height": 1.507, "waist_height": 1.2, "back_neck_point_to_wrist": 0.906, "axilla_height": 1.382}),
    ("male", {"height": 1.76, "bust_girth": 1.0, "bust_breadth": 0.31, "bust_depth": 0.265, "navel_waist_breadth": 0.30}),
    ("female", {"height": 1.64, "bust_girth": 0.96, "bust_breadth": 0.31, "bust_depth": 0.25, "hip_girth": 1.04, "hip_breadth": 0.38, "hip_depth": 0.235}),
    ("female", {"height": 1.64, "bust_girth": 0.92, "bust_depth": 0.235, "navel_waist_girth": 0.86, "navel_waist_depth": 0.205, "navel_waist_breadth": 0.315}),
)  # fmt: skip


@pytest.mark.parametrize(("sex", "measures"), UNUSUAL)
def test_unusual_tapes_are_met(sex: str, measures: dict[str, float]) -> None:
    mannequin = build_mannequin(Tape(sex=sex, given=measures))
    assert mannequin.warnings == ()
    assert_tape_is_met(mannequin)
    assert_surface_is_sound(mannequin)


def test_shoulder_slope_shows() -> None:
    base = {"height": 1.66, "bust_girth": 0.94}
    for degrees in (18.0, 32.0):
        slope = math.radians(degrees)
        mannequin = build_mannequin(Tape(sex="female", given=base | {"shoulder_slope": slope}))
        tip = mannequin.landmarks["shoulder_point_left"]
        line = mannequin.landmarks["side_neck_point_left"] - tip
        found = math.degrees(math.atan2(line[2], -line[0]))
        assert found == pytest.approx(degrees, abs=2.0)


def test_a_breadth_that_its_girth_cannot_have_is_told() -> None:
    # a tape of 96 cm round a body 40 cm broad would leave it a depth of next to nothing
    given = {"height": 1.64, "bust_girth": 0.96, "bust_breadth": 0.40}
    mannequin = build_mannequin(Tape(sex="female", given=given))
    found = measure_body(mannequin)
    assert found["bust_girth"] == pytest.approx(0.96, abs=0.002)
    assert found["bust_breadth"] < 0.39
    assert any("bust breadth is" in warning for warning in mannequin.warnings)


def test_the_sheet_of_bodies_dresses_every_ready_tape() -> None:
    """One variant of the job with ten bodies for each ready tape, with just its measures."""
    dressed = {
        name: one.tape for name, one in load_job(FOLDER / "jobs/larch_hut_bodies.toml").expand()
    }
    assert dressed == {path.stem.replace("_", " "): read_tape(path) for path in FILES}
