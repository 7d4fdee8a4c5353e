# SPDX-License-Identifier: GPL-3.0-or-later
"""Friction of cloth on a body, through the drape's own contact with a mesh.

Amontons and Coulomb: a block on an incline rests while tan α < μ, and beyond that gains
g (sin α - μ cos α) of speed a second. Euler and Eytelwein: a band that hangs over a drum slips when
one side pulls e^(μφ) times as hard as the other (J. L. Meriam, Engineering Mechanics: Statics,
section 6/8).
"""

from types import SimpleNamespace

import numpy as np
from napfold.core.arrays import FloatArray, IntArray
from napfold.core.cloth import STANDARD_GRAVITY_M_S2
from napfold.core.drape.body_contact import BodyContact
from napfold.core.drape.cloth_frames import Nap
from napfold.core.drape.garment import Garment
from napfold.core.drape.motion import STEP_S, Motion
from napfold.core.drape.threads import one_thread
from napfold.core.mannequin import BodyDistance
from napfold.core.mannequin.posed_body import vertex_normals
from napfold.core.slices import finished

from ..rows import Row, reported, share
from .sheets import Held, Pulled, cloth, one_layer, rectangle, sheet

__all__ = ["STAND_OFF_M", "box", "drum", "incline", "on_body", "slid_m", "tangent_of_slip"]

INCLINE_SOURCE = "Coulomb: rests while tan α < μ, then gains g (sin α - μ cos α)"
RUN_OFF_M = 0.02
DRUM_SOURCE = "Euler-Eytelwein: e^(μφ)"
STAND_OFF_M = 0.004
"""Deep enough that no pile is squeezed to where it hardens."""


def on_body(
    vertices: FloatArray,
    triangles: IntArray,
    garment: Garment,
    friction: float,
    nap: Nap | None = None,
) -> BodyContact:
    """The contact of a garment with any closed mesh in place of a mannequin."""
    body = SimpleNamespace(
        vertices=vertices,
        triangles=triangles,
        part=np.zeros(len(vertices), dtype=np.int64),
        normals=vertex_normals(vertices, triangles),
        supports=(),
    )
    size = len(garment.mass_kg)
    contact = BodyContact(
        BodyDistance(body),
        np.full(size, STAND_OFF_M),
        2 * STAND_OFF_M,
        garment.area_m2,
        friction,
        nap,
    )
    contact.move_body(body)
    return contact


def box(length_m: float, width_m: float, height_m: float) -> tuple[FloatArray, IntArray]:
    """A closed box under z = 0, its triangles counter-clockwise from outside."""
    signs = np.array([[x, y, z] for z in (-1, 0) for y in (-1, 1) for x in (-1, 1)], dtype=float)
    faces = [(0, 2, 3, 1), (4, 5, 7, 6), (0, 1, 5, 4), (2, 6, 7, 3), (0, 4, 6, 2), (1, 3, 7, 5)]
    triangles = [(a, b, c) for a, b, c, _ in faces] + [(a, c, d) for a, _, c, d in faces]
    return signs * [length_m / 2, width_m / 2, height_m], np.array(triangles)


def _on_incline(tangent: float, friction: float) -> Motion:
    """A square of cloth flat on a slope that falls towards +x, about to be let go."""
    edge_m = 0.01
    flat, triangles = rectangle(0.06, 0.06, edge_m, "mesher's")
    garment = one_layer(sheet(flat - 0.03, triangles, edge_m), cloth(0.25, (1e-4, 1e-4)))
    angle = np.arctan(tangent)
    turn = np.array(
        [
            [np.cos(angle), 0.0, -np.sin(angle)],
            [0.0, 1.0, 0.0],
            [np.sin(angle), 0.0, np.cos(angle)],
        ]
    )
    vertices, faces = box(4.0, 1.0, 0.2)
    contact = on_body(vertices @ turn, faces, garment, friction)
    start = np.concatenate([flat - 0.03, np.full((len(flat), 1), STAND_OFF_M)], axis=1)
    return Motion(garment, contact, [], start @ turn)


def slid_m(tangent: float, friction: float, *, stepping: bool) -> tuple[float, float]:
    """How far and how fast (m, m/s) it goes in the second half of a second, or of 20 rounds."""
    motion = _on_incline(tangent, friction)
    count = 30 if stepping else 20
    middle = motion.positions
    with one_thread():
        for index in range(count):
            if index == count // 2:
                middle = motion.positions
            if stepping:
                finished(motion.step(gravity_share=1.0, kept_velocity=1.0))
            else:
                finished(motion.descend())
    moved = np.linalg.norm((motion.positions - middle).mean(axis=0))
    speed = np.linalg.norm(motion.velocity.mean(axis=0))
    return float(moved), float(speed)


def tangent_of_slip(friction: float, *, stepping: bool = False) -> float:
    """The slope at which it begins to slide, searched to a hundredth of the coefficient."""
    low, high = 0.85 * friction, 1.15 * friction
    if slid_m(low, friction, stepping=stepping)[0] > 0.001:
        return low
    while high - low > 0.01 * friction:
        middle = (low + high) / 2
        if slid_m(middle, friction, stepping=stepping)[0] > 0.001:
            high = middle
        else:
            low = middle
    return (low + high) / 2


