# SPDX-License-Identifier: GPL-3.0-or-later
"""Triangles out of a PLY file: text or binary, with faces of any number of corners.

Only places and faces are read. The counts of the header are held against the length of the file
before arrays are made of them. Where the faces of a binary file differ in length, the start of
one is known only from the one before: a table of where a row that started at each byte would end
is doubled again and again (pointer jumping), a megabyte at a time.
"""

import re
import warnings
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from ..arrays import FloatArray, IntArray

__all__ = ["PlyError", "read_ply"]

MOST_HEADER_BYTES = 64_000
MOST_CORNERS = 1_000  # of one face
WINDOW = 1_000_000
KINDS: Mapping[str, str] = MappingProxyType(
    {
        **dict.fromkeys(("char", "int8"), "i1"),
        **dict.fromkeys(("uchar", "uint8"), "u1"),
        **dict.fromkeys(("short", "int16"), "i2"),
        **dict.fromkeys(("ushort", "uint16"), "u2"),
        **dict.fromkeys(("int", "int32"), "i4"),
        **dict.fromkeys(("uint", "uint32"), "u4"),
        **dict.fromkeys(("float", "float32"), "f4"),
        **dict.fromkeys(("double", "float64"), "f8"),
    }
)
FACE_LISTS = ("vertex_indices", "vertex_index")
ORDERS = MappingProxyType({"ascii": "", "binary_little_endian": "<", "binary_big_endian": ">"})


class PlyError(ValueError):
    """What is wrong with a PLY file, as a clause that follows its name."""


@dataclass(frozen=True, slots=True)
class _Property:
    name: str
    kind: str
    count_kind: str | None  # of a list


@dataclass(frozen=True, slots=True)
class _Element:
    name: str
    count: int
    properties: tuple[_Property, ...]


class _Cells:
    """The content after the header: bytes, or the numbers of a text."""

    def __init__(self, content: bytes, order: str) -> None:
        self._order = order
        if order:
            self._all = np.frombuffer(content, dtype=np.uint8)
            return
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("error")  # text that is no number ends in a warning
                self._all = np.fromstring(content.decode("ascii"), dtype=np.float64, sep=" ")
        except (ValueError, DeprecationWarning) as error:
            raise PlyError("holds words where numbers belong; export it again") from error

    def __len__(self) -> int:
        return len(self._all)

    def size(self, kind: str) -> int:
        """How many cells one value takes."""
        return int(kind[1]) if self._order else 1

    def read(self, at: IntArray, kind: str) -> FloatArray:
        """The values (n,) that start at cells (n,)."""
        if not self._order:
            return self._all[at].astype(np.float64)
        cells = self._all[at[:, None] + np.arange(self.size(kind))]
        values: FloatArray = cells.view(f"{self._order}{kind}")[:, 0].astype(np.float64)
        return values


def read_ply(content: bytes, most_vertices: int, most_faces: int) -> tuple[FloatArray, IntArray]:
    """Vertices (n, 3) and triangles (t, 3); faces with more corners are cut into fans.

    Raises
    ------
    PlyError
        The file is damaged, or holds more than it may.
    """
    order, elements, start = _header(content)
    for element in elements:
        most = {"vertex": most_vertices, "face": most_faces}.get(element.name, most_vertices)
        if element.count > most:
            raise PlyError(
                f"holds {element.count} of its kind {element.name}, more than the {most} that are "
                "taken; make the mesh coarser"
            )
    cells = _Cells(content[start:], order)
    vertices, triangles = np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int64)
    at = 0
    for element in elements:
        rows, at = _rows(cells, element, at)
        if element.name == "vertex":
            vertices = _places(cells, element, rows)
        elif element.name == "face":
            triangles = _fans(cells, element, rows, most_faces)
    return vertices, triangles


def _header(content: bytes) -> tuple[str, list[_Element], int]:
    head, end, rest = content[:MOST_HEADER_BYTES].partition(b"end_header")
    if not head.startswith(b"ply") or not end:
        raise PlyError("is not a PLY file, whatever its name says")
    line_end = re.match(rb"[ \t]*(\r\n|\n|\r)", rest)
    order, elements = None, []
    for line in head.decode("ascii", "replace").split("\n")[1:]:
        match line.split():
            case [] | ["comment" | "obj_info", *_]:
                continue
            case ["format", word, _] if word in ORDERS:
                order = ORDERS[word]
            case ["element", name, count] if re.fullmatch(r"\d{1,18}", count):
                elements.append(_Element(name, int(count), ()))
            case ["property", "list", count_kind, kind, name] if elements and (
                count_kind in KINDS and kind in KINDS
            ):
                _add(elements, _Property(name, KINDS[kind], KINDS[count_kind]))
            case ["property", kind, name] if elements and kind in KINDS:
                _add(elements, _Property(name, KINDS[kind], None))
            case _:
                raise PlyError("has a damaged PLY header; export it again")
    if order is None or line_end is None:
        raise PlyError("has a damaged PLY header; export it again")
    return order, elements, len(head) + len(end) + line_end.end()


