# SPDX-License-Identifier: GPL-3.0-or-later
"""Drapes that are kept in a folder, so that none is made twice."""

from dataclasses import replace
from pathlib import Path

from .drape import Drape, load_drape, save_drape
from .errors import NapfoldError
from .job import Job, load_job
from .picture_plan import drape_key
from .workshop import Say, Single, Workshop

__all__ = ["DrapeStore"]

DRAPES = "drapes"


class DrapeStore:
    """Drapes by their keys: those in the folder, those of an earlier preview there, new ones.

    Parameters
    ----------
    out
        The folder; its own folder ``drapes`` keeps them.
    edge_length_m
        Edge length of the cloth's mesh, metres.
    workshop
        Makes those that are missing.
    say
        Told at each step of that.
    """

    def __init__(self, out: Path, edge_length_m: float, workshop: Workshop, say: Say) -> None:
        self._folder = out / DRAPES
        self._edge_length_m = edge_length_m
        self._workshop = workshop
        self._say = say
        self._loaded: dict[str, tuple[str, Drape]] = {}
        self._previewed = _previewed(out)

    def drape_of(self, job: Job, pose: str) -> tuple[str, Drape]:
        """File and content of the drape of a job in a pose, made where there is none."""
        key = drape_key(job, pose, self._edge_length_m)
        if key not in self._loaded:
            path = self._folder / f"{key}.npz"
            self._loaded[key] = (str(path), self._stored(path, key) or self._made(path, job, pose))
        return self._loaded[key]

    def _stored(self, path: Path, key: str) -> Drape | None:
        if path.is_file():
            return load_drape(path)
        if key not in self._previewed:
            return None
        drape = load_drape(self._previewed[key])
        save_drape(path, drape)
        return drape

    def _made(self, path: Path, job: Job, pose: str) -> Drape:
        single = Single(
            name=f"{job.name}, {pose}",
            slug="",
            job=replace(job, poses=(pose,), variants=()),
            pose=pose,
            variant="",
        )
        drape = self._workshop.drape(single, self._say)
        save_drape(path, drape)
        return drape


def _previewed(out: Path) -> dict[str, Path]:
    """Drapes that a preview left in the folder, by key."""
    found = {}
    for path in sorted(out.glob("*/job.toml")):
        drape = path.with_name("drape.npz")
        try:
            job = load_job(path)
            edge_length_m = load_drape(drape).panel.edge_length_m
        except NapfoldError:
            continue  # not what a preview leaves
        found[drape_key(job, job.poses[0], edge_length_m)] = drape
    return found
