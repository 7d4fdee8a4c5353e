# SPDX-License-Identifier: GPL-3.0-or-later
"""Dressed mannequins in a scene: each a collection that carries its drape, found by a mark.

A figure is the present wrap in one pose with one side out, or the same of a variant. Its meshes
are plain meshes; job, drape and findings ride along as properties of the collection, so a saved
file holds all of it.
"""

import json
from collections import OrderedDict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import bpy
from bpy.types import Collection, Material, Mesh, Object, Scene

from ..core.arrays import FloatArray, IntArray
from ..core.cloth import Cloth
from ..core.drape import Drape, Progress, unpack_drape
from ..core.fields import Fields
from ..core.mannequin import PosedBody
from ..core.mannequin.supports import joined_mesh
from .scene.bridge import flat_of, put_mesh, put_print_place, put_values, set_positions
from .scene.materials import furniture_material, ground_material, mannequin_material, set_print
from .scene.prints import place_of, print_image

__all__ = [
    "FIELDS",
    "PRESENT",
    "Figure",
    "Key",
    "bare_of",
    "copied",
    "figures",
    "find",
    "forget",
    "hide_live",
    "home_of",
    "is_studio",
    "mark_studio",
    "part_of",
    "parts_of",
    "put_bare",
    "put_figure",
    "put_stopped",
    "remove",
    "show_live",
    "show_print",
]

MARK = "napfold_part"
POSE, TURNED, NUMBER = "napfold_pose", "napfold_turned", "napfold_variant"
JOB, DRAPE, TOLD, NUMBERS = "napfold_job", "napfold_drape", "napfold_told", "napfold_numbers"
BODY, SHOWN_PRINT = "napfold_body", "napfold_print"
FIGURE, BARE, LIVE = "figure", "bare", "live"
PRESENT = 0
"""The number of the wrap in the panel; variants count from 1."""

NAMES = {
    "body": "Mannequin",
    "furniture": "Chair or Bed",
    "outer": "Outer Cloth",
    "lining": "Lining",
}
FIELDS = ("stretch across", "stretch along", "stand-off in metres")
"""Attributes of the outer cloth's mesh."""

MOST_REMEMBERED = 6
_drapes: "OrderedDict[int, Drape]" = OrderedDict()


@dataclass(frozen=True, slots=True)
class Key:
    """Which figure: pose, whether the lining is out, and the number of its variant."""

    pose: str
    turned: bool
    number: int = PRESENT


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure; valid until the next undo."""

    collection: Collection

    @property
    def key(self) -> Key:
        home = self.collection
        return Key(home[POSE], bool(home[TURNED]), int(home[NUMBER]))

    @property
    def job_text(self) -> str:
        """The job that was draped, as the text of its file."""
        return str(self.collection.get(JOB, ""))

    @property
    def numbers(self) -> str:
        """The numbers that were draped, as `jobs.comparable` writes them."""
        return str(self.collection.get(NUMBERS, ""))

    @property
    def told(self) -> Mapping[str, Any]:
        """What `telling.told_of` told about it."""
        found: Mapping[str, Any] = json.loads(self.collection.get(TOLD, "{}"))
        return found

    @property
    def drape(self) -> Drape | None:
        """The drape, unpacked once; None where the drape was stopped."""
        content = self.collection.get(DRAPE)
        if content is None:
            return None
        number = self.collection.session_uid
        if number not in _drapes:
            _drapes[number] = unpack_drape(bytes(content), self.collection.name)
        _drapes.move_to_end(number)
        while len(_drapes) > MOST_REMEMBERED:
            _drapes.popitem(last=False)
        return _drapes[number]

    def part(self, kind: str) -> Object | None:
        """Its mannequin, furniture, outer or lining, if that is still there."""
        return next((thing for thing in self.collection.objects if thing.get(MARK) == kind), None)


def forget() -> None:
    """Let go of every unpacked drape."""
    _drapes.clear()


def home_of(scene: Scene, *, make: bool = False) -> Collection | None:
    """The scene's own collection for what Napfold makes."""
    for collection in scene.collection.children:
        if collection.get(MARK) == "all":
            return collection
    return _child(scene.collection, "Napfold", "all") if make else None


def mark_studio(scene: Scene) -> None:
    """Tell a scene made for a picture from one in which a wrap can be set up."""
    scene[MARK] = "studio"


def is_studio(scene: Scene) -> bool:
    """Whether a scene was made for a picture."""
    return scene.get(MARK) == "studio"


