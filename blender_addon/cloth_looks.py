# SPDX-License-Identifier: GPL-3.0-or-later
"""What a cloth looks like in the sidebar: its print, and a photograph of it; to the core's and back."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import bpy
from bpy.props import BoolProperty, EnumProperty, FloatProperty, FloatVectorProperty, StringProperty
from bpy.types import Context, PropertyGroup

from ..core.cloth import PICTURE, PLAIN, PRINTS, ClothChoice, Photograph, Print
from ..core.errors import FileError
from ..core.picture_file import open_picture, written_colour
from ..core.pictures.motifs import shades
from .language import CONTEXT
from .lengths import add_lengths, metres
from .sidebar_lengths import LOOKS

__all__ = [
    "OWN_COLOUR",
    "SEEN_COLOUR",
    "Looks",
    "add_looks",
    "looks_of",
    "own_colour",
    "put_looks",
    "shown_looks",
]

SEEN_COLOUR, OWN_COLOUR, OWN_PRINT_COLOUR = "seen_colour", "own_colour", "own_print_colour"
NEARLY = 2e-6

Looks = tuple[Any, ...]
Update = Callable[[PropertyGroup, Context], None]

KINDS = {
    PLAIN: "No print",
    "fern": "Fronds that stand upright in front and on their heads behind",
    "dapple": "Spots as of light under leaves",
    "stripe": "Stripes along the cloth",
    "check": "Stripes across stripes",
    PICTURE: "A picture from a file, again and again",
}


def add_looks(group: type[PropertyGroup], update: Update) -> None:
    """Give a cloth's group its print and its photograph."""
    group.__annotations__ |= {
        "print": EnumProperty(
            name="Print",
            description="What is printed on the cloth, to scale on its flat pattern",
            items=[(kind, kind.title(), KINDS[kind]) for kind in (PLAIN, *PRINTS)],
            update=update,
            translation_context=CONTEXT,
        ),
        "print_turn": FloatProperty(
            name="Turn",
            description="How far the print is turned on the cloth, counter-clockwise",
            subtype="ANGLE",
            min=0.0,
            max=6.28318,
            update=update,
            translation_context=CONTEXT,
        ),
        "print_colour": own_colour(
            "Print Colour",
            "Colour of the figures of the print",
            OWN_PRINT_COLOUR,
            lambda one: shades(tuple(one.colour))[0],
            update,
        ),
        "print_file": _file(
            "Picture", "PNG or JPEG file of one repeat of the print, its upper side up", update
        ),
        "photograph": _file(
            "Photograph",
            "PNG or JPEG photograph of the cloth from above, which gives its colour",
            _look_at_photograph(update),
        ),
        "photograph_tiled": BoolProperty(
            name="Show the Photograph",
            description="Show the photograph itself all over the cloth, at true scale",
            update=update,
            translation_context=CONTEXT,
        ),
    }
    add_lengths(group, LOOKS, update)


def _file(name: str, description: str, update: Update) -> object:
    return StringProperty(
        name=name,
        description=description,
        subtype="FILE_PATH",
        update=update,
        translation_context=CONTEXT,
    )


def own_colour(
    name: str,
    description: str,
    kept_as: str,
    usual: Callable[[PropertyGroup], tuple[float, ...]],
    update: Update,
) -> object:
    """A colour of a cloth, as the screen shows it: the usual one as long as none was chosen."""

    def get(group: PropertyGroup) -> tuple[float, ...]:
        return tuple(group.get(kept_as, usual(group)))

    def set_(group: PropertyGroup, value: tuple[float, ...]) -> None:
        group[kept_as] = tuple(value)

    return FloatVectorProperty(
        name=name,
        description=description,
        subtype="COLOR_GAMMA",
        size=3,
        min=0.0,
        max=1.0,
        get=get,
        set=set_,
        update=update,
        translation_context=CONTEXT,
    )


def _look_at_photograph(update: Update) -> Update:
    """Take the colour that a new photograph shows, in the place of one that was chosen."""

    def looked(group: PropertyGroup, context: Context) -> None:
        for name in (SEEN_COLOUR, OWN_COLOUR):
            if group.get(name) is not None:
                del group[name]
        settings = group.id_data.napfold
        settings.complaint = ""
        if group.photograph:
            try:
                group[SEEN_COLOUR] = _channels(open_picture(_path(group.photograph)).colour)
            except FileError as error:
                settings.complaint = str(error)
        update(group, context)

    return looked


def _path(text: str) -> Path:
    return Path(bpy.path.abspath(text)).absolute()


def _channels(colour: str) -> tuple[float, ...]:
    return tuple(channel / 255 for channel in bytes.fromhex(colour[1:]))


def looks_of(group: PropertyGroup) -> Looks:
    """All that decides the looks of a cloth beside its colour, for comparing and as a key."""
    own = group.get(OWN_PRINT_COLOUR)
    return (
        group.print,
        metres(group, LOOKS, "print_repeat"),
        round(group.print_turn, 6),
        None if own is None else written_colour(own),
        str(_path(group.print_file)) if group.print_file else "",
        str(_path(group.photograph)) if group.photograph else "",
        metres(group, LOOKS, "photograph_width"),
        group.photograph_tiled,
    )


def shown_looks(looks: Looks, base: ClothChoice | None) -> dict[str, Any]:
    """Print and photograph of a `ClothChoice`; what the sidebar has not is kept from the loaded one.

    Raises
    ------
    NapfoldError
        A picture cannot be read, or a figure cannot be used.
    """
    kind, repeat_m, turn_rad, colour, file, photograph, width_m, tiled = looks
    found: dict[str, Any] = {"print": None, "photograph": None}
    if photograph:
        found["photograph"] = Photograph(
            picture=open_picture(Path(photograph)), width_m=width_m, tiled=tiled
        )
    if kind == PLAIN or (photograph and tiled):
        return found
    if kind == PICTURE and not file:  # chosen, but not which
        return found
    loaded = base.print if base is not None and base.print is not None else None
    if loaded is None or loaded.kind != kind:
        loaded = Print(kind=kind, repeat_m=repeat_m, picture=_picture(kind, file))
    colours = loaded.colours if colour is None else (colour, *loaded.colours[1:])
    if abs(loaded.turn_rad - turn_rad) < NEARLY:
        turn_rad = loaded.turn_rad
    found["print"] = replace(
        loaded,
        repeat_m=repeat_m,
        turn_rad=turn_rad,
        colours=() if kind == PICTURE else colours,
        picture=_picture(kind, file),
    )
    return found


def _picture(kind: str, file: str) -> Any:
    return open_picture(Path(file)) if kind == PICTURE else None


def put_looks(group: PropertyGroup, choice: ClothChoice) -> None:
    """Set a cloth's group to the print and the photograph of a choice."""
    motif, photograph = choice.print, choice.photograph
    scale = group.id_data.unit_settings.scale_length
    group.print = PLAIN if motif is None else motif.kind
    group.print_turn = 0.0 if motif is None else motif.turn_rad
    group.print_file = str(motif.picture.path) if motif and motif.picture else ""
    if group.get(OWN_PRINT_COLOUR) is not None:
        del group[OWN_PRINT_COLOUR]
    if motif is not None:
        group.print_repeat = motif.repeat_m / scale
        group["print_repeat_m"] = motif.repeat_m
        if motif.colours:
            group.print_colour = _channels(motif.colours[0])
    group.photograph = str(photograph.picture.path) if photograph else ""
    group.photograph_tiled = bool(photograph and photograph.tiled)
    if photograph is not None:
        group.photograph_width = photograph.width_m / scale
        group["photograph_width_m"] = photograph.width_m
