# SPDX-License-Identifier: GPL-3.0-or-later
"""From takes to pictures: what each shows is set up in a scene, and rendered to its file."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from functools import partial
from itertools import groupby
from pathlib import Path

import bpy
import numpy as np

from ...core.arrays import FloatArray
from ...core.cut_line import finished_cut
from ...core.drape import Drape, load_drape
from ...core.errors import FileError
from ...core.files import whole_file
from ...core.job import Job, read_job_text
from ...core.pattern import build_pattern
from ...core.pictures.laid import folded_stack, laid_flat
from ...core.pictures.png_file import annotated
from ...core.pictures.shots import SHOTS, Subject
from ...core.pictures.take import Sheet, Take, Wrap
from .contact_sheet import set_contact_sheet
from .materials import set_colour
from .ruler import put_ruler
from .stack import put_stack
from .studio import aim, build_studio, note_in_pictures, prepare_render
from .turned_back import covered_by_cuff_m, cuffs_turned_back, fronts_turned_back
from .wrap import put_body, put_layers

__all__ = [
    "aimed",
    "attempt",
    "new_scene",
    "put_dressed",
    "render_to",
    "save_scene",
    "set_up",
    "setting",
    "take_all",
    "write_contact_sheet",
]

NO_PATH = Path("a picture's job")
QUICK_STRANDS = 0.45
GREY = (0.9, 0.9, 0.9)


def take_all(takes: Iterable[Take], announce: Callable[[Take], None]) -> None:
    """Take pictures, each written whole or not at all; ``announce`` is told each beforehand.

    Raises
    ------
    FileError
        A file cannot be read, rendered or written.
    """
    for take, scene in aimed(takes, new_scene, load_drape):
        announce(take)
        render_to(scene, take)


def aimed(
    takes: Iterable[Take], empty: Callable[[], bpy.types.Scene], load: Callable[[Path], Drape]
) -> Iterator[tuple[Take, bpy.types.Scene]]:
    """Each take with a scene that is ready to be rendered.

    Takes of the same setting that follow one another are taken without setting it up again.

    Parameters
    ----------
    empty
        Gives an empty scene; the last one is of no more use.
    load
        The drape of a take's wrap.
    """
    for _, group in groupby(takes, key=setting):
        scene = empty()
        for number, take in enumerate(group, start=1):
            if number == 1:
                set_up(scene, take, load)
            aim(scene, number, take.shot, take.camera, take.width_px, take.height_px)
            yield take, scene


def setting(take: Take) -> tuple[object, ...]:
    """What stands in the studio: the same for takes that need no other scene."""
    shot = SHOTS[take.shot]
    return (
        take.wraps,
        take.background,
        take.mannequin,
        take.quick,
        take.ruler,
        shot.opened,
        shot.subject in (Subject.WORN, Subject.SLEEVE) or shot.subject,
    )


def new_scene() -> bpy.types.Scene:
    """An empty file with one scene."""
    bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
    bpy.context.preferences.filepaths.save_version = 0  # no copy of the placeholder beside it
    scene = bpy.context.scene
    scene.name = "Wrap"
    return scene


def set_up(scene: bpy.types.Scene, take: Take, load: Callable[[Path], Drape]) -> None:
    """Put what a take shows into an empty scene, with the studio round it."""
    shot = SHOTS[take.shot]
    corners = np.concatenate([_put_aside(scene, wrap, take, load) for wrap in take.wraps])
    if take.ruler:
        put_ruler(scene.collection, take)
    low, high = corners.min(axis=0), corners.max(axis=0)
    floor = shot.subject in (Subject.FLAT, Subject.FOLDED) or shot.pose != "standing"
    build_studio(scene, low, high, background=take.background, floor=floor)
    prepare_render(scene, quick=take.quick)
    note_in_pictures(scene, take.texts.get("Comment", ""))


def _put_aside(
    scene: bpy.types.Scene, wrap: Wrap, take: Take, load: Callable[[Path], Drape]
) -> FloatArray:
    """Put one wrap into its place in the scene; the corners (2, 3) m of its box."""
    before = set(scene.collection.objects)
    box = _put(scene, wrap, take, load)
    for thing in set(scene.collection.objects) - before:
        thing.location.x += wrap.shift_m
    return box + np.array([wrap.shift_m, 0.0, 0.0])


def _put(
    scene: bpy.types.Scene, wrap: Wrap, take: Take, load: Callable[[Path], Drape]
) -> FloatArray:
    """Put one wrap into the scene; (2, 3) m, the corners of its box."""
    shot = SHOTS[take.shot]
    job = read_job_text(wrap.job_text, NO_PATH)
    home = scene.collection
    if shot.subject is Subject.FLAT:
        laid = laid_flat(
            build_pattern(finished_cut(job.cut, job.allowances)), job.outer_cloth, job.lining_cloth
        )
        put_layers(laid, home, job.cut.nap, strand_share=strands_of(take))
        return _box(laid.outer)
    if shot.subject is Subject.FOLDED:
        area_m2 = build_pattern(finished_cut(job.cut, job.allowances)).area_m2
        stack = folded_stack(area_m2, job.outer_cloth, job.lining_cloth)
        return put_stack(stack, job.outer_cloth, home)
    return put_dressed(home, load(Path(wrap.drape)), job, take)


def put_dressed(home: bpy.types.Collection, drape: Drape, job: Job, take: Take) -> FloatArray:
    """Put a worn wrap, and who wears it, into a collection; the corners (2, 3) m of their box."""
    drape = replace(drape, outer_cloth=job.outer_cloth, lining_cloth=job.lining_cloth)
    shot = SHOTS[take.shot]
    if take.mannequin != "hidden" or drape.body.furniture:
        body = put_body(drape.body, home)
        if take.mannequin != "shown":
            set_colour(body.data.materials[0], GREY)
    turn = partial(fronts_turned_back, drape) if shot.opened else None
    put_layers(
        drape,
        home,
        job.cut.nap,
        arranged=turn,
        covered_m=covered_by_cuff_m(drape, job.cut.cuff_depth_m),
        strand_share=strands_of(take),
    )
    if job.cut.cuff_depth_m:
        cuffs_turned_back(drape, job.cut.cuff_depth_m, home, job.cut.nap)
    furniture = [support.mesh()[0] for support in drape.body.furniture]
    return _box(np.concatenate([drape.body.vertices, drape.outer, *furniture]))


def strands_of(take: Take) -> float:
    """The share of the strands that a take shows."""
    return QUICK_STRANDS if take.quick else 1.0


def _box(points: FloatArray) -> FloatArray:
    return np.stack([points.min(axis=0), points.max(axis=0)])


def render_to(scene: bpy.types.Scene, take: Take) -> None:
    """Render the scene as it is aimed to the take's file, with what it says about itself."""
    _render(scene, Path(take.path), take.texts, f"The {take.shot} picture")


