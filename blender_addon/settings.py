# SPDX-License-Identifier: GPL-3.0-or-later
"""What the user sets in the sidebar, kept with the scene, and the core values made of it.

A length is shown in the units of the scene and stored in metres, so the garment stays what it is
when the scene's unit scale changes. The scale is applied in `length` and nowhere else here.
"""

from collections.abc import Iterable

import bpy
from bpy.props import EnumProperty, FloatProperty, PointerProperty, StringProperty
from bpy.types import PropertyGroup, Scene

from ..core.cloth import Cloth, ClothChoice, library
from ..core.cloth_findings import hangs_like
from ..core.drape import EDGE_LENGTH_M
from ..core.job import Job
from ..core.mannequin import POSES
from ..core.nap import NapDown
from ..core.pattern import Cut, Front, Neck
from ..core.tape import SEXES, Tape
from ..core.units import RangeError, UnitSystem

__all__ = ["NapfoldSettings", "job_of", "metres"]

# What a button can hold, in Blender units: a 5 m length in a scene that counts micrometres.
MOST_BLENDER_UNITS = 5e6


def length(
    name: str,
    description: str,
    *,
    key: str,
    default_m: float,
    least_m: float,
    most_m: float,
) -> object:
    """A length property of a group: shown in scene units, stored under ``key`` in metres.

    Whatever is entered is kept between ``least_m`` and ``most_m``; a length of 0 is kept as 0
    where ``default_m`` is 0, and means "not measured".
    """

    def get(group: PropertyGroup) -> float:
        return group.get(key, default_m) / group.id_data.unit_settings.scale_length

    def set_(group: PropertyGroup, value: float) -> None:
        value_m = value * group.id_data.unit_settings.scale_length
        if value_m > 0 or default_m > 0:
            value_m = min(max(value_m, least_m), most_m)
        # Blender hands over single precision; a micrometre is finer than any ruler
        group[key] = round(value_m, 6)

    return FloatProperty(
        name=name,
        description=description,
        subtype="DISTANCE",
        unit="LENGTH",
        default=default_m,
        min=0.0,
        max=MOST_BLENDER_UNITS,
        soft_min=least_m,
        soft_max=most_m,
        step=1,
        precision=4,
        get=get,
        set=set_,
    )


def words(name: str, description: str, allowed: Iterable[str], default: str) -> object:
    """A choice among words of the core, shown in title case."""
    items = [(str(word), word.title(), "") for word in allowed]
    return EnumProperty(name=name, description=description, items=items, default=str(default))


class NapfoldWearer(PropertyGroup):
    """The wearer's tape; 0 stands for a measure that is to be estimated."""

    sex: words(
        "Sex",
        "Whose body proportions the estimates follow where a measure is missing",
        SEXES,
        "unstated",
    )
    height: length(
        "Height",
        "Height of the wearer without shoes",
        key="height_m",
        default_m=1.68,
        least_m=0.8,
        most_m=2.5,
    )
    bust_girth: length(
        "Bust Girth",
        "Girth of bust or chest over the fullest part, tape level",
        key="bust_girth_m",
        default_m=0.96,
        least_m=0.4,
        most_m=2.2,
    )
    waist_girth: length(
        "Waist Girth",
        "Girth at the natural waist; 0 estimates it from the other measures",
        key="waist_girth_m",
        default_m=0.0,
        least_m=0.35,
        most_m=2.3,
    )
    hip_girth: length(
        "Hip Girth",
        "Girth over the fullest part of the seat; 0 estimates it from the other measures",
        key="hip_girth_m",
        default_m=0.0,
        least_m=0.4,
        most_m=2.6,
    )
    back_neck_point_to_wrist: length(
        "Neck to Wrist",
        "From the bone at the back of the neck over the shoulder to the wrist, arm bent a little; "
        "0 estimates it from the other measures",
        key="back_neck_point_to_wrist_m",
        default_m=0.0,
        least_m=0.3,
        most_m=1.3,
    )


