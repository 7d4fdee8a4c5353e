# SPDX-License-Identifier: GPL-3.0-or-later
"""Guards of the layout: what may be imported where, and what Blender's reviewers refuse."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

from build import NOT_IN_ZIP

ROOT = Path(__file__).resolve().parent.parent
CORE = sorted((ROOT / "core").rglob("*.py"))
ADDON = sorted((ROOT / "blender_addon").rglob("*.py"))

SHIPPED = [path for path in CORE + ADDON if path.relative_to(ROOT).as_posix() not in NOT_IN_ZIP]
BUILDING = [ROOT / "build.py"]
OURS = [*CORE, *ADDON, *BUILDING, *sorted((ROOT / "tests").rglob("*.py"))]

# Threads crash Blender, other programs and the network are not permitted to an extension.
BANNED_MODULES = {
    "asyncio",
    "concurrent",
    "http",
    "imp",
    "multiprocessing",
    "requests",
    "socket",
    "subprocess",
    "threading",
    "urllib",
}
# Own modules by their absolute names are not found under Blender's extension namespace.
OWN_ABSOLUTE_NAMES = {"bl_ext", "blender_addon", "core", "napfold"}
BANNED_CALLS = {"__import__", "compile", "eval", "exec", "print"}
# The way of the data: a module may import what stands before it, never what stands after it.
WAY = (
    {"units", "nap", "slices", "picture_file"},
    {"heavy_strip"},
    {"swatch"},
    {"tape", "cloth", "pattern"},
    {"telling"},
    {"cut_line", "least_room", "mannequin", "panels"},
    {"lay", "making"},
    {"cloth_doubt"},
    {"money"},
    {"buying"},
    {"purchasing"},
    {"checks", "flat_lines", "flat_rings"},
    {"job_paths"},
    {"print_tables"},
    {"cloth_findings", "making_tables", "cloth_tables", "job_tables", "next_test", "wearer"},
    {"picture_tables"},
    {"variants"},
    {"job"},
    {"sheets"},
    {"dxf"},
    {"drape"},
    {"picture_words"},
    {"picture_plan"},
    {"model_words", "picture_extras", "picture_manifest"},
    {"folds"},
    {"fit", "round_simulation", "swatch_simulation", "worn_lines"},
    {"fit_range"},
    {"swatch_report"},
    {"report"},
    {"workshop", "wish_on_drape"},
    {"drape_store"},
    {"making_files", "model_set", "picture_set", "preview", "swatch_sheet_files"},
    {"cli_arguments"},
    {"cli"},
)


def relative(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def imported_modules(tree: ast.AST) -> Iterator[str]:
    """Absolute imports of a module by their full names."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
            yield node.module


def complaints(source: str) -> list[str]:
    """What in a shipped module a reviewer or the extension namespace would refuse."""
    tree = ast.parse(source)
    found = [
        f"imports {name}"
        for name in imported_modules(tree)
        if name.split(".")[0] in BANNED_MODULES | OWN_ABSOLUTE_NAMES
    ]
    for node in ast.walk(tree):
        match node:
            case ast.Call(func=ast.Name(id=name)) if name in BANNED_CALLS:
                found.append(f"calls {name}")
            case ast.Attribute(value=ast.Name(id="sys"), attr="path" | "modules" as name):
                found.append(f"uses sys.{name}")
            case ast.Constant(value=str(text)) if "bl_ext." in text:
                found.append("names bl_ext")
            case ast.Subscript(
                value=ast.Attribute(attr="nodes") | ast.Name(id="nodes"),
                slice=ast.Constant(value=str(text)),
            ):
                found.append(f"looks a node up by its display name {text!r}")
            case ast.ExceptHandler(type=None):
                found.append("has a bare except")
    return found


@pytest.mark.parametrize(
    ("source", "expected"),
    [
        ("import threading", "imports threading"),
        ("from napfold.core import job", "imports napfold.core"),
        ("import core", "imports core"),
        ("sys.path.append('x')", "uses sys.path"),
        ("exec('1')", "calls exec"),
        ("material.node_tree.nodes['Principled BSDF']", "looks a node up"),
        ("a = 'bl_ext.user_default'", "names bl_ext"),
        ("try:\n    f()\nexcept:\n    pass", "has a bare except"),
    ],
)
def test_the_guard_sees_what_it_is_meant_to_see(source: str, expected: str) -> None:
    assert any(complaint.startswith(expected) for complaint in complaints(source))


@pytest.mark.parametrize("path", SHIPPED, ids=relative)
def test_shipped_module_passes_review(path: Path) -> None:
    assert complaints(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("path", CORE, ids=relative)
def test_core_never_imports_blender(path: Path) -> None:
    names = {name.split(".")[0] for name in imported_modules(ast.parse(path.read_text("utf-8")))}
    assert names.isdisjoint({"bpy", "bmesh", "mathutils", "gpu"})


@pytest.mark.parametrize("path", ADDON, ids=relative)
def test_version_branches_stand_in_compat_alone(path: Path) -> None:
    names = {
        node.attr
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Attribute)
    }
    assert path.name == "compat.py" or names.isdisjoint({"version", "version_string"})


@pytest.mark.parametrize("path", OURS, ids=relative)
def test_licence_line_comes_first(path: Path) -> None:
    lines = path.read_text(encoding="utf-8").splitlines()
    licence = "# SPDX-License-Identifier: GPL-3.0-or-later"
    assert not lines or licence in lines[:2]


def core_imports() -> dict[str, set[str]]:
    """Which modules and packages of core each one imports."""
    imports: dict[str, set[str]] = {}
    for path in CORE:
        inside = path.relative_to(ROOT / "core")
        own = inside.parts[0].removesuffix(".py")
        found = imports.setdefault(own, set())
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and node.level == len(inside.parts):
                found |= (
                    {node.module.split(".")[0]} if node.module else {a.name for a in node.names}
                )
        found.discard(own)
    return imports


def test_imports_make_no_circle() -> None:
    order = list(TopologicalSorter(core_imports()).static_order())
    assert order.index("units") < order.index("cli")


def test_imports_follow_the_way_of_the_data() -> None:
    rank = {module: number for number, step in enumerate(WAY) for module in step}
    backwards = [
        f"{own} imports {target}"
        for own, targets in core_imports().items()
        for target in targets
        if own in rank and target in rank and rank[target] >= rank[own]
    ]
    assert backwards == []


def test_core_imports_with_numpy_alone() -> None:
    """Blender ships NumPy and no more; trimesh is read lazily, compiled twins are optional."""
    modules = [
        ".".join(("napfold", *path.relative_to(ROOT).with_suffix("").parts))
        for path in CORE
        if path.stem != "__init__" and not path.stem.endswith("_compiled")
    ]
    blocked = [
        "bpy",
        "mathutils",
        "scipy",
        "networkx",
        "rtree",
        "PIL",
        "numba",
        "threadpoolctl",
        "trimesh",
        "reportlab",
        "matplotlib",
        "ezdxf",
    ]
    program = (
        f"import sys, importlib\nfor name in {blocked}: sys.modules[name] = None\n"
        f"for name in {modules}: importlib.import_module(name)\n"
    )
    answer = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    assert answer.returncode == 0, answer.stderr
