# SPDX-License-Identifier: GPL-3.0-or-later
"""What the user sets in the sidebar, kept with the scene."""

from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType

import bpy
from bpy.props import (
    BoolProperty,
    CollectionProperty,
    EnumProperty,
    FloatProperty,
    FloatVectorProperty,
    IntProperty,
    PointerProperty,
    StringProperty,
)
from bpy.types import Context, PropertyGroup, Scene

from ..core.cloth import Cloth, library
from ..core.cloth_findings import hangs_like
from ..core.drape import EDGE_LENGTH_M
from ..core.mannequin import POSES
from ..core.nap import NapDown
from ..core.pattern import Corner, Front, Neck, Shoulder
from ..core.tape import SEXES
from .lengths import Length, add_lengths

__all__ = ["CUT", "CUT_WORDS", "SEWING", "TAPE", "VIEW", "NapfoldSettings", "announce", "listen"]

TAPE: Mapping[str, Length] = MappingProxyType(
    {
        "height": Length("Height", "Height of the wearer without shoes", 1.68, 0.8, 2.5),
        "bust_girth": Length(
            "Bust Girth", "Girth of bust or chest over the fullest part, tape level", 0.96, 0.4, 2.2
        ),
        "waist_girth": Length(
            "Waist Girth",
            "Girth at the natural waist; 0 estimates it from the other measures",
            0.0,
            0.35,
            2.3,
        ),
        "hip_girth": Length(
            "Hip Girth",
            "Girth over the fullest part of the seat; 0 estimates it from the other measures",
            0.0,
            0.4,
            2.6,
        ),
        "upper_arm_girth": Length(
            "Upper Arm Girth",
            "Girth round the fullest part of the upper arm; 0 estimates it from the other measures",
            0.0,
            0.15,
            0.7,
        ),
        "back_neck_point_to_wrist": Length(
            "Neck to Wrist",
            "From the bone at the back of the neck over the shoulder to the wrist, arm bent a "
            "little; 0 estimates it from the other measures",
            0.0,
            0.3,
            1.3,
        ),
    }
)
CUT: Mapping[str, Length] = MappingProxyType(
    {
        "cloth_width": Length(
            "Cloth Width",
            "Usable width of the cloth, which runs from wrist to wrist",
            1.4732,
            0.6,
            3.2,
        ),
        "length": Length(
            "Bought Length",
            "Length to buy; the fold over the shoulders halves it into front and back",
            1.3716,
            0.6,
            4.0,
        ),
        "body_width": Length(
            "Body Width",
            "Flat width of the body part from side seam to side seam",
            0.6604,
            0.3,
            3.1,
        ),
        "sleeve_drop": Length(
            "Sleeve Drop",
            "Depth kept below the shoulder fold for the sleeve; its girth is twice this",
            0.2032,
            0.08,
            1.9,
        ),
        "corner_radius": Length(
            "Corner Radius", "Radius of the rounded inner corner under the arm", 0.1, 0.01, 1.0
        ),
        "neck_width": Length(
            "Neck Width", "Width of the neck opening on the shoulder fold", 0.18, 0.1, 0.4
        ),
        "neck_front_depth": Length(
            "Front Depth",
            "How far the neck opening dips below the fold in front",
            0.09,
            0.02,
            0.4,
        ),
        "neck_back_depth": Length(
            "Back Depth", "How far the neck opening dips below the fold behind", 0.025, 0.01, 0.2
        ),
        "front_overlap": Length(
            "Overlap", "By how much the two fronts lie on one another", 0.12, 0.03, 0.4
        ),
        "shoulder_drop": Length(
            "Shoulder Slope",
            "How far a shoulder seam falls from neck to sleeve end",
            0.0,
            0.001,
            0.3,
        ),
        "wrist_opening": Length(
            "Sleeve Opening", "Round of the sleeve end; 0 keeps the sleeve straight", 0.0, 0.12, 2.0
        ),
        "sleeve_shortened": Length(
            "Shorter Sleeves",
            "By how much each sleeve ends before the edge of the cloth",
            0.0,
            0.001,
            1.0,
        ),
        "cuff_depth": Length(
            "Turned-Back Cuff",
            "How much of the sleeve is turned back to the outside",
            0.0,
            0.001,
            0.4,
        ),
        "hem_curve": Length(
            "Hem Rise", "How far the hem rises from its middle to the side seams", 0.0, 0.001, 0.25
        ),
        "back_longer": Length(
            "Longer Back", "By how much the back hangs lower than the front", 0.0, 0.001, 0.5
        ),
        "side_flare": Length(
            "Side Flare",
            "By how much each side is wider at the hem than under the arm",
            0.0,
            0.001,
            1.0,
        ),
        "side_split": Length(
            "Side Split", "How far the side seams are left open from the hem up", 0.0, 0.001, 1.5
        ),
    }
)
SEWING: Mapping[str, Length] = MappingProxyType(
    {
        name: Length(label, f"Cloth kept beyond the seam at {where}", 0.0127, 0.004, 0.05)
        for name, label, where in (
            ("underarm", "Underarm", "the underarm and side"),
            ("hem", "Hem", "the hem"),
            ("sleeve_end", "Sleeve End", "the sleeve ends"),
            ("front", "Front", "the centre front"),
            ("neck", "Neck", "the neck"),
            ("shoulder", "Shoulder", "the shoulder"),
        )
    }
)
STATED: Mapping[str, Length] = MappingProxyType(
    {
        "thickness": Length(
            "Thickness",
            "Thickness of the cloth with its pile; 0 takes that of the kind",
            0.0,
            0.0003,
            0.06,
        ),
        "pile_height": Length(
            "Pile Height", "Height of the pile alone; 0 takes that of the kind", 0.0, 0.0003, 0.05
        ),
    }
)
MESH: Mapping[str, Length] = MappingProxyType(
    {
        "edge_length": Length(
            "Mesh Edge",
            "Edge length of the cloth's triangles; shorter is finer and slower",
            EDGE_LENGTH_M,
            0.008,
            0.06,
        )
    }
)
SECTION: Mapping[str, Length] = MappingProxyType(
    {
        "section_height": Length(
            "Section Height", "Height over the floor at which wrap and body are cut", 1.0, 0.01, 2.5
        )
    }
)
CUT_WORDS = ("neck", "front", "shoulder", "corner", "nap")
VIEW = ("show_flat", "show_rings", "show_marks", "show_hem", "show_room", "show_section")

