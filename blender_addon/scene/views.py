# SPDX-License-Identifier: GPL-3.0-or-later
"""The few pictures of a preview, and the scene file that goes with them."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from ...core.drape import Drape, load_drape
from ...core.job import Job, job_text
from ...core.picture_words import alt_text, notice
from ...core.pictures.choice import PictureChoice
from ...core.pictures.framing import Camera, camera_for, frame_of
from ...core.pictures.shots import SHOTS
from ...core.pictures.take import Take, Wrap
from .photograph import new_scene, render_to, save_scene, set_up
from .studio import aim

__all__ = ["take_views", "view_cameras", "view_take"]


def take_views(
    folders: Sequence[Path],
    jobs: Sequence[Job],
    set_scene: Callable[[str], None],
    announce: Callable[[str], None],
) -> None:
    """Write ``scene.blend`` and a picture of each of the job's views into each folder.

    Wraps in the same pose are seen by the same cameras, so their pictures line up.

    Parameters
    ----------
    folders, jobs
        Each folder has a ``drape.npz``; its job gives name, views and size.
    set_scene, announce
        Told each job's name, and each view before it is rendered.

    Raises
    ------
    FileError
        A file cannot be read, rendered or written.
    """
    drapes = [load_drape(folder / "drape.npz") for folder in folders]
    for folder, job, drape in zip(folders, jobs, drapes, strict=True):
        set_scene(job.name)
        alike = [
            other for other, its_job in zip(drapes, jobs, strict=True) if its_job.poses == job.poses
        ]
        cameras = view_cameras(job.views, alike)
        takes = [view_take(job, folder, view, camera) for view, camera in cameras.items()]
        scene = new_scene()
        set_up(scene, takes[0], lambda _path, drape=drape: drape)
        for number, take in enumerate(takes, start=1):
            aim(scene, number, take.shot, take.camera, take.width_px, take.height_px)
        scene.frame_set(1)
        save_scene(folder / "scene.blend")
        for number, take in enumerate(takes, start=1):
            announce(take.shot)
            scene.frame_set(number)
            render_to(scene, take)


def view_cameras(views: Sequence[str], drapes: Sequence[Drape]) -> Mapping[str, Camera]:
    """The camera of each view, the same for all drapes."""
    return {
        view: camera_for(SHOTS[view], [frame_of(drape, SHOTS[view]) for drape in drapes])
        for view in views
    }


def view_take(job: Job, folder: Path, view: str, camera: Camera) -> Take:
    """The take of one view of a preview."""
    size = job.picture_size_px
    return Take(
        path=str(folder / f"{view}.png"),
        shot=view,
        wraps=(
            Wrap(
                job_text=job_text(replace(job, variants=(), pictures=PictureChoice()), None),
                drape=str(folder / "drape.npz"),
            ),
        ),
        camera=camera,
        background="paper",
        mannequin="shown",
        width_px=size,
        height_px=size,
        texts={
            "Title": f"{job.name}, {view}",
            "Description": alt_text(job, view, mannequin="shown"),
            "Comment": f"{job.name}. {notice(job)}",
        },
    )
