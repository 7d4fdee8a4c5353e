# SPDX-License-Identifier: GPL-3.0-or-later
"""Pictures beside the shots: two variants with a height ruler, and frames of a turn."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np

from .arrays import FloatArray
from .drape import Drape
from .job import Job, job_text
from .picture_plan import Look, Picture, keyed, looks, pose_of
from .picture_words import cloth_facts, cloth_words, notice
from .pictures.choice import SIZES_PX, PictureChoice
from .pictures.framing import camera_for, frame_of
from .pictures.shots import SHOTS
from .pictures.take import Take, Wrap
from .telling import Telling
from .units import UnitSystem

__all__ = ["FILM_FOLDER", "plan_extras"]

DrapeOf = Callable[[Job, str], tuple[str, Drape] | None]

FILM_FOLDER = "turntable"
GAP_M, BELOW_M, LEFT_M = 0.25, 0.10, 0.2
MARK_M = {"cm": 0.10, "in": 4 * 0.0254}
RING = 24
FRONT = SHOTS["front"]


def plan_extras(job: Job, out: Path, drape_of: DrapeOf, *, quick: bool = False) -> list[Picture]:
    """The comparison of the first two variants and the turntables, as far as the job wants them."""
    found = looks(job)
    firsts = [next(one for one in found if one.variant == name) for name, _ in _variants(job)]
    pictures: list[Picture] = []
    if job.pictures.comparison and len(firsts) > 1 and job.body is None:
        pictures += _comparison(job, firsts[:2], out, drape_of, quick)
    if job.pictures.turntable:
        for look in found:
            pictures += _turntable(job, look, out, drape_of, quick)
    return pictures


def _variants(job: Job) -> tuple[tuple[str, Job], ...]:
    return job.expand() if job.variants else ()


def _plain_text(job: Job) -> str:
    return job_text(replace(job, variants=(), pictures=PictureChoice()), None)


def _comparison(
    job: Job, pair: Sequence[Look], out: Path, drape_of: DrapeOf, quick: bool
) -> Iterator[Picture]:
    """Two wraps side by side, seen from the front without perspective, with a ruler behind them."""
    drapes = [drape_of(look.job, pose_of(look.job, FRONT)) for look in pair]
    if any(one is None for one in drapes):
        return
    files, hung = zip(*(one for one in drapes if one is not None), strict=True)
    clouds = [frame_of(drape, FRONT) for drape in hung]
    halves = [float(np.abs(cloud[:, 0]).max()) for cloud in clouds]
    shifts = (-halves[0] - GAP_M / 2, halves[1] + GAP_M / 2)
    tell = Telling(job.units)
    captions = [
        f"{look.variant}: back hem {tell.length(_back_hem_m(drape))} over the floor"
        for look, drape in zip(pair, hung, strict=True)
    ]
    moved = [
        cloud + np.array([shift, 0.0, 0.0]) for cloud, shift in zip(clouds, shifts, strict=True)
    ]
    low_m = min(float(cloud[:, 2].min()) for cloud in moved)
    high_m = max(float(cloud[:, 2].max()) for cloud in moved)
    left_m = float(moved[0][:, 0].min()) - LEFT_M
    around = np.array([[left_m, 0.0, low_m - BELOW_M], [0.0, 0.0, high_m]])
    camera = replace(camera_for(FRONT, [*moved, around]), flat=True)
    width_px, _ = SIZES_PX[job.pictures.sizes[0]]
    height_px = round(width_px * camera.height_m / camera.width_m)
    file = f"{pair[0].slug}_beside_{pair[1].slug}_{width_px}x{height_px}.png"
    alt = (
        f"Two wraps side by side on the same shop mannequin beside a height ruler, "
        f"{cloth_words(pair[0].job.outer_cloth, job.units)} outside: {captions[0]}; {captions[1]}."
    )
    background = job.pictures.backgrounds[0]
    take = Take(
        path=str(out / file),
        shot="front",
        wraps=tuple(
            Wrap(job_text=_plain_text(look.job), drape=name, caption=caption, shift_m=shift)
            for look, name, caption, shift in zip(pair, files, captions, shifts, strict=True)
        ),
        camera=camera,
        background="white" if background in ("room", "transparent") else background,
        mannequin="shown",
        width_px=width_px,
        height_px=height_px,
        quick=quick,
        texts={
            "Title": f"{job.name}, compared",
            "Description": alt,
            "Comment": " ".join(dict.fromkeys(notice(look.job) for look in pair)),
        },
        ruler=_marks(low_m, high_m, job.units),
    )
    yield _listed(job, pair[0], keyed(take, *(look.job for look in pair)), "comparison", file)


def _back_hem_m(drape: Drape) -> float:
    """Height of the hem over the floor at the centre back, metres."""
    chain = drape.panel.edges["hem_back"]
    middle = chain[np.abs(drape.panel.flat[chain, 0]).argmin()]
    return float(drape.outer[middle, 2])


def _marks(low_m: float, high_m: float, units: UnitSystem) -> tuple[tuple[float, str], ...]:
    """Heights over the floor at whole steps, in words."""
    step_m, tell = MARK_M[units], Telling(units)
    numbers = range(math.ceil(low_m / step_m), math.floor(high_m / step_m) + 1)
    return tuple((number * step_m, tell.chosen(number * step_m)) for number in numbers if number)


def _turntable(
    job: Job, look: Look, out: Path, drape_of: DrapeOf, quick: bool
) -> Iterator[Picture]:
    """One turn of a wrap, in a folder of its own; all frames with the same frame round the middle."""
    found = drape_of(look.job, pose_of(look.job, FRONT))
    if found is None:
        return
    wrap = Wrap(job_text=_plain_text(look.job), drape=found[0])
    ring = _ring(frame_of(found[1], FRONT))
    count = job.pictures.turntable
    width_px, height_px = SIZES_PX[job.pictures.sizes[0]]
    for number in range(count):
        turn_rad = 2 * math.pi * number / count
        file = f"{FILM_FOLDER}/{look.slug}/frame_{number:03d}.png"
        alt = (
            f"Turntable of the wrap on a shop mannequin, {cloth_words(look.job.outer_cloth, job.units)} outside, "
            f"turned by {math.degrees(turn_rad):.0f} degrees."
        )
        take = Take(
            path=str(out / file),
            shot="front",
            wraps=(wrap,),
            camera=camera_for(FRONT, [ring], turn_rad=turn_rad),
            background=job.pictures.backgrounds[0],
            mannequin=job.pictures.mannequin,
            width_px=width_px,
            height_px=height_px,
            quick=quick,
            texts={
                "Title": f"{job.name}, turntable",
                "Description": alt,
                "Comment": notice(look.job),
            },
        )
        yield _listed(job, look, keyed(take, look.job), "turntable", file)


def _ring(points: FloatArray) -> FloatArray:
    """A round box about upright points (n, 3): it looks alike from all sides."""
    low, high = points.min(axis=0), points.max(axis=0)
    middle = (low + high)[:2] / 2
    radius_m = float(np.linalg.norm(points[:, :2] - middle, axis=1).max())
    angle = np.linspace(0.0, 2 * np.pi, RING, endpoint=False)
    circle = middle + radius_m * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    return np.concatenate(
        [np.column_stack([circle, np.full(RING, height)]) for height in (low[2], high[2])]
    )


def _listed(job: Job, look: Look, take: Take, shot: str, file: str) -> Picture:
    return Picture(
        take=take,
        facts={
            "file": file,
            "job": job.name,
            "variant": look.variant,
            "colourway": look.colourway,
            "shot": shot,
            "pose": pose_of(look.job, FRONT),
            "side_out": "outer",
            **cloth_facts(look.job),
            "size": job.pictures.sizes[0],
            "background": take.background,
            "mannequin": take.mannequin,
            "alt": take.texts["Description"],
            "notice": take.texts["Comment"],
        },
    )
