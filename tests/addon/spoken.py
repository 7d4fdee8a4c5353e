# SPDX-License-Identifier: GPL-3.0-or-later
"""Every text of ours that Blender shows, gathered from the registered classes and from the sources."""

import ast
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

import bpy

ADDON = Path(__file__).resolve().parents[2] / "blender_addon"
# Texts that are no language: what a user names, what core tells, units
# Texts that stand in a constant of their own
CONSTANTS = {"WELCOME", "KEYS"}
UNTOLD = {"Napfold", "", "rows", "?"}


def ours(base: type) -> Iterator[type]:
    """All registered classes of the extension below a class of Blender's."""
    for kind in base.__subclasses__():
        if ".blender_addon." in kind.__module__ and getattr(kind, "is_registered", False):
            yield kind
        yield from ours(kind)


def of_classes() -> Iterator[str]:
    """Labels and tooltips of all registered classes of ours and of their properties."""
    for base in (bpy.types.Operator, bpy.types.Panel, bpy.types.PropertyGroup):
        for kind in ours(base):
            yield getattr(kind, "bl_label", "")
            if base is bpy.types.Operator:
                yield kind.__doc__
            if kind.__name__ != "NapfoldProgress":  # of these only the values are shown
                yield from of_properties(kind)


def of_properties(kind: type) -> Iterator[str]:
    rna = kind.bl_rna
    if issubclass(kind, bpy.types.Operator):
        module, name = kind.bl_idname.split(".")
        rna = getattr(getattr(bpy.ops, module), name).get_rna_type()
    parts = (part for part in kind.__mro__ if ".blender_addon." in part.__module__)
    inherited = (getattr(part, "__annotations__", {}) for part in parts)
    for name in dict.fromkeys(name for part in inherited for name in part):
        entry = rna.properties.get(name)
        if entry is None or entry.is_hidden or entry.type == "POINTER" or name.endswith("_words"):
            continue
        yield entry.name
        yield entry.description
        if entry.type == "ENUM":
            yield from (item.name for item in entry.enum_items)
            # what a cloth is like is told by core
            if name != "kind":
                yield from (item.description for item in entry.enum_items)


def of_sources() -> Iterator[str]:
    """What is handed to `translated`, or written as text of a label or button."""
    for path in sorted(ADDON.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call):
                yield from _literals(_spoken(node))
            if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) in CONSTANTS:
                yield from _literals([node.value])


def _spoken(call: ast.Call) -> Iterator[ast.expr]:
    name = call.func.id if isinstance(call.func, ast.Name) else getattr(call.func, "attr", "")
    if name in {"translated", "Progress"}:
        yield from call.args
    for keyword in call.keywords:
        if keyword.arg in {"text", "heading"} and name in {"label", "operator", "prop", "row"}:
            yield keyword.value
    if name == "poll_message_set":
        yield from call.args


def _literals(nodes: Iterable[ast.expr]) -> Iterator[str]:
    for node in nodes:
        for part in ast.walk(node):
            if isinstance(part, ast.Constant) and isinstance(part.value, str):
                yield part.value


def of_the_core() -> Iterator[str]:
    """What core says while it drapes, and what it calls its measures."""
    source = ADDON.parent.joinpath("core/drape/settle.py").read_text(encoding="utf-8")
    yield from re.findall(r'"([A-Z][a-z]+ing [a-z ]+)"', source)
    tables = ADDON.parent.joinpath("core/report_tables.py").read_text(encoding="utf-8")
    rows = tables[
        tables.index("def measured_rows") : tables.index("}", tables.index("def measured_rows"))
    ]
    yield from re.findall(r'^ +"([A-Z][^"]+)":', rows, flags=re.MULTILINE)
    yield from ("Hem", "Sleeves", "Body")


def all_texts() -> set[str]:
    """Every text, each once."""
    return {*of_classes(), *of_sources(), *of_the_core()} - UNTOLD
