# SPDX-License-Identifier: GPL-3.0-or-later
"""Lengths in the sidebar: shown in the units of the scene, stored in metres, also typed as words.

The garment stays what it is when the scene's unit scale changes. The scale is applied here and,
for meshes, in `scene.bridge`.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from bpy.props import FloatProperty, StringProperty
from bpy.types import Context, PropertyGroup, Scene

from ..core.errors import InputError
from ..core.units import UnitSystem, parse_quantity, write_quantity
from .language import CONTEXT

__all__ = ["WORDS", "Length", "add_lengths", "metres", "units_of"]

# What a button can hold, in Blender units: a 5 m length in a scene that counts micrometres.
MOST_BLENDER_UNITS = 5e6
WORDS = "_words"
"""Ends the name of the property that shows a length as words."""

Update = Callable[[PropertyGroup, Context], None]


@dataclass(frozen=True, slots=True)
class Length:
    """One length of a group.

    A length of 0 is kept as 0 where ``default_m`` is 0, and means "not measured"; all others are
    kept between ``least_m`` and ``most_m``.
    """

    name: str
    description: str
    default_m: float
    least_m: float
    most_m: float


def units_of(scene: Scene) -> UnitSystem:
    """The kind of units that a scene is told in."""
    return "in" if scene.unit_settings.system == "IMPERIAL" else "cm"


def add_lengths(group: type[PropertyGroup], lengths: Mapping[str, Length], update: Update) -> None:
    """Give a group its lengths, each as a number and as words."""
    for key, length in lengths.items():
        group.__annotations__[key] = _number(key, length, update)
        group.__annotations__[key + WORDS] = _words(key, length, update)


def metres(group: PropertyGroup, lengths: Mapping[str, Length], key: str) -> float:
    """A length as it is stored, in metres."""
    return round(group.get(f"{key}_m", lengths[key].default_m), 6)


def _store(group: PropertyGroup, key: str, length: Length, value_m: float) -> None:
    if value_m > 0 or length.default_m > 0:
        value_m = min(max(value_m, length.least_m), length.most_m)
    # Blender hands over single precision; a micrometre is finer than any ruler
    group[f"{key}_m"] = round(value_m, 6)


def _number(key: str, length: Length, update: Update) -> object:
    def get(group: PropertyGroup) -> float:
        value_m = group.get(f"{key}_m", length.default_m)
        return value_m / group.id_data.unit_settings.scale_length

    def set_(group: PropertyGroup, value: float) -> None:
        _store(group, key, length, value * group.id_data.unit_settings.scale_length)

    return FloatProperty(
        name=length.name,
        description=length.description,
        subtype="DISTANCE",
        unit="LENGTH",
        default=length.default_m,
        min=0.0,
        max=MOST_BLENDER_UNITS,
        soft_min=length.least_m,
        soft_max=length.most_m,
        step=1,
        precision=4,
        get=get,
        set=set_,
        update=update,
        translation_context=CONTEXT,
    )


def _words(key: str, length: Length, update: Update) -> object:
    def get(group: PropertyGroup) -> str:
        value_m = group.get(f"{key}_m", length.default_m)
        return write_quantity("length", value_m, units_of(group.id_data)) if value_m else ""

    def set_(group: PropertyGroup, text: str) -> None:
        settings = group.id_data.napfold
        settings.complaint = ""
        try:
            _store(group, key, length, _read(length.name, text, units_of(group.id_data)))
        except InputError as error:
            settings.complaint = str(error)

    return StringProperty(
        name=length.name,
        description=f"{length.description}; typed as you say it, such as 1 1/2 yd, 60 in or 150 cm",
        get=get,
        set=set_,
        update=update,
        translation_context=CONTEXT,
    )


def _read(name: str, text: str, units: UnitSystem) -> float:
    """Typed words in metres; a bare number is in the scene's units, nothing is 0."""
    if not text.strip():
        return 0.0
    bare = re.fullmatch(r"[\d\s.,/½¼¾⅛⅜⅝⅞⅓⅔]+", text)
    return parse_quantity("length", name, f"{text} {units}" if bare else text)