# Told what changed: "wearer", "numbers", "pose", "view", "colouring", or "body" when it was built.
_listeners: list[Callable[[Scene, str], None]] = []


def listen(to: Callable[[Scene, str], None]) -> Callable[[], None]:
    """Have every change of a setting told to a function; what comes back ends that."""
    _listeners.append(to)
    return lambda: _listeners.remove(to)


def announce(scene: Scene, what: str) -> None:
    """Tell every listener of a change."""
    for listener in _listeners:
        listener(scene, what)


def _changed(what: str) -> Callable[[PropertyGroup, Context], None]:
    def update(group: PropertyGroup, _context: Context) -> None:
        announce(group.id_data, what)

    return update


def words(
    name: str, description: str, allowed: Iterable[str], default: str, what: str = "numbers"
) -> object:
    """A choice among words of the core, shown in title case."""
    items = [(str(word), word.title(), "") for word in allowed]
    return EnumProperty(
        name=name, description=description, items=items, default=str(default), update=_changed(what)
    )


def switch(name: str, description: str, *, default: bool, what: str = "view") -> object:
    """A choice of yes or no."""
    return BoolProperty(name=name, description=description, default=default, update=_changed(what))


class NapfoldWearer(PropertyGroup):
    """The wearer's tape; 0 stands for a measure that is to be estimated."""

    sex: words(
        "Sex",
        "Whose body proportions the estimates follow where a measure is missing",
        SEXES,
        "unstated",
        "wearer",
    )


class NapfoldCut(PropertyGroup):
    """The choices that make the flat pattern."""

    neck: words("Neck", "Style of the neck opening", Neck, Neck.ROUND)
    front: words("Front", "How the two fronts meet", Front, Front.EDGE_TO_EDGE)
    shoulder: words(
        "Shoulders",
        "Whether front and back are one length of cloth",
        Shoulder,
        Shoulder.ON_THE_FOLD,
    )
    corner: words("Corner", "How side and underarm meet under the arm", Corner, Corner.ROUND)
    nap: words(
        "Nap",
        "The half down which the nap strokes smooth; on one folded length it runs up the other",
        NapDown,
        NapDown.IN_FRONT,
    )


class NapfoldSewing(PropertyGroup):
    """The seam allowances."""


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
    return EnumProperty(
        name=layer.title(),
        description=description,
        items=items,
        default=default,
        update=_changed("numbers"),
    )


def _colour() -> object:
    """The cloth's colour; that of its kind as long as none was chosen."""

    def get(group: PropertyGroup) -> tuple[float, float, float]:
        return tuple(group.get("own_colour", library()[group.kind].colour))

    def set_(group: PropertyGroup, value: tuple[float, float, float]) -> None:
        group["own_colour"] = tuple(value)

    return FloatVectorProperty(
        name="Colour",
        description="Colour of the cloth, in the viewport and in pictures",
        subtype="COLOR_GAMMA",
        size=3,
        min=0.0,
        max=1.0,
        get=get,
        set=set_,
        update=_changed("view"),
    )


def _mass() -> object:
    return FloatProperty(
        name="Mass",
        description="Mass of a square metre in grams, as shop or label state it; 0 takes that of the kind",
        default=0.0,
        min=0.0,
        max=3000.0,
        soft_max=1500.0,
        step=1000,
        precision=0,
        update=_changed("numbers"),
    )


