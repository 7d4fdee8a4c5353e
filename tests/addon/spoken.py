# SPDX-License-Identifier: GPL-3.0-or-later
"""Every text of ours that Blender shows, gathered from the registered classes and from the sources."""

import ast
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

import bpy

from .installed import Extension

ADDON = Path(__file__).resolve().parents[2] / "blender_addon"
# Texts that are no language: what a user names, what core tells, units
# Texts that stand in a constant of their own
CONSTANTS = {"WELCOME", "KEYS"}
# Modules of core whose phrases the sidebar or the viewport shows
SPEAKING = (
    "body_levels",
    "buying",
    "check",
    "checks",
    "drape/soundness",
    "fit_checks",
    "flat_lines",
    "flat_rings",
    "hood_checks",
    "landing",
    "mannequin/building",
    "report",
    "report_ranges",
    "report_tables",
    "roominess",
    "sleeve_remedy",
    "tape",
    "telling",
)
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
    if name in {"translated", "phrase", "Progress"}:
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


def of_the_core(extension: Extension) -> Iterator[str]:
    """What core says: on the way of a drape, about its measures, and in phrases with gaps."""
    yield from re.findall(r'"([A-Z][a-z]+ing [a-z ]+)"', _core("drape/settle"))
    tables = _core("report_tables")
    rows = tables[
        tables.index("def measured_rows") : tables.index("}", tables.index("def measured_rows"))
    ]
    yield from re.findall(r'^ +"([A-Z][^"]+)":', rows, flags=re.MULTILINE)
    verdict = _core("report").partition("def verdict")[2].partition("\ndef ")[0]
    # how far the arms go up is not tried in Blender
    yield from set(re.findall(r'words\["([^"]+)"\]', verdict)) - {"Reach"}
    yield from ("Length", "Hem", "Sleeves", "Body")
    for module in SPEAKING:
        for node in ast.walk(ast.parse(_core(module))):
            if isinstance(node, ast.Call) and ast.unparse(node.func) == "phrase":
                yield from _templates(node.args[0])
    yield from _of_its_tables(extension)


def _core(module: str) -> str:
    return ADDON.parent.joinpath(f"core/{module}.py").read_text(encoding="utf-8")


def _templates(node: ast.expr) -> Iterator[str]:
    """A text, or either of two; what comes from a table or a variable is told by `_of_its_tables`."""
    if isinstance(node, ast.IfExp):
        yield from _templates(node.body)
        yield from _templates(node.orelse)
    if isinstance(node, ast.Constant):
        yield str(node.value)


def _of_its_tables(extension: Extension) -> Iterator[str]:
    words = extension("core.check_words")
    for table in (words.NAMES, words.NUMBERS, words.REMEDIES):
        yield from table.values()
    roominess = extension("core.roominess")
    for classes in (roominess.BODY_CLASSES, roominess.SLEEVE_CLASSES):
        yield from (name for _, name in classes)
    yield from extension("core.body_levels").LEVEL_WORDS.values()
    yield from extension("core.buying").HEMS.values()
    yield from (*extension("core.cloth").library(), *extension("core.next_test").TESTS)
    lay = extension("core.lay.words")
    yield from (*lay.LAYERS.values(), lay.BETWEEN.join(lay.LAYERS.values()), "up", "down")
    state = extension("core.checks").State
    yield from (str(one) for one in state if one is not state.PASS)
    yield from ("bust", "waist", "hip", "elbow", "wrist", "knuckles")
    yield from ("more", "less", "the other measures lead", "the survey leads one")
    cautions = extension("core.cautions")
    yield from (*cautions.ALWAYS, cautions.CHILD, cautions.CHILD_UNKNOWN)


def all_texts(extension: Extension) -> set[str]:
    """Every text, each once."""
    return {*of_classes(), *of_sources(), *of_the_core(extension)} - UNTOLD
