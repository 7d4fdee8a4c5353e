# SPDX-License-Identifier: GPL-3.0-or-later
"""The ready bodies as meshes: ``python -m napfold.core.mannequin.export FOLDER``.

For every tape (TOML) in FOLDER the mannequin is built, stands, and is written beside the tape as
GLB, the binary form of glTF 2.0 (ISO/IEC 12113): metres, y up, facing +z, smooth normals, one mesh
named after the body. The same tape gives the same bytes.
"""

import sys
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from ..document import Table
from ..errors import FileError, NapfoldError
from ..files import read_bytes, whole_file
from ..tape import SEXES, SYNONYMS, Tape, measure_names
from .building import build_mannequin
from .mannequin import PosedBody

__all__ = ["build_body", "main", "tapes_of", "write_body"]

POSE = "standing"
ROOM_M = 0.030  # beside the arms, as for cloth
MOST_TAPE_BYTES = 100_000
MOST_NAME_CHARACTERS = 80
UNSIGNED_SHORT = 5123  # componentType of glTF 2.0
MOST_SHORT = 65_534  # 65535 would restart a strip
# glTF: y up, facing +z, x to the wearer's left
TO_GLTF = np.array([[1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]])


def tapes_of(folder: Path) -> list[Path]:
    """The tapes in a folder, by name.

    Raises
    ------
    FileError
        There are none.
    """
    tapes = sorted(folder.glob("*.toml"))
    if not tapes:
        raise FileError(f"{folder} holds no tapes (*.toml). Check that it is the folder you meant.")
    return tapes


def build_body(tape: Path) -> tuple[str, PosedBody]:
    """The name in a tape file, and its mannequin standing.

    Raises
    ------
    FileError
        The file cannot be read.
    InputError
        Something in it cannot be used.
    """
    try:
        content = tomllib.loads(read_bytes(tape, MOST_TAPE_BYTES).decode("utf-8"))
    except ValueError as error:
        raise FileError(f"{tape} is not TOML: {error}.") from error
    document = Table("", content, ("name", "units", "tape"))
    table = document.table("tape", ("sex", *measure_names(), *SYNONYMS))
    given = {name: table.quantity(name, "length") for name in table.content if name != "sex"}
    name = document.text("name", MOST_NAME_CHARACTERS)
    mannequin = build_mannequin(Tape(sex=table.word("sex", SEXES), given=given))
    return name, mannequin.supported(POSE, ROOM_M)


def write_body(path: Path, name: str, body: PosedBody) -> None:
    """Write a body as GLB.

    Raises
    ------
    FileError
        The file cannot be written.
    """
    import trimesh

    mesh = trimesh.Trimesh(
        vertices=body.vertices @ TO_GLTF.T,
        faces=body.triangles,
        vertex_normals=body.normals @ TO_GLTF.T,
        process=False,
    )
    scene = trimesh.Scene()
    scene.add_geometry(mesh, node_name=name, geom_name=name)
    export: Callable[..., bytes] = scene.export
    content = export(file_type="glb", include_normals=True, buffer_postprocessor=_shorten_indices)
    with whole_file(path) as temporary:
        temporary.write_bytes(content)


def _shorten_indices(buffers: Any, tree: dict[str, Any]) -> None:
    """Two bytes a vertex index in place of trimesh's four, where the mesh allows it."""
    accessors = list(tree["accessors"].values())
    keys = list(buffers)
    for mesh in tree["meshes"]:
        for primitive in mesh["primitives"]:
            indices = accessors[primitive["indices"]]
            if accessors[primitive["attributes"]["POSITION"]]["count"] > MOST_SHORT:
                continue
            key = keys[indices["bufferView"]]
            short = np.frombuffer(buffers[key], dtype="<u4")[: indices["count"]].astype("<u2")
            content = short.tobytes()
            buffers[key] = content + bytes(-len(content) % 4)
            indices["componentType"] = UNSIGNED_SHORT


def main(arguments: list[str]) -> int:
    """Write the GLB of every tape of a folder; returns the exit status."""
    if len(arguments) != 1:
        sys.stderr.write("Give the folder with the tapes.\n")
        return 2
    try:
        for tape in tapes_of(Path(arguments[0])):
            name, body = build_body(tape)
            target = tape.with_suffix(".glb")
            write_body(target, name, body)
            sys.stdout.write(f"{target}: {len(body.vertices)} vertices\n")
    except NapfoldError as error:
        sys.stderr.write(f"{error}\n")
        return 1
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
