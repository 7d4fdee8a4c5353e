# SPDX-License-Identifier: GPL-3.0-or-later
"""The pictures of a job: every shot of every variant and colourway, with its camera and its key."""

import hashlib
import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from .arrays import FloatArray
from .cloth import FIGURES, ClothChoice, Print
from .cloth_tables import write_cloth
from .cut_line import finished_cut
from .drape import Drape
from .errors import InputError
from .files import folder_names, slug
from .job import AS_IT_STANDS, Job, job_text
from .job_tables import write_cut, write_tape
from .pattern import build_pattern
from .picture_words import alt_text, cloth_facts, notice
from .pictures.choice import SIZES_PX, PictureChoice
from .pictures.framing import Camera, camera_for, frame_of
from .pictures.laid import folded_stack, laid_flat
from .pictures.shots import SHOTS, Shot, Subject, possible
from .pictures.take import Take, Wrap

__all__ = [
    "LeftOut",
    "Look",
    "Picture",
    "drape_key",
    "looks",
    "plan_pictures",
    "pose_of",
    "taken_shots",
    "worn",
]

FORMAT = 4
"""To be raised when pictures of the same plan come out otherwise."""

LYING = (Subject.FLAT, Subject.FOLDED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """A variant in a colourway: its name, its parts, and its job."""

    variant: str
    colourway: str
    slug: str
    job: Job


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A shot that is not taken of a variant, and why."""

    variant: str
    shot: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A take with what the manifest tells of it."""

    take: Take
    facts: Mapping[str, Any]


def looks(job: Job) -> tuple[Look, ...]:
    """Every variant in every colourway, with names for files that do not clash.

    Raises
    ------
    InputError
        A colourway colours the print of a layer that has none.
    """
    variants = [(name if job.variants else "", one) for name, one in job.expand()]
    _check_colourways(job.pictures, [one for _, one in variants])
    found = [
        Look(variant=name, colourway=way, slug="", job=coloured)
        for name, one in variants
        for way, coloured in _coloured(one, job.pictures)
    ]
    names = folder_names(
        "-".join(slug(part) for part in (job.name, one.variant, one.colourway) if part)
        for one in found
    )
    return tuple(replace(one, slug=name) for one, name in zip(found, names, strict=True))


def _coloured(job: Job, choice: PictureChoice) -> Iterator[tuple[str, Job]]:
    if not choice.colourways:
        yield "", job
    for way in choice.colourways:
        outer = _dyed(job.outer, way.outer, way.outer_print)
        lining = _dyed(job.lining, way.lining, way.lining_print)
        yield way.name, replace(job, outer=outer, lining=lining)


def _dyed(cloth: ClothChoice, ground: str | None, figures: tuple[str, ...]) -> ClothChoice:
    """A cloth in other colours; one without figures of ours keeps its print."""
    if ground is not None:
        cloth = replace(cloth, colour=ground)
    motif = _own_motif(cloth)
    if figures and motif is not None:
        cloth = replace(cloth, print=replace(motif, colours=figures))
    return cloth


def _own_motif(cloth: ClothChoice) -> Print | None:
    """Its print, where that has figures of ours to be coloured."""
    return cloth.print if cloth.print is not None and cloth.print.picture is None else None


def _check_colourways(choice: PictureChoice, variants: Sequence[Job]) -> None:
    """Refuse colours of figures on a layer that has none in any variant."""
    for layer in ("outer", "lining"):
        if any(_own_motif(getattr(one, layer)) for one in variants):
            continue
        for way in choice.colourways:
            if getattr(way, f"{layer}_print"):
                raise InputError(
                    f"pictures.colourway.{layer}_print",
                    f'colours in "{way.name}"',
                    f"only where the {layer} cloth has a print of our own",
                    f"give it a table cloth.{layer}.print, or leave these colours out",
                )


def worn(job: Job, shot: Shot) -> Job:
    """The job as it is worn for a shot: with the lining outside where it is turned."""
    return replace(job, outer=job.lining, lining=job.outer) if shot.turned else job


def pose_of(job: Job, shot: Shot) -> str:
    """The pose that a shot of this job is taken in."""
    return AS_IT_STANDS if job.body is not None else shot.pose


def taken_shots(look: Look, names: Iterable[str]) -> tuple[list[str], list[LeftOut]]:
    """The shots that can be taken of a look, and those that cannot."""
    taken, left_out = [], []
    for name in names:
        why = possible(name, look.job.cut, own_body=look.job.body is not None)
        if why:
            left_out.append(LeftOut(variant=look.variant, shot=name, why=why))
        else:
            taken.append(name)
    return taken, left_out


def drape_key(job: Job, pose: str, edge_length_m: float) -> str:
    """A name that changes with whatever the drape depends on, and with nothing else."""
    cloths = [
        {figure: getattr(cloth, figure) for figure in FIGURES}
        for cloth in (job.outer_cloth, job.lining_cloth)
    ]
    body = "" if job.body is None else f"{job.body} {job.body.path.stat().st_mtime_ns}"
    cut = write_cut(finished_cut(job.cut, job.allowances), "cm")
    return _digest(cloths, body, cut, write_tape(job.tape, "cm"), pose, round(edge_length_m, 6))


def _digest(*parts: object) -> str:
    text = json.dumps(parts, sort_keys=True, default=str)
    return hashlib.sha256(text.encode()).hexdigest()[:24]


def plan_pictures(
    job: Job,
    out: Path,
    drape_of: Callable[[Job, str], tuple[str, Drape] | None],
    *,
    quick: bool = False,
) -> tuple[list[Picture], list[LeftOut]]:
    """All pictures of a job, in an order that needs the fewest changes in the studio.

    Parameters
    ----------
    out
        The folder for them.
    drape_of
        The file, and the content, of the drape of a job as it is worn in a pose; None where there
        is none.
    quick
        For a first look.

    Returns
    -------
    What is to be taken, and what cannot.
    """
    plan: list[tuple[Look, str, Wrap, FloatArray]] = []
    left_out: list[LeftOut] = []
    for look in looks(job):
        names, missing = taken_shots(look, job.pictures.shots)
        left_out += missing
        for name in _grouped(names):
            found = _wrap(look, SHOTS[name], drape_of)
            if found is None:
                why = f"it was not draped {pose_of(look.job, SHOTS[name])}"
                left_out.append(LeftOut(variant=look.variant, shot=name, why=why))
            else:
                plan.append((look, name, *found))
    cameras = {
        name: camera_for(SHOTS[name], (points for _, other, _, points in plan if other == name))
        for name in {name for _, name, _, _ in plan}
    }
    pictures = [
        _picture(job, look, name, wrap, cameras[name], background, size, out, quick)
        for background in job.pictures.backgrounds
        for look, name, wrap, _ in plan
        for size in job.pictures.sizes
    ]
    return pictures, left_out


def _grouped(names: Sequence[str]) -> list[str]:
    """Shots that need the same setting one after the other."""
    order = list(SHOTS)

    def place(name: str) -> tuple[object, ...]:
        shot = SHOTS[name]
        return (shot.pose != "standing", shot.pose, shot.turned, shot.opened, order.index(name))

    return sorted((name for name in names if SHOTS[name].subject not in LYING), key=place) + [
        name for name in names if SHOTS[name].subject in LYING
    ]


def _wrap(
    look: Look, shot: Shot, drape_of: Callable[[Job, str], tuple[str, Drape] | None]
) -> tuple[Wrap, FloatArray] | None:
    """What is photographed, and the points (n, 3) m that must be in the frame."""
    job = worn(look.job, shot)
    text = job_text(replace(job, variants=(), pictures=PictureChoice()), None)
    if shot.subject in LYING:
        return Wrap(job_text=text), _lying(job, shot)
    found = drape_of(job, pose_of(job, shot))
    if found is None:
        return None
    return Wrap(job_text=text, drape=found[0]), frame_of(found[1], shot)


def _lying(job: Job, shot: Shot) -> FloatArray:
    pattern = build_pattern(finished_cut(job.cut, job.allowances))
    if shot.subject is Subject.FLAT:
        return laid_flat(pattern, job.outer_cloth, job.lining_cloth).outer
    stack = folded_stack(pattern.area_m2, job.outer_cloth, job.lining_cloth)
    half = np.array([stack.width_m, stack.depth_m, stack.height_m]) / 2
    signs = np.array([[x, y, z] for x in (-1, 1) for y in (-1, 1) for z in (0, 2)])
    corners: FloatArray = signs * half
    return corners


def _picture(
    job: Job,
    look: Look,
    name: str,
    wrap: Wrap,
    camera: Camera,
    background: str,
    size: str,
    out: Path,
    quick: bool,
) -> Picture:
    shot, choice = SHOTS[name], job.pictures
    dressed = worn(look.job, shot)
    width_px, height_px = SIZES_PX[size]
    told = notice(dressed, shot.laid, worn=shot.subject not in LYING)
    alt = alt_text(dressed, name, mannequin=choice.mannequin)
    file = f"{look.slug}_{slug(name)}_{background}_{width_px}x{height_px}.png"
    take = Take(
        path=str(out / file),
        shot=name,
        wraps=(wrap,),
        camera=camera,
        background=background,
        mannequin=choice.mannequin,
        width_px=width_px,
        height_px=height_px,
        quick=quick,
        texts={"Title": f"{job.name}, {name}", "Description": alt, "Comment": told},
    )
    facts = {
        "file": file,
        "job": job.name,
        "variant": look.variant,
        "colourway": look.colourway,
        "shot": name,
        "pose": "" if shot.subject in LYING else pose_of(dressed, shot),
        "side_out": "lining" if shot.turned else "outer",
        **cloth_facts(dressed),
        "size": size,
        "background": background,
        "mannequin": "" if shot.subject in LYING else choice.mannequin,
        "alt": alt,
        "notice": told,
    }
    return Picture(take=keyed(take, dressed), facts=facts)


def keyed(take: Take, *jobs: Job) -> Take:
    """The take with the key of all that it depends on, which its file carries as well."""
    shown = [(_shown(job.outer), _shown(job.lining), write_cut(job.cut, "cm")) for job in jobs]
    depends = asdict(replace(take, path="", key=""))
    for wrap in depends["wraps"]:
        del wrap["job_text"]
        wrap["drape"] = Path(wrap["drape"]).name
    key = _digest(FORMAT, depends, asdict(SHOTS[take.shot]), shown)
    return replace(take, key=key, texts={**take.texts, "Key": key})


def _shown(choice: ClothChoice) -> dict[str, object]:
    """All of a cloth that a picture depends on: of its pictures the content, not where they lie."""
    table = write_cloth(choice, "cm", None)
    for key, picture in (
        ("print", choice.print.picture if choice.print else None),
        ("photograph", choice.photograph.picture if choice.photograph else None),
    ):
        part = table.get(key)
        if picture is not None and isinstance(part, dict):
            part["file"] = picture.digest
    return table
