# SPDX-License-Identifier: GPL-3.0-or-later
"""The job: one maker's file, from which everything starts.

A job is read from TOML, checked as a whole, and written back so that reading it again gives the
same job. Every mistake is told with its key, the value as written, the allowed range in the job's
units and what to do.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Any, cast

import tomli_w

from .cloth import Cloth, ClothChoice, library
from .document import Table, flat, look_up, nested, put, shown
from .errors import FileError, InputError
from .files import read_bytes, write_text
from .mannequin import UPRIGHT_POSES
from .pattern import LEAST_SIDE_M, LEAST_SLEEVE_M, Cut, Front, Neck
from .tape import SEXES, SYNONYMS, Measures, Tape, complete, measure_names, measure_quantity
from .units import (
    UNIT_SYSTEMS,
    Quantity,
    RangeError,
    UnitSystem,
    require_range,
    write_quantity,
)

__all__ = [
    "VIEWS",
    "Job",
    "Variant",
    "load_job",
    "require_room",
    "save_job",
]

MOST_BYTES = 1_000_000
MOST_VARIANTS = 24
MOST_NAME_CHARACTERS = 80

VIEWS = ("front", "side", "back")
LEAST_PICTURE_PX, MOST_PICTURE_PX = 64, 4096

# Keys of the file and the fields that hold them, by quantity
_CUT_LENGTHS: Mapping[str, str] = MappingProxyType(
    {
        key: f"{key}_m"
        for key in (
            "cloth_width",
            "length",
            "body_width",
            "sleeve_drop",
            "corner_radius",
            "neck_width",
            "neck_front_depth",
            "neck_back_depth",
        )
    }
)
_CUT_REQUIRED = ("cloth_width", "length", "body_width", "sleeve_drop")
_CLOTH_QUANTITIES: Mapping[str, tuple[str, Quantity]] = MappingProxyType(
    {
        "mass": ("mass_kg_m2", "mass per area"),
        "thickness": ("thickness_m", "length"),
        "pile_height": ("pile_height_m", "length"),
        "bending_length_along": ("bending_length_along_m", "length"),
        "bending_length_across": ("bending_length_across_m", "length"),
    }
)
_TAPE_REQUIRED = ("height", "bust_girth")
_TABLES = ("tape", "cloth", "cut", "drape", "pictures")
_VARIED = ("tape", "cloth", "cut", "drape")


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """What differs from the job in one of its drapes.

    ``changes`` maps dotted keys of the job file, such as ``cut.length``, to values as they stand
    in the file.
    """

    name: str
    changes: Mapping[str, object]


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A wearer, two cloths, a cut, and what to show of them.

    Parameters
    ----------
    name
        What the maker calls it.
    units
        Unit system in which everything is told.
    tape
        The wearer's measures.
    outer, lining
        The choice of cloth for each layer.
    cut
        The choices of the flat pattern.
    poses
        Names of the poses to drape in.
    picture_size_px, views
        Edge of the square pictures, and the sides they are taken from.
    variants
        What to compare: each variant is one drape, and the job itself is not draped; without
        variants the job itself is the only drape.

    Raises
    ------
    InputError
        The wearer does not fit through the garment, or a variant is not a job. Whatever one part
        of the job can check alone has been checked when that part was made.
    """

    name: str
    units: UnitSystem
    tape: Tape
    outer: ClothChoice
    lining: ClothChoice
    cut: Cut
    poses: tuple[str, ...] = ("standing",)
    picture_size_px: int = 800
    views: tuple[str, ...] = VIEWS
    variants: tuple[Variant, ...] = ()

    def __post_init__(self) -> None:
        measures, _ = complete(self.tape)
        require_room(self.cut, measures)
        self.expand()

    def expand(self) -> tuple[tuple[str, "Job"], ...]:
        """Name and job of each drape; the jobs have no variants."""
        if not self.variants:
            return ((self.name, self),)
        return tuple((variant.name, _varied(self, variant)) for variant in self.variants)

    @property
    def outer_cloth(self) -> Cloth:
        """Figures of the outer layer."""
        return self.outer.cloth()

    @property
    def lining_cloth(self) -> Cloth:
        """Figures of the lining."""
        return self.lining.cloth()


