# SPDX-License-Identifier: GPL-3.0-or-later
"""The job: one maker's file, from which everything starts.

A job is read from TOML, checked as a whole, and written back so that reading it again gives the
same job. Every mistake is told with its key, the value as written, the allowed range in the job's
units and what to do.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, cast

import tomli_w

from .buying import Wish
from .cloth import Cloth, ClothChoice
from .cloth_tables import CLOTH_FIGURES, read_cloth, write_cloth
from .cut_line import Allowances
from .document import Table, look_up, put, shown, take_out
from .errors import FileError, InputError
from .files import read_bytes, write_text
from .job_tables import (
    MOST_NAME_CHARACTERS,
    read_body,
    read_cut,
    read_tape,
    write_body,
    write_cut,
    write_tape,
)
from .lay import MOST_REPEAT_M, LayChoice, Nap, Order, sized
from .least_room import require_room
from .making_tables import (
    read_lay,
    read_money,
    read_sewing,
    read_wish,
    write_lay,
    write_money,
    write_sewing,
    write_wish,
)
from .mannequin import POSES
from .mannequin.own_body import BodyChoice
from .money import Money
from .pattern import Cut
from .picture_tables import PICTURE_KEYS, read_picture_set, write_picture_set
from .pictures.choice import PictureChoice
from .pictures.shots import VIEWS
from .tape import Tape, complete
from .units import UNIT_SYSTEMS, RangeError, UnitSystem
from .variants import LEFT_OUT, Variant, read_variants, write_variants

__all__ = [
    "AS_IT_STANDS",
    "VIEWS",
    "Job",
    "job_text",
    "load_job",
    "read_job_text",
    "save_job",
]

MOST_BYTES = 1_000_000
AS_IT_STANDS = "as it stands"
"""The one pose of a body of the wearer's own."""

LEAST_PICTURE_PX, MOST_PICTURE_PX = 64, 4096