class NapfoldCut(PropertyGroup):
    """The choices that make the flat pattern."""

    cloth_width: length(
        "Cloth Width",
        "Usable width of the cloth, which runs from wrist to wrist",
        key="cloth_width_m",
        default_m=1.4732,
        least_m=0.6,
        most_m=3.2,
    )
    length: length(
        "Bought Length",
        "Length to buy; the fold over the shoulders halves it into front and back",
        key="length_m",
        default_m=1.3716,
        least_m=0.6,
        most_m=4.0,
    )
    body_width: length(
        "Body Width",
        "Flat width of the body part from side seam to side seam",
        key="body_width_m",
        default_m=0.6604,
        least_m=0.3,
        most_m=3.1,
    )
    sleeve_drop: length(
        "Sleeve Drop",
        "Depth kept below the shoulder fold for the sleeve; its girth is twice this",
        key="sleeve_drop_m",
        default_m=0.2032,
        least_m=0.08,
        most_m=1.9,
    )
    corner_radius: length(
        "Corner Radius",
        "Radius of the rounded inner corner under the arm",
        key="corner_radius_m",
        default_m=0.1,
        least_m=0.01,
        most_m=1.0,
    )
    neck: words("Neck", "Style of the neck opening", Neck, Neck.ROUND)
    neck_width: length(
        "Neck Width",
        "Width of the neck opening on the shoulder fold",
        key="neck_width_m",
        default_m=0.18,
        least_m=0.1,
        most_m=0.4,
    )
    neck_front_depth: length(
        "Front Depth",
        "How far the neck opening dips below the fold in front",
        key="neck_front_depth_m",
        default_m=0.09,
        least_m=0.02,
        most_m=0.4,
    )
    neck_back_depth: length(
        "Back Depth",
        "How far the neck opening dips below the fold behind",
        key="neck_back_depth_m",
        default_m=0.025,
        least_m=0.01,
        most_m=0.2,
    )
    front: words("Front", "How the two fronts meet", Front, Front.EDGE_TO_EDGE)
    nap: words(
        "Nap",
        "The half down which the nap strokes smooth; on one folded length it runs up the other",
        NapDown,
        NapDown.IN_FRONT,
    )


def _pile(cloth: Cloth) -> str:
    pile = f"pile {cloth.pile_height_m * 1000:.0f} mm" if cloth.pile_height_m else "no pile"
    return f"About {cloth.mass_kg_m2 * 1000:.0f} g/m², {pile}"


def cloth_kind(layer: str, default: str) -> object:
    """The choice of a library cloth, each told by its mass, its pile and how it falls."""
    items = [
        (
            name,
            name.title(),
            f"{_pile(cloth)}. It falls in {hangs_like(cloth).partition(': ')[2]} (all estimates)",
        )
        for name, cloth in library().items()
    ]
    description = (
        f"Kind of cloth of the {layer}; its figures are estimates until a swatch is tested"
    )
    return EnumProperty(name=layer.title(), description=description, items=items, default=default)


class NapfoldSettings(PropertyGroup):
    """All settings of a scene, and what the last drape measured."""

    wearer: PointerProperty(type=NapfoldWearer)
    cut: PointerProperty(type=NapfoldCut)
    outer: cloth_kind("outer cloth", "long pile")
    lining: cloth_kind("lining", "light plush")
    pose: words(
        "Pose", "How the wearer holds the body; chair or bed come with it", POSES, "standing"
    )
    edge_length: length(
        "Mesh Edge",
        "Edge length of the cloth's triangles; shorter is finer and slower",
        key="edge_length_m",
        default_m=EDGE_LENGTH_M,
        least_m=0.008,
        most_m=0.06,
    )
    findings: StringProperty(
        name="Findings",
        description="What was measured on the last drape, one finding a line",
        options={"HIDDEN"},
    )


def metres(group: PropertyGroup, name: str) -> float:
    """A length of a group as it is stored, in metres."""
    default_m = group.bl_rna.properties[name].default
    return round(group.get(f"{name}_m", default_m), 6)


def job_of(scene: Scene) -> Job:
    """The job that a scene's settings describe, told in the scene's kind of units.

    Raises
    ------
    InputError
        A setting cannot be used.
    """
    settings, wearer, cut = scene.napfold, scene.napfold.wearer, scene.napfold.cut
    units: UnitSystem = "in" if scene.unit_settings.system == "IMPERIAL" else "cm"
    given = {name: value_m for name in TAPE_LENGTHS if (value_m := metres(wearer, name)) > 0}
    lengths = {f"{name}_m": metres(cut, name) for name in CUT_LENGTHS}
    try:
        return Job(
            name=scene.name,
            units=units,
            tape=Tape(sex=wearer.sex, given=given),
            outer=ClothChoice(kind=settings.outer),
            lining=ClothChoice(kind=settings.lining),
            cut=Cut(neck=Neck(cut.neck), front=Front(cut.front), nap=NapDown(cut.nap), **lengths),
            poses=(settings.pose,),
        )
    except RangeError as error:
        raise error.retold(label_of(error.key), units, None) from error


def label_of(key: str) -> str:
    """The label in the sidebar of what the job file calls ``cut.body_width``."""
    table, _, name = key.partition(".")
    group = {"tape": NapfoldWearer, "cut": NapfoldCut}.get(table)
    shown = group is not None and name in group.bl_rna.properties
    return group.bl_rna.properties[name].name if shown else key


CUT_WORDS = ("neck", "front", "nap")
TAPE_LENGTHS = tuple(name for name in NapfoldWearer.__annotations__ if name != "sex")
CUT_LENGTHS = tuple(name for name in NapfoldCut.__annotations__ if name not in CUT_WORDS)
CLASSES = (NapfoldWearer, NapfoldCut, NapfoldSettings)


def register() -> None:
    for group in CLASSES:
        bpy.utils.register_class(group)
    Scene.napfold = PointerProperty(type=NapfoldSettings)


def unregister() -> None:
    del Scene.napfold
    for group in reversed(CLASSES):
        bpy.utils.unregister_class(group)