def _child(parent: Collection, name: str, mark: str) -> Collection:
    collection = bpy.data.collections.new(name)
    collection[MARK] = mark
    parent.children.link(collection)
    return collection


def _marked(scene: Scene, mark: str) -> Iterator[Collection]:
    home = home_of(scene)
    children = () if home is None else home.children
    yield from (child for child in children if child.get(MARK) == mark)


def figures(scene: Scene, number: int | None = None) -> list[Figure]:
    """The scene's figures, or those of one variant."""
    found = [Figure(child) for child in _marked(scene, FIGURE)]
    return [one for one in found if number is None or one.key.number == number]


def find(scene: Scene, key: Key) -> Figure | None:
    """The figure of a key, if there is one."""
    return next((figure for figure in figures(scene) if figure.key == key), None)


def put_figure(
    scene: Scene,
    key: Key,
    drape: Drape,
    packed: bytes,
    texts: tuple[str, str],
    told: Mapping[str, Any],
    fields: Fields,
) -> Figure:
    """Put a drape into the scene, in the place of an earlier one of the same key.

    ``packed`` is the drape as `pack_drape` gives it, which a file keeps; ``texts`` are the job and
    its numbers, see `Figure`; the fields become attributes of the mesh.
    """
    figure = _new_figure(scene, key, texts, told)
    figure.collection[DRAPE] = packed
    _drapes[figure.collection.session_uid] = drape
    panel = drape.panel
    _put_body(scene, figure.collection, drape.body)
    flat, triangles = panel.flat, panel.triangles
    _put_layer(scene, figure.collection, "outer", drape.outer, triangles, flat, drape.outer_cloth)
    _put_layer(
        scene,
        figure.collection,
        "lining",
        drape.lining,
        triangles[:, ::-1],
        flat,
        drape.lining_cloth,
    )
    outer = figure.part("outer")
    for name, values in zip(
        FIELDS, (fields.stretch_across, fields.stretch_along, fields.stand_off_m), strict=True
    ):
        put_values(outer.data, name, values)
    return figure


def put_stopped(
    scene: Scene, key: Key, hanging: Progress, cloths: tuple[Cloth, Cloth], told: Mapping[str, Any]
) -> Figure:
    """Put what is there of an unfinished drape into the scene, in the place of an earlier one."""
    figure = _new_figure(scene, key, ("", ""), told)
    panel, home = hanging.panel, figure.collection
    if hanging.body is not None:
        _put_body(scene, home, hanging.body)
    triangles, flat = panel.triangles, panel.flat
    _put_layer(scene, home, "outer", hanging.outer, triangles, flat, cloths[0])
    if hanging.lining is not None:
        _put_layer(scene, home, "lining", hanging.lining, triangles[:, ::-1], flat, cloths[1])
    return figure


def _new_figure(scene: Scene, key: Key, texts: tuple[str, str], told: Mapping[str, Any]) -> Figure:
    earlier = find(scene, key)
    if earlier is not None:
        remove(earlier)
    side = ", lining out" if key.turned else ""
    name = f"Napfold {key.pose}{side}".title()
    collection = _child(home_of(scene, make=True), name, FIGURE)
    collection[POSE], collection[TURNED], collection[NUMBER] = key.pose, key.turned, key.number
    collection[JOB], collection[NUMBERS] = texts
    collection[TOLD] = json.dumps(told)
    return Figure(collection)


def copied(scene: Scene, figure: Figure, number: int) -> Figure:
    """The same figure under another number, on the same meshes."""
    key = Key(figure.key.pose, figure.key.turned, number)
    copy = _new_figure(scene, key, (figure.job_text, figure.numbers), figure.told)
    content = figure.collection.get(DRAPE)
    if content is not None:
        copy.collection[DRAPE] = bytes(content)
        if (drape := _drapes.get(figure.collection.session_uid)) is not None:
            _drapes[copy.collection.session_uid] = drape
    for thing in figure.collection.objects:
        twin = thing.copy()
        copy.collection.objects.link(twin)
    return copy


def _put_body(scene: Scene, home: Collection, body: PosedBody) -> None:
    material = mannequin_material()
    _put_part(scene, home, "body", body.vertices, body.triangles, material=material)
    if body.furniture:
        points, triangles = joined_mesh(body.furniture)
        _put_part(scene, home, "furniture", points, triangles, material=furniture_material())


