# SPDX-License-Identifier: GPL-3.0-or-later
"""What the user sets in the sidebar, kept with the scene."""

from collections.abc import Callable, Iterable

import bpy
from bpy.props import (
    BoolProperty,
    CollectionProperty,
    EnumProperty,
    FloatProperty,
    IntProperty,
    PointerProperty,
    StringProperty,
)
from bpy.types import Context, PropertyGroup, Scene

from ..core.cloth import Cloth, library
from ..core.cloth_findings import hangs_like
from ..core.mannequin import POSES
from ..core.nap import NapDown
from ..core.pattern import Corner, Front, Neck, Shoulder
from ..core.tape import SEXES
from .cloth_looks import OWN_COLOUR, SEEN_COLOUR, add_looks, own_colour
from .language import CONTEXT, titled
from .lengths import add_lengths
from .sidebar_lengths import CUT, MESH, SECTION, SEWING, STATED, TAPE

__all__ = ["CUT_WORDS", "VIEW", "NapfoldSettings", "announce", "listen"]

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
    items = [(str(word), titled(word), "") for word in allowed]
    return EnumProperty(
        name=name,
        description=description,
        items=items,
        default=str(default),
        update=_changed(what),
        translation_context=CONTEXT,
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
    """The cloth's colour; that of its photograph or its kind as long as none was chosen."""
    return own_colour(
        "Colour",
        "Colour of the cloth, in the viewport and in pictures",
        OWN_COLOUR,
        lambda group: group.get(SEEN_COLOUR, library()[group.kind].colour),
        _changed("view"),
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


RENDERERS = (
    ("CYCLES", "Cycles", "Light as in a studio, in about a minute"),
    (
        "EEVEE",
        "EEVEE",
        "A quick look where there is a graphics card; light and shadows are simpler",
    ),
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
    picture_by: EnumProperty(
        name="Renderer",
        description="What renders a single picture; sets of pictures are always rendered by Cycles",
        items=RENDERERS,
        translation_context=CONTEXT,
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
    add_looks(group, _changed("view"))
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