_TABLES = ("tape", "body", "cloth", "cut", "wish", "sewing", "lay", "money", "drape", "pictures")


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
        The wearer's measures. Beside a body of the wearer's own it may say little or nothing.
    body
        The mesh of that body, if there is one.
    outer, lining
        The choice of cloth for each layer.
    cut
        The choices of the flat pattern.
    allowances, lay, money
        What is kept beside the seams; how the cloth is bought and laid; what is paid with.
    wish
        What the maker would like instead of this cut; the sheets tell what to buy for it.
    poses
        Names of the poses to drape in; for a body of the wearer's own `AS_IT_STANDS` alone.
    ranges
        Whether to drape also with the cloths at the ends of what is not known of them.
    advice, reach
        Whether to drape changes that would mend what does not hold; and with raised arms, to find
        how far they go up before the wrap is pulled along.
    picture_size_px, views
        Edge of a preview's square pictures, and the sides they are taken from.
    pictures
        The set of product pictures.
    variants
        What to compare: each variant is one drape, and the job itself is not draped; without
        variants the job itself is the only drape.

    Raises
    ------
    InputError
        The wearer does not fit through the garment (a body of the wearer's own is asked when it
        is read), the poses are not for this body, or a variant is not a job. Whatever one part of
        the job can check alone has been checked when that part was made.
    """

    name: str
    units: UnitSystem
    tape: Tape
    outer: ClothChoice
    lining: ClothChoice
    cut: Cut
    allowances: Allowances = field(default_factory=Allowances)
    lay: LayChoice = field(default_factory=LayChoice)
    money: Money = field(default_factory=Money)
    wish: Wish | None = None
    poses: tuple[str, ...] = ("standing",)
    ranges: bool = False
    advice: bool = False
    reach: bool = False
    picture_size_px: int = 800
    views: tuple[str, ...] = VIEWS
    pictures: PictureChoice = field(default_factory=PictureChoice)
    variants: tuple[Variant, ...] = ()
    body: BodyChoice | None = None

    def __post_init__(self) -> None:
        measures, _ = complete(self.tape)
        if self.body is None:
            require_room(self.cut, measures, self.thickness_m)
        _check_poses(self.poses, own=self.body is not None)
        self.expand()

    @property
    def thickness_m(self) -> float:
        """Thickness of both layers together."""
        return self.outer_cloth.thickness_m + self.lining_cloth.thickness_m

    def expand(self) -> tuple[tuple[str, "Job"], ...]:
        """Name and job of each drape; the jobs have no variants."""
        if not self.variants:
            return ((self.name, self),)
        return tuple((variant.name, _varied(self, variant)) for variant in self.variants)

    @property
    def order(self) -> Order:
        """What is to be laid on cloth, its small pieces sized to wearer and cut."""
        measures, _ = complete(self.tape)
        extras = (sized(extra, self.cut, self.allowances, measures) for extra in self.lay.extras)
        return Order(
            name=self.name,
            cut=self.cut,
            allowances=self.allowances,
            outer=self.outer,
            lining=self.lining,
            choice=replace(self._lay_of_prints, extras=tuple(extras)),
        )

    @property
    def _lay_of_prints(self) -> LayChoice:
        """The lay, with what the prints ask of it: their repeat where none is written, one way."""
        prints = [one.shown_print for one in (self.outer, self.lining)]
        repeats_m = [one.repeat_along_m for one in prints if one is not None and not one.mirrored]
        longest_m = max((repeat_m for repeat_m in repeats_m if repeat_m), default=0.0)
        lay = self.lay
        if lay.print_repeat_m == 0.0 and longest_m <= MOST_REPEAT_M:
            lay = replace(lay, print_repeat_m=longest_m)
        upright = any(one is not None and one.upright for one in prints)
        return replace(lay, nap=Nap.ONE_WAY) if upright else lay

    @property
    def outer_cloth(self) -> Cloth:
        """Figures of the outer layer."""
        return self.outer.cloth()

    @property
    def lining_cloth(self) -> Cloth:
        """Figures of the lining."""
        return self.lining.cloth()


def _check_poses(poses: tuple[str, ...], *, own: bool) -> None:
    if own and poses != (AS_IT_STANDS,):
        raise InputError(
            "drape.poses",
            ", ".join(shown(pose) for pose in poses),
            f'only "{AS_IT_STANDS}" for a body of your own',
            "leave the line out: such a body cannot be moved; to see other poses, leave out [body] "
            "and give a [tape]",
        )
    if not own and AS_IT_STANDS in poses:
        raise InputError(
            "drape.poses",
            shown(AS_IT_STANDS),
            ", ".join(POSES),
            "choose one of these, or name the file of a body of your own under [body]",
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
        text = read_bytes(path, MOST_BYTES).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise FileError(
            f"{path} is not plain text in UTF-8: byte {error.start + 1} does not belong there. "
            "Save it from a text editor with the encoding UTF-8, or check that it is the file you "
            "meant."
        ) from error
    return read_job_text(text, path)


def read_job_text(text: str, path: Path) -> Job:
    """Read a job from the text of a job file that lies, or would lie, at a path.

    Raises
    ------
    FileError
        The text is not TOML.
    InputError
        The job has a mistake.
    """
    try:
        document = tomllib.loads(text)
    # tomllib recurses into nested lists, and Python refuses numbers of thousands of digits
    except (ValueError, RecursionError) as error:
        raise FileError(
            f"{path} is not a TOML file: {error}. Correct that place; the sample jobs show the form."
        ) from error
    return _read_job(document, path.parent)


def save_job(path: Path, job: Job) -> None:
    """Write a job file, whole or not at all.

    Raises
    ------
    FileError
        The file cannot be written.
    """
    write_text(path, job_text(job, path.parent))


def job_text(job: Job, folder: Path | None) -> str:
    """The text of a job's file in a folder; without one, paths are written whole."""
    document = _write_job(job, folder)
    if job.variants:
        document["variant"] = write_variants(job.variants, folder)
    return tomli_w.dumps(document)