def _put_layer(
    scene: Scene,
    home: Collection,
    kind: str,
    points: FloatArray,
    triangles: IntArray,
    flat: FloatArray,
    cloth: Cloth,
) -> None:
    """Put one layer (n, 3) m with its flat positions (n, 2) m into the scene."""
    material = ground_material(f"{NAMES[kind]} {cloth.name}", cloth.colour)
    material.roughness = 1.0  # how it is shown while working; pile does not shine
    thing = _put_part(scene, home, kind, points, triangles, flat=flat, material=material)
    show_print(thing, cloth)


def _put_part(
    scene: Scene,
    home: Collection,
    kind: str,
    points: FloatArray,
    triangles: IntArray,
    *,
    material: Material,
    flat: FloatArray | None = None,
) -> Object:
    scale_length = scene.unit_settings.scale_length
    name = f"Napfold {NAMES[kind]}"
    thing = put_mesh(name, points, triangles, home, flat=flat, scale_length=scale_length)
    thing[MARK] = kind
    thing.data.materials.append(material)
    return thing


def show_print(thing: Object, cloth: Cloth) -> None:
    """Show a cloth's print on a layer, or take it away; nothing is done where it is shown already."""
    material, shown = thing.active_material, f"{cloth.print} {cloth.colour}"
    if material.get(SHOWN_PRINT, "") == (shown if cloth.print else ""):
        return
    flat = flat_of(thing.data)
    if flat is None:
        return
    material[SHOWN_PRINT] = shown if cloth.print else ""
    put_print_place(thing.data, place_of(cloth, flat, inside=thing[MARK] == "lining"))
    set_print(material, print_image(thing.name, cloth))


def put_bare(scene: Scene, body: PosedBody, name: str) -> None:
    """Put the undressed body into the scene, in the place of an earlier one of another name."""
    for old in list(_marked(scene, BARE)):
        if old.get(BODY) == name and old.objects:
            return
        _remove_collection(old)
    home = _child(home_of(scene, make=True), "Napfold Wearer", BARE)
    home[BODY] = name
    _put_body(scene, home, body)


def bare_of(scene: Scene) -> Collection | None:
    """The collection of the undressed body, if it is there."""
    return next(_marked(scene, BARE), None)


def show_live(scene: Scene, hanging: Progress, cloth: Cloth) -> None:
    """Show the outer cloth and the body on their way; objects are made where they are missing."""
    home = next(_marked(scene, LIVE), None) or _child(
        home_of(scene, make=True), "Napfold Draping", LIVE
    )
    panel, body = hanging.panel, hanging.body
    if not _moved(scene, home, "outer", hanging.outer):
        triangles, flat = panel.triangles, panel.flat
        _put_layer(scene, home, "outer", hanging.outer, triangles, flat, cloth)
    if body is not None and not _moved(scene, home, "body", body.vertices):
        material = mannequin_material()
        _put_part(scene, home, "body", body.vertices, body.triangles, material=material)


def _moved(scene: Scene, home: Collection, kind: str, points: FloatArray) -> bool:
    """Move a live part; False, and it is gone, where it does not have these vertices."""
    for thing in [thing for thing in home.objects if thing.get(MARK) == kind]:
        if len(thing.data.vertices) == len(points):
            set_positions(thing.data, points, scale_length=scene.unit_settings.scale_length)
            return True
        _remove_object(thing)
    return False


def hide_live(scene: Scene) -> None:
    """Take the cloth on its way out of the scene."""
    for home in list(_marked(scene, LIVE)):
        _remove_collection(home)


def parts_of(scene: Scene, kinds: Iterable[str] = tuple(NAMES)) -> list[Object]:
    """Objects of these kinds in all of the scene's figures."""
    wanted = set(kinds)
    homes = [figure.collection for figure in figures(scene)]
    return [thing for home in homes for thing in home.objects if thing.get(MARK) in wanted]


def part_of(thing: Object) -> str | None:
    """What an object is to Napfold, or None."""
    return thing.get(MARK)


def remove(figure: Figure) -> None:
    """Remove a figure with the meshes and materials that only it used."""
    _drapes.pop(figure.collection.session_uid, None)
    _remove_collection(figure.collection)


def _remove_collection(home: Collection) -> None:
    for thing in list(home.objects):
        _remove_object(thing)
    bpy.data.collections.remove(home)


def _remove_object(thing: Object) -> None:
    mesh: Mesh = thing.data
    materials = [material for material in mesh.materials if material]
    bpy.data.objects.remove(thing)
    if mesh.users == 0:
        bpy.data.meshes.remove(mesh)
    for material in materials:
        if material.users == 0:
            bpy.data.materials.remove(material)
