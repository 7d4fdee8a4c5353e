# SPDX-License-Identifier: GPL-3.0-or-later
"""The shipped meshes of the ready bodies are those of their tapes, as glTF wants them."""

import tomllib
from pathlib import Path

import numpy as np
import pytest
import trimesh
from napfold.core.errors import FileError, InputError
from napfold.core.mannequin.export import TO_GLTF, build_body, main, tapes_of, write_body
from napfold.core.units import parse_quantity

FOLDER = Path(__file__).parents[2] / "sample_avatars"
TAPES = sorted(FOLDER.glob("*.toml"))
ONE = FOLDER / "woman_medium_full.toml"


def read_mesh(path: Path) -> tuple[str, trimesh.Trimesh]:
    """Name and mesh of a file that must hold one mesh, not moved by its scene."""
    scene = trimesh.load(path, process=False)
    (node,) = scene.graph.nodes_geometry
    matrix, name = scene.graph[node]
    assert np.array_equal(matrix, np.eye(4))
    return name, scene.geometry[name]


@pytest.mark.parametrize("tape", TAPES, ids=lambda path: path.stem)
def test_shipped_mesh(tape: Path) -> None:
    content = tomllib.loads(tape.read_text(encoding="utf-8"))
    name, mesh = read_mesh(tape.with_suffix(".glb"))
    assert name == content["name"]
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert mesh.volume > 0.03  # outside out, and a person of at least 30 l
    height = parse_quantity("length", "height", content["tape"]["height"])
    low, high = mesh.bounds
    assert low[1] == pytest.approx(0.0, abs=1e-6)
    assert high[1] == pytest.approx(height, abs=0.003)
    # up is the longest way, and the toes point forward, to +z
    assert np.argmax(mesh.extents) == 1
    foot = mesh.vertices[mesh.vertices[:, 1] < 0.05]
    ankle = mesh.vertices[np.abs(mesh.vertices[:, 1] - 0.09) < 0.02]
    assert foot[:, 2].max() - ankle[:, 2].mean() > 0.10
    assert ankle[:, 2].mean() - foot[:, 2].min() < 0.08
    # left and right alike
    assert low[0] == pytest.approx(-high[0], abs=1e-6)


@pytest.mark.parametrize("stem", ["woman_medium_full", "man_short_slim"])
def test_shipped_mesh_is_that_of_the_tape(stem: str) -> None:
    tape = FOLDER / f"{stem}.toml"
    name, body = build_body(tape)
    shipped_name, mesh = read_mesh(tape.with_suffix(".glb"))
    assert shipped_name == name
    assert np.array_equal(mesh.faces, body.triangles)
    assert np.abs(mesh.vertices @ TO_GLTF - body.vertices).max() < 1e-6
    assert np.abs(mesh.vertex_normals @ TO_GLTF - body.normals).max() < 1e-4


def test_the_same_body_gives_the_same_bytes(tmp_path: Path) -> None:
    name, body = build_body(ONE)
    write_body(tmp_path / "a.glb", name, body)
    write_body(tmp_path / "b.glb", name, body)
    content = (tmp_path / "a.glb").read_bytes()
    assert (tmp_path / "b.glb").read_bytes() == content
    # position and normal in 24 bytes a vertex, a triangle in 6, and a short header
    payload = 24 * len(body.vertices) + 6 * len(body.triangles)
    assert payload < len(content) < payload + 2_000


def test_all_meshes_together_stay_small() -> None:
    assert sum(tape.with_suffix(".glb").stat().st_size for tape in TAPES) < 6_000_000


def test_command_writes_beside_the_tape(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / ONE.name).write_bytes(ONE.read_bytes())
    assert main([str(tmp_path)]) == 0
    assert "vertices" in capsys.readouterr().out
    _, mesh = read_mesh(tmp_path / "woman_medium_full.glb")
    assert mesh.is_watertight


def test_what_cannot_be_read_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(FileError, match="holds no tapes"):
        tapes_of(tmp_path)
    tape = tmp_path / "a.toml"
    tape.write_bytes(b"\xff = 1")
    with pytest.raises(FileError, match="not TOML"):
        build_body(tape)
    tape.write_text('name = "a"\n[tape]\nsex = "female"\nheight = 5\n', encoding="utf-8")
    with pytest.raises(InputError, match=r"tape\.height"):
        build_body(tape)
    assert main([str(tmp_path)]) == 1
    assert "tape.height" in capsys.readouterr().err
    assert main([]) == 2