class NapfoldOuter(PropertyGroup):
    """The choice of the outer cloth."""

    kind: cloth_kind("outer cloth", "long pile")
    colour: _colour()
    mass: _mass()


class NapfoldLining(PropertyGroup):
    """The choice of the lining."""

    kind: cloth_kind("lining", "light plush")
    colour: _colour()
    mass: _mass()


class NapfoldVariant(PropertyGroup):
    """One variant: its name, its number and its job."""

    number: IntProperty(
        name="Number", description="By what its drapes are found", min=0, options={"HIDDEN"}
    )
    text: StringProperty(name="Job", description="The variant's job file", options={"HIDDEN"})
    title: StringProperty(
        name="Name", description="Name of the variant, also over its head", update=_changed("view")
    )


COLOURINGS = (
    ("CLOTH", "Cloth", "The cloths in their own colours"),
    ("ACROSS", "Stretch Across", "How far the outer cloth is stretched across its width"),
    ("ALONG", "Stretch Along", "How far the outer cloth is stretched along its length"),
    ("STAND_OFF", "Stand-Off", "How far the outside stands off the skin"),
)


class NapfoldSettings(PropertyGroup):
    """All settings of a scene, and what the drape in view measured."""

    title: StringProperty(
        name="Job", description="What you call this wrap", default="My wrap", maxlen=80
    )
    wearer: PointerProperty(type=NapfoldWearer)
    cut: PointerProperty(type=NapfoldCut)
    sewing: PointerProperty(type=NapfoldSewing)
    outer: PointerProperty(type=NapfoldOuter)
    lining: PointerProperty(type=NapfoldLining)
    pose: words(
        "Pose",
        "How the wearer holds the body; chair or bed come with it",
        POSES,
        "standing",
        "pose",
    )
    turned: switch(
        "Lining Out",
        "Wear the wrap turned, its lining outside; a drape of either side is kept",
        default=False,
        what="pose",
    )
    document: StringProperty(
        name="Document",
        description="The job file that was loaded, for what the sidebar does not show",
        options={"HIDDEN"},
    )
    findings: StringProperty(
        name="Findings",
        description="What was measured on the drape in view, one finding a line",
        options={"HIDDEN"},
    )
    complaint: StringProperty(
        name="Complaint", description="What could not be read", options={"HIDDEN"}
    )
    typed: BoolProperty(
        name="Type Lengths",
        description="Show lengths as words, so that they can be typed as 1 1/2 yd or 5 ft 6 in",
        default=False,
    )
    variants: CollectionProperty(
        type=NapfoldVariant, name="Variants", description="Wraps to compare"
    )
    variant: IntProperty(name="Variant", description="The chosen variant", min=0)
    picture_size: IntProperty(
        name="Picture Size",
        description="Edge of the square picture in pixels; a larger one takes longer",
        default=800,
        min=64,
        max=4096,
    )
    show_flat: switch(
        "Pattern and Lay",
        "Draw the flat pattern before the wearer's feet, and the cloth to buy beside it",
        default=True,
    )
    show_rings: switch(
        "Hem and Sleeve Estimates",
        "Draw where hem and sleeve ends land by flat measures, until the wrap is draped",
        default=True,
    )
    show_marks: switch(
        "Labels and Heights",
        "Draw names over heads, the height ruler and the levels of the body",
        default=True,
    )
    show_hem: switch("Hem Line", "Draw the hem all round", default=False)
    show_room: switch(
        "Room in the Sleeves",
        "Draw arm and lining where the room in the sleeves is measured",
        default=False,
    )
    show_section: switch(
        "Section", "Cut wrap and body level, and lay the section on the floor", default=False
    )
    colouring: EnumProperty(
        name="Colours",
        description="What the colours of the cloth show",
        items=COLOURINGS,
        update=_changed("colouring"),
    )


add_lengths(NapfoldWearer, TAPE, _changed("wearer"))
add_lengths(NapfoldCut, CUT, _changed("numbers"))
add_lengths(NapfoldSewing, SEWING, _changed("numbers"))
for group in (NapfoldOuter, NapfoldLining):
    add_lengths(group, STATED, _changed("numbers"))
add_lengths(NapfoldSettings, MESH, _changed("view"))
add_lengths(NapfoldSettings, SECTION, _changed("view"))

CLASSES = (
    NapfoldWearer,
    NapfoldCut,
    NapfoldSewing,
    NapfoldOuter,
    NapfoldLining,
    NapfoldVariant,
    NapfoldSettings,
)


def register() -> None:
    for group in CLASSES:
        bpy.utils.register_class(group)
    Scene.napfold = PointerProperty(type=NapfoldSettings)


def unregister() -> None:
    _listeners.clear()
    del Scene.napfold
    for group in reversed(CLASSES):
        bpy.utils.unregister_class(group)