def write_contact_sheet(sheet: Sheet) -> None:
    """Render a contact sheet to its file."""
    scene = new_scene()
    set_contact_sheet(scene, [(Path(file), *words) for file, *words in sheet.entries])
    _render(scene, Path(sheet.path), sheet.texts, "The contact sheet")


def _render(scene: bpy.types.Scene, path: Path, texts: Mapping[str, str], what: str) -> None:
    with whole_file(path) as temporary:
        scene.render.filepath = str(temporary)
        attempt(f"{what} could not be rendered", partial(bpy.ops.render.render, write_still=True))
        temporary.write_bytes(annotated(temporary.read_bytes(), texts))


def save_scene(path: Path) -> None:
    """Save the file that is open, whole or not at all."""
    with whole_file(path) as temporary:
        attempt(
            "The scene could not be saved",
            partial(
                bpy.ops.wm.save_as_mainfile,
                filepath=str(temporary),
                compress=True,
                copy=True,
                relative_remap=False,
            ),
        )


def attempt(what: str, action: Callable[[], set[str]]) -> None:
    """Call an operator of Blender's; ``what`` begins the sentence that tells why it failed."""
    try:
        done = action()
    except RuntimeError as error:
        reason = " ".join(str(error).removeprefix("Error: ").split())
        raise FileError(f"{what}: {reason}") from error
    if done != {"FINISHED"}:
        raise FileError(f"{what}: Blender stopped.")