def incline() -> list[Row]:
    """Where sliding starts, in descent rounds, which end every drape, and in time steps.

    Time steps are only the way there (dressing, moving arms): they are reported without a gate. Six
    iterations a step that take every contact for sticking leave cloth sliding far too slowly.
    """
    rows = []
    for friction in (0.2, 0.5, 0.9):
        exact = np.degrees(np.arctan(friction))
        found = np.degrees(np.arctan(tangent_of_slip(friction, stepping=False)))
        name = f"incline, μ={friction:g}, at rest: angle of slip"
        rows.append(share(name, found, exact, 0.05, "°", INCLINE_SOURCE))
        found = np.degrees(np.arctan(tangent_of_slip(friction, stepping=True)))
        name = f"incline, μ={friction:g}, time steps: angle of slip"
        rows.append(reported(name, found, "°", INCLINE_SOURCE, exact))
        tangent = 1.5 * friction
        cosine = 1 / np.sqrt(1 + tangent**2)
        speed = STANDARD_GRAVITY_M_S2 * cosine * (tangent - friction) * 30 * STEP_S
        _, found = slid_m(tangent, friction, stepping=True)
        name = f"incline, μ={friction:g}, tan α=1.5 μ: speed after 1 s"
        rows.append(reported(name, found, "m/s", INCLINE_SOURCE, speed))
    return rows


def _drum_mesh(radius_m: float, width_m: float) -> tuple[FloatArray, IntArray]:
    """A closed cylinder along y."""
    count = 360
    angle = 2 * np.pi * np.arange(count) / count
    circle = radius_m * np.stack([np.cos(angle), np.zeros(count), np.sin(angle)], axis=1)
    aside = np.array([0.0, width_m / 2, 0.0])
    near, far = circle - aside, circle + aside
    middles = np.stack([-aside, aside])
    index = np.arange(count)
    after = (index + 1) % count
    first, second = np.full(count, 2 * count), np.full(count, 2 * count + 1)
    triangles = np.concatenate(
        [
            np.stack([index, index + count, after], axis=1),
            np.stack([after, index + count, after + count], axis=1),
            np.stack([first, index, after], axis=1),
            np.stack([second, after + count, index + count], axis=1),
        ]
    )
    return np.concatenate([near, far, middles]), triangles


def _band_slips(ratio: float, friction: float) -> bool:
    """Whether a weightless band over half a drum runs off with its ends pulled down 1 to ratio."""
    radius_m, width_m, edge_m, loose_m = 0.05, 0.03, 0.005, 0.03
    length_m = np.pi * (radius_m + STAND_OFF_M) + 2 * loose_m
    flat, triangles = rectangle(length_m, width_m, edge_m, "rows along")
    flat = flat - [length_m / 2, width_m / 2]
    garment = one_layer(
        sheet(flat, triangles, edge_m), cloth(0.15, (1e-7, 1e-7), (3000.0, 3000.0), 300.0)
    )
    contact = on_body(*_drum_mesh(radius_m, 0.2), garment, friction)
    out_m = radius_m + STAND_OFF_M
    turn = np.clip(flat[:, 0] / out_m, -np.pi / 2, np.pi / 2)
    beyond = np.abs(flat[:, 0]) - np.pi / 2 * out_m
    height = np.where(beyond > 0, -beyond, out_m * np.cos(turn))
    start = np.stack([out_m * np.sin(turn), flat[:, 1], height], axis=1)
    force = np.zeros_like(start)
    for place_m, load in ((-length_m / 2, 20.0), (length_m / 2, 20.0 * ratio)):
        end = np.flatnonzero(np.abs(flat[:, 0] - place_m) < 1e-9)
        force[end, 2] = -load * width_m / len(end)
    # the band stays in its plane, as between flanges
    flanges = Held(np.arange(len(start)), start, axes=(False, True, False))
    motion = Motion(garment, contact, [flanges, Pulled(force)], start)
    middle = start
    with one_thread():
        for index in range(16):
            if index == 12:
                middle = motion.positions
            finished(motion.descend())
    # a band that slips fast has run off before the middle, and moves no more
    ran_off = (motion.positions - start)[:, 0].mean() > RUN_OFF_M
    return bool(ran_off or (motion.positions - middle)[:, 0].mean() > 2e-5)


def drum() -> list[Row]:
    """The ratio of the pulls at which the band slips, searched to a hundredth."""
    rows = []
    for friction in (0.2, 0.4):
        exact = float(np.exp(friction * np.pi))
        low, high = 0.8 * exact, 1.2 * exact
        while high - low > 0.01 * exact:
            middle = (low + high) / 2
            if _band_slips(middle, friction):
                high = middle
            else:
                low = middle
        name = f"band over half a drum, μ={friction:g}: ratio of pulls at slip"
        rows.append(share(name, (low + high) / 2, exact, 0.05, "", DRUM_SOURCE))
    return rows