def require_room(cut: Cut, measures: Measures) -> None:
    """Refuse a cut that the wearer cannot get into.

    The body part goes round the wearer once with its front and once with its back, so its flat
    width must be at least half the largest of bust, waist and hip girth; the sleeve likewise at
    least half the upper arm girth. Both are bare minima without ease or thickness.

    Raises
    ------
    RangeError
        The body width or the sleeve drop is too small.
    """
    girth = max(measures.value(f"{level}_girth") for level in ("bust", "waist", "hip"))
    require_range(
        "cut.body_width",
        cut.body_width_m,
        girth / 2,
        cut.cloth_width_m - 2 * LEAST_SLEEVE_M,
        "make the body at least half as wide as the wearer's largest girth",
        quantity="length",
    )
    require_range(
        "cut.sleeve_drop",
        cut.sleeve_drop_m,
        measures.value("upper_arm_girth") / 2,
        cut.length_m / 2 - LEAST_SIDE_M,
        "make the sleeve drop at least half the girth of the wearer's upper arm",
        quantity="length",
    )


def load_job(path: Path) -> Job:
    """Read a job file.

    Raises
    ------
    FileError
        The file cannot be read, is larger than 1 MB or is not TOML in UTF-8.
    InputError
        The job has a mistake.
    """
    try:
        # some editors begin a file with a byte order mark
        document = tomllib.loads(read_bytes(path, MOST_BYTES).decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        raise FileError(
            f"{path} is not plain text in UTF-8: byte {error.start + 1} does not belong there. "
            "Save it from a text editor with the encoding UTF-8, or check that it is the file you "
            "meant."
        ) from error
    # tomllib recurses into nested lists, and Python refuses numbers of thousands of digits
    except (ValueError, RecursionError) as error:
        raise FileError(
            f"{path} is not a TOML file: {error}. Correct that place; the sample jobs show the form."
        ) from error
    return _read_job(document)


def save_job(path: Path, job: Job) -> None:
    """Write a job file, whole or not at all.

    Raises
    ------
    FileError
        The file cannot be written.
    """
    document = _write_job(job)
    if job.variants:
        document["variant"] = [
            {"name": variant.name, **nested(variant.changes)} for variant in job.variants
        ]
    write_text(path, tomli_w.dumps(document))


def _read_job(document: Mapping[str, object]) -> Job:
    """The job that a TOML document describes."""
    table = Table("", document, ("name", "units", *_TABLES, "variant"))
    name = table.text("name", MOST_NAME_CHARACTERS)
    units = cast(UnitSystem, table.word("units", UNIT_SYSTEMS))
    try:
        return _read_parts(table, name, units)
    except RangeError as error:
        written = look_up(document, error.key)
        raise error.retold(error.key, units, None if written is None else shown(written)) from error


def _read_parts(table: Table, name: str, units: UnitSystem) -> Job:
    cloth = table.table("cloth", ("outer", "lining"))
    drape = table.table("drape", ("poses",))
    pictures = table.table("pictures", ("size", "views"))
    # What the file leaves out is left to the defaults of Job
    optional: dict[str, Any] = {}
    if "poses" in drape:
        optional["poses"] = drape.words("poses", UPRIGHT_POSES)
    if "size" in pictures:
        optional["picture_size_px"] = pictures.whole_number(
            "size", LEAST_PICTURE_PX, MOST_PICTURE_PX
        )
    if "views" in pictures:
        optional["views"] = pictures.words("views", VIEWS)
    return Job(
        name=name,
        units=units,
        tape=_read_tape(table),
        outer=_read_cloth(cloth, "outer"),
        lining=_read_cloth(cloth, "lining"),
        cut=_read_cut(table),
        variants=_read_variants(table),
        **optional,
    )


def _read_tape(document: Table) -> Tape:
    table = document.table("tape", ("sex", *measure_names(), *SYNONYMS))
    given = {
        key: table.quantity(key, measure_quantity(key)) for key in table.content if key != "sex"
    }
    for name in _TAPE_REQUIRED:
        if not any(SYNONYMS.get(key, key) == name for key in given):
            table.quantity(name, "length")  # tells that it is missing
    sex = table.word("sex", SEXES) if "sex" in table else "unstated"
    try:
        return Tape(sex=sex, given=given)
    except RangeError:
        raise
    except InputError as error:
        written = shown(table.content.get(error.key.removeprefix("tape."), error.value))
        raise InputError(error.key, written, error.allowed, error.remedy) from error


def _read_cloth(cloth: Table, layer: str) -> ClothChoice:
    table = cloth.table(layer, ("kind", *_CLOTH_QUANTITIES, "colour"))
    figures = {
        field: table.quantity(key, quantity)
        for key, (field, quantity) in _CLOTH_QUANTITIES.items()
        if key in table
    }
    kind = table.word("kind", library())
    colour = table.text("colour", MOST_NAME_CHARACTERS) if "colour" in table else None
    try:
        return ClothChoice(kind=kind, colour=colour, **figures)
    except InputError as error:
        key = error.key.replace("cloth.", f"{table.path}.", 1)
        if isinstance(error, RangeError):
            raise error.retold(key, "cm", None) from error
        raise InputError(key, error.value, error.allowed, error.remedy) from error


def _read_cut(document: Table) -> Cut:
    table = document.table("cut", (*_CUT_LENGTHS, "neck", "front"))
    values: dict[str, Any] = {
        field: table.quantity(key, "length")
        for key, field in _CUT_LENGTHS.items()
        if key in table or key in _CUT_REQUIRED
    }
    if "neck" in table:
        values["neck"] = Neck(table.word("neck", Neck))
    if "front" in table:
        values["front"] = Front(table.word("front", Front))
    return Cut(**values)


def _read_variants(document: Table) -> tuple[Variant, ...]:
    tables = document.tables("variant", ("name", *_VARIED))
    if len(tables) > MOST_VARIANTS:
        raise InputError(
            "variant",
            f"a list of {len(tables)}",
            f"up to {MOST_VARIANTS} variants",
            "split the job into several files",
        )
    variants = tuple(
        Variant(
            name=table.text("name", MOST_NAME_CHARACTERS),
            changes=MappingProxyType(
                flat({key: part for key, part in table.content.items() if key != "name"})
            ),
        )
        for table in tables
    )
    names = [variant.name for variant in variants]
    for place, name in enumerate(names):
        if name in names[:place]:
            raise InputError(
                "variant.name", shown(name), "a different name for each", "rename one of the two"
            )
    return variants


def _varied(job: Job, variant: Variant) -> Job:
    """The job with a variant's changes, without variants.

    A cloth of another kind is another cloth: figures that the job gives for the first one are
    left behind; its colour stays.
    """
    document = _write_job(job)
    for layer in ("outer", "lining"):
        table = document["cloth"][layer]
        if variant.changes.get(f"cloth.{layer}.kind", table["kind"]) != table["kind"]:
            for key in _CLOTH_QUANTITIES:
                table.pop(key, None)
    for key, value in variant.changes.items():
        put(document, key, value)
    try:
        return _read_job(document)
    except InputError as error:
        raise InputError(
            f'variant "{variant.name}", {error.key}', error.value, error.allowed, error.remedy
        ) from error


def _write_job(job: Job) -> dict[str, Any]:
    """The TOML document of a job without its variants."""

    def length(value_m: float) -> object:
        return write_quantity("length", value_m, job.units)

    def cloth(choice: ClothChoice) -> dict[str, object]:
        table: dict[str, object] = {"kind": choice.kind}
        for key, (field, quantity) in _CLOTH_QUANTITIES.items():
            value: float | None = getattr(choice, field)
            if value is not None:
                table[key] = write_quantity(quantity, value, job.units)
        return table if choice.colour is None else table | {"colour": choice.colour}

    return {
        "name": job.name,
        "units": job.units,
        "tape": {
            "sex": job.tape.sex,
            **{
                name: write_quantity(measure_quantity(name), value, job.units)
                for name, value in job.tape.given.items()
            },
        },
        "cloth": {"outer": cloth(job.outer), "lining": cloth(job.lining)},
        "cut": {
            **{key: length(getattr(job.cut, field)) for key, field in _CUT_LENGTHS.items()},
            "neck": str(job.cut.neck),
            "front": str(job.cut.front),
        },
        "drape": {"poses": list(job.poses)},
        "pictures": {"size": job.picture_size_px, "views": list(job.views)},
    }