def _read_job(document: Mapping[str, object], folder: Path) -> Job:
    """The job that a TOML document describes, which stands in a folder."""
    table = Table("", document, ("name", "units", *_TABLES, "variant"))
    name = table.text("name", MOST_NAME_CHARACTERS)
    units = cast(UnitSystem, table.word("units", UNIT_SYSTEMS))
    try:
        return _read_parts(table, name, units, folder)
    except RangeError as error:
        written = look_up(document, error.key)
        # of several readings the one that is wrong is told
        told = shown(written) if isinstance(written, str) else None
        raise error.retold(error.key, units, told) from error


def _read_parts(table: Table, name: str, units: UnitSystem, folder: Path) -> Job:
    cloth = table.table("cloth", ("outer", "lining"))
    drape = table.table("drape", ("poses", "ranges", "advice", "reach"))
    pictures = table.table("pictures", ("size", "views", *PICTURE_KEYS))
    body = read_body(table, folder)
    tape = read_tape(table, required=body is None)
    # What the file leaves out is left to the defaults of Job
    optional: dict[str, Any] = {} if body is None else {"poses": (AS_IT_STANDS,)}
    if "poses" in drape:
        optional["poses"] = drape.words("poses", (*POSES, AS_IT_STANDS))
    for key in ("ranges", "advice", "reach"):
        if key in drape:
            optional[key] = drape.truth(key)
    if "size" in pictures:
        optional["picture_size_px"] = pictures.whole_number(
            "size", LEAST_PICTURE_PX, MOST_PICTURE_PX
        )
    if "views" in pictures:
        optional["views"] = pictures.words("views", VIEWS)
    lining = read_cloth(cloth, "lining", folder)
    return Job(
        name=name,
        units=units,
        tape=tape,
        body=body,
        outer=read_cloth(cloth, "outer", folder),
        lining=lining,
        cut=read_cut(table, complete(tape)[0], lining.cloth().thickness_m),
        allowances=read_sewing(table),
        lay=read_lay(table),
        money=read_money(table),
        wish=read_wish(table),
        pictures=read_picture_set(pictures),
        variants=read_variants(table, folder),
        **optional,
    )


def _varied(job: Job, variant: Variant) -> Job:
    """The job with a variant's changes, without variants.

    A cloth of another kind is another cloth: figures that the job gives for the first one are
    left behind; its colour stays.
    """
    document = _write_job(job, None)
    for layer in ("outer", "lining"):
        table = document["cloth"][layer]
        if variant.changes.get(f"cloth.{layer}.kind", table["kind"]) != table["kind"]:
            for key in CLOTH_FIGURES:
                table.pop(key, None)
    # a neck is sized in one of two ways
    for one, other in (("neck_ease", "neck_width"), ("neck_width", "neck_ease")):
        if f"cut.{one}" in variant.changes:
            document["cut"].pop(other, None)
    for key, value in variant.changes.items():
        if value != LEFT_OUT:
            put(document, key, value)
        elif not take_out(document, key):
            raise InputError(
                f'variant "{variant.name}", {key}',
                shown(value),
                "something that the job gives",
                "leave this line out",
            )
    try:
        return _read_job(document, Path())
    except InputError as error:
        raise InputError(
            f'variant "{variant.name}", {error.key}', error.value, error.allowed, error.remedy
        ) from error


def _write_job(job: Job, folder: Path | None) -> dict[str, Any]:
    """The TOML document of a job without its variants; a path in it starts from the folder."""
    body = {} if job.body is None else {"body": write_body(job.body, folder)}
    wish = {} if job.wish is None else {"wish": write_wish(job.wish, job.units)}
    return {
        "name": job.name,
        "units": job.units,
        "tape": write_tape(job.tape, job.units),
        **body,
        "cloth": {
            "outer": write_cloth(job.outer, job.units, folder),
            "lining": write_cloth(job.lining, job.units, folder),
        },
        "cut": write_cut(job.cut, job.units),
        **wish,
        "sewing": write_sewing(job.allowances, job.units),
        "lay": write_lay(job.lay, job.units),
        "money": write_money(job.money),
        "drape": {
            "poses": list(job.poses),
            **{key: True for key in ("ranges", "advice", "reach") if getattr(job, key)},
        },
        "pictures": {
            "size": job.picture_size_px,
            "views": list(job.views),
            **write_picture_set(job.pictures),
        },
    }