def _add(elements: list[_Element], entry: _Property) -> None:
    last = elements.pop()
    elements.append(_Element(last.name, last.count, (*last.properties, entry)))


def _rows(cells: _Cells, element: _Element, start: int) -> tuple[IntArray, int]:
    """Where each row of an element starts (n,), and where the last one ends."""
    if not element.count or not element.properties:
        return np.zeros(0, dtype=np.int64), start
    least = sum(cells.size(entry.count_kind or entry.kind) for entry in element.properties)
    if element.count * least > len(cells) - start:
        raise PlyError("ends too early, or its header counts wrong; export it again")
    first = _ends(cells, element, np.array([start]))[0] - start
    rows = start + first * np.arange(element.count)
    ends = _ends(cells, element, rows)
    if not (ends == rows + first).all():
        rows = _walk(cells, element, start)
        ends = _ends(cells, element, rows[-1:])
    if len(rows) < element.count or ends[-1] > len(cells):
        raise PlyError("ends too early, or its header counts wrong; export it again")
    return rows, int(ends[-1])


def _ends(cells: _Cells, element: _Element, at: IntArray) -> IntArray:
    """Where rows that start at cells (n,) would end; past the end of all where they do not fit."""
    last = len(cells)
    at = at.copy()
    for entry in element.properties:
        if entry.count_kind is None:
            at += cells.size(entry.kind)
            continue
        size = cells.size(entry.count_kind)
        inside = at + size <= last
        counts = np.full(len(at), np.nan)
        counts[inside] = cells.read(at[inside], entry.count_kind)
        sound = (counts >= 0) & (counts <= MOST_CORNERS)
        counts[~sound] = last + 1  # such a row ends nowhere
        at += size + counts.astype(np.int64) * cells.size(entry.kind)
    return np.minimum(at, last + 1)


def _walk(cells: _Cells, element: _Element, start: int) -> IntArray:
    """Starts (n,) of rows of different length, fewer than there should be if the walk leaves."""
    found: list[IntArray] = []
    missing, at = element.count, start
    while missing > 0 and at < len(cells):
        window = np.arange(at, min(at + WINDOW, len(cells)))
        beyond = at + len(window)
        jump = _ends(cells, element, window)
        out = jump >= beyond
        # within the window, and one place that stands for all that lies beyond it
        jump = np.append(np.where(out, len(window), jump - at), len(window))
        path = np.zeros(1, dtype=np.int64)
        while path[-1] < len(window) and len(path) < missing:
            path = np.concatenate([path, jump[path]])
            path = np.sort(path)
            jump = jump[jump]
        path = path[path < len(window)][:missing]
        found.append(path + at)
        missing -= len(path)
        at = int(_ends(cells, element, path[-1:] + at)[0])
    return np.concatenate(found) if found else np.zeros(0, dtype=np.int64)


def _offsets(cells: _Cells, element: _Element, rows: IntArray, name: str) -> IntArray:
    """Where a property of each row starts (n,)."""
    names = [entry.name for entry in element.properties]
    before = element.properties[: names.index(name)]
    return _ends(cells, _Element(element.name, element.count, before), rows)


def _places(cells: _Cells, element: _Element, rows: IntArray) -> FloatArray:
    kinds = {entry.name: entry.kind for entry in element.properties if entry.count_kind is None}
    if not {"x", "y", "z"} <= kinds.keys():
        raise PlyError("holds vertices without x, y and z; export it again")
    columns = [cells.read(_offsets(cells, element, rows, axis), kinds[axis]) for axis in "xyz"]
    return np.stack(columns, axis=1)


def _fans(cells: _Cells, element: _Element, rows: IntArray, most: int) -> IntArray:
    """Triangles (t, 3), each from the first corner of its face to two that follow each other."""
    lists = {entry.name: entry for entry in element.properties if entry.count_kind is not None}
    name = next((name for name in FACE_LISTS if name in lists), None)
    if name is None or not len(rows):
        return np.zeros((0, 3), dtype=np.int64)
    entry = lists[name]
    count_kind = entry.count_kind or ""
    at = _offsets(cells, element, rows, name)
    corners = cells.read(at, count_kind).astype(np.int64)
    at += cells.size(count_kind)
    each = np.maximum(corners - 2, 0)
    if each.sum() > most:
        raise PlyError(f"holds more than the {most} triangles that are taken; make it coarser")
    face = np.repeat(np.arange(len(rows)), each)
    step = np.arange(len(face)) - np.repeat(np.cumsum(each) - each, each)
    size = cells.size(entry.kind)
    picks = np.stack([np.zeros_like(step), step + 1, step + 2], axis=1)
    places = at[face][:, None] + size * picks
    numbers = cells.read(places.reshape(-1), entry.kind).reshape(-1, 3)
    if not (np.isfinite(numbers) & (numbers == np.rint(numbers))).all():
        raise PlyError("is damaged: a triangle names a corner that is not there")
    return numbers.astype(np.int64)
