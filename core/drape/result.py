# SPDX-License-Identifier: GPL-3.0-or-later
"""What a drape leaves behind, and its file."""

import io
import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Any

import numpy as np

from ..arrays import FloatArray
from ..cloth import Cloth
from ..errors import FileError
from ..files import read_bytes, whole_file
from ..mannequin import PosedBody
from ..mannequin.poses import Limbs, Pose
from ..mannequin.supports import Support
from ..panels import PanelMesh

__all__ = ["Drape", "load_drape", "pack_drape", "save_drape", "unpack_drape"]

MOST_BYTES = 200_000_000
FORMAT = 2


@dataclass(frozen=True, slots=True)
class Drape:
    """A garment settled on a body in one pose.

    Attributes
    ----------
    panel
        The flat mesh of one layer (n vertices).
    outer, lining
        (n, 3) middle surfaces of both layers, metres; seam partners coincide, and outer and
        lining coincide along the rim.
    outer_cloth, lining_cloth
        The materials.
    body
        The posed body.
    stand_off_m
        Distance that the lining's middle surface keeps from the skin where it touches.
    converged
        Whether the drape is at rest and sound enough for figures measured on it to hold.
    reasons
        What is not right with it, small or not, each as a sentence for the user.
    statistics
        What the computation measured about itself, by name with unit.
    """

    panel: PanelMesh
    outer: FloatArray
    lining: FloatArray
    outer_cloth: Cloth
    lining_cloth: Cloth
    body: PosedBody
    stand_off_m: float
    converged: bool
    reasons: tuple[str, ...]
    statistics: Mapping[str, float]


_PANEL_ARRAYS = ("flat", "triangles", "seam_pairs", "rim", "mirror")
_BODY_ARRAYS = ("vertices", "triangles", "part")


def save_drape(path: Path, drape: Drape) -> None:
    """Write a drape as a NumPy archive, whole or not at all.

    Raises
    ------
    FileError
        The file cannot be written.
    """
    content = pack_drape(drape)
    with whole_file(path) as temporary:
        temporary.write_bytes(content)


def pack_drape(drape: Drape) -> bytes:
    """A drape as the bytes of a NumPy archive."""
    arrays = {f"panel.{name}": getattr(drape.panel, name) for name in _PANEL_ARRAYS}
    arrays |= {f"panel.edge.{name}": chain for name, chain in drape.panel.edges.items()}
    arrays |= {f"body.{name}": getattr(drape.body, name) for name in _BODY_ARRAYS}
    arrays |= {f"body.landmark.{name}": mark for name, mark in drape.body.landmarks.items()}
    arrays |= {f"body.joint.{name}": joint for name, joint in drape.body.joints.items()}
    arrays |= {"outer": drape.outer, "lining": drape.lining}
    words = {
        "format": FORMAT,
        "edge_length_m": drape.panel.edge_length_m,
        "outer_cloth": drape.outer_cloth.words(),
        "lining_cloth": drape.lining_cloth.words(),
        "pose": asdict(drape.body.pose),
        "supports": [support.words() for support in drape.body.supports],
        "held": [part.words() for part in drape.body.held],
        "stand_off_m": drape.stand_off_m,
        "converged": drape.converged,
        "reasons": drape.reasons,
        "statistics": dict(drape.statistics),
    }
    text = np.frombuffer(json.dumps(words).encode(), dtype=np.uint8)
    stream = io.BytesIO()
    np.savez_compressed(stream, words=text, **arrays)
    return stream.getvalue()


def load_drape(path: Path) -> Drape:
    """Read a drape written by `save_drape`.

    Raises
    ------
    FileError
        The file cannot be read or is not a drape.
    """
    return unpack_drape(read_bytes(path, MOST_BYTES), str(path))


def unpack_drape(content: bytes, name: str) -> Drape:
    """The drape of `pack_drape`'s bytes; ``name`` is what an error calls them.

    Raises
    ------
    FileError
        They are not a drape.
    """
    try:
        with np.load(io.BytesIO(content), allow_pickle=False) as archive:
            arrays = {name: archive[name] for name in archive.files}
        words = json.loads(arrays.pop("words").tobytes())
        if words["format"] != FORMAT:
            raise ValueError(f"format {words['format']}")
        return _assembled(arrays, words)
    except (ValueError, KeyError, TypeError, OSError, EOFError) as error:
        raise FileError(f"{name} is not a drape that this version can read: {error}.") from error


def _assembled(arrays: dict[str, Any], words: dict[str, Any]) -> Drape:
    def named(prefix: str) -> Mapping[str, Any]:
        return MappingProxyType(
            {
                name.removeprefix(prefix): array
                for name, array in arrays.items()
                if name.startswith(prefix)
            }
        )

    pose = words["pose"]
    return Drape(
        panel=PanelMesh(
            edges=named("panel.edge."),
            edge_length_m=words["edge_length_m"],
            **{name: arrays[f"panel.{name}"] for name in _PANEL_ARRAYS},
        ),
        outer=arrays["outer"],
        lining=arrays["lining"],
        outer_cloth=Cloth.of_words(words["outer_cloth"]),
        lining_cloth=Cloth.of_words(words["lining_cloth"]),
        body=PosedBody(
            landmarks=named("body.landmark."),
            joints=named("body.joint."),
            pose=Pose(**pose | {side: Limbs(**pose[side]) for side in ("left", "right")}),
            supports=tuple(Support.of_words(part) for part in words.get("supports", ())),
            held=tuple(Support.of_words(part) for part in words.get("held", ())),
            **{name: arrays[f"body.{name}"] for name in _BODY_ARRAYS},
        ),
        stand_off_m=words["stand_off_m"],
        converged=words["converged"],
        reasons=tuple(words["reasons"]),
        statistics=MappingProxyType(words["statistics"]),
    )
