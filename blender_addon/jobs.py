# SPDX-License-Identifier: GPL-3.0-or-later
"""Between the settings of a scene and the core's job, either way.

What a loaded job file says beyond the sidebar (swatch readings, prices, the lay, further measures)
is kept as it stands and comes back when the job is written.
"""

import tomllib
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any

from bpy.types import PropertyGroup, Scene

from ..core.cloth import ClothChoice
from ..core.cloth_tables import CLOTH_FIGURES
from ..core.cut_line import Allowances
from ..core.document import flat
from ..core.errors import InputError, NapfoldError
from ..core.job import Job, job_text, load_job, read_job_text, save_job
from ..core.nap import NapDown
from ..core.pattern import Corner, Cut, Front, Neck, Shoulder
from ..core.picture_file import written_colour
from ..core.pictures.choice import PictureChoice
from ..core.tape import Tape
from ..core.units import RangeError, UnitSystem
from ..core.variants import LEFT_OUT, Variant
from .cloth_looks import OWN_COLOUR, looks_of, put_looks, shown_looks
from .lengths import Length, metres, units_of
from .settings import CUT_WORDS
from .sidebar_lengths import CUT, SEWING, STATED, TAPE

__all__ = [
    "Numbers",
    "comparable",
    "comparable_of",
    "complaint_of",
    "job_from",
    "job_of",
    "label_of",
    "numbers_of",
    "open_job",
    "put_job",
    "read_text",
    "save_scene_job",
    "text_of",
    "turned",
    "whole_job",
]

NOWHERE = Path("the scene's job")
MICROMETRE_M = 2e-6
VARIED = ("tape", "cloth", "cut", "sewing")

Numbers = tuple[Any, ...]


def numbers_of(scene: Scene) -> Numbers:
    """All that decides a scene's job, for comparing and as a key; pose and side are the last two."""
    settings = scene.napfold
    wearer, cut, sewing = settings.wearer, settings.cut, settings.sewing
    return (
        settings.title,
        units_of(scene),
        settings.document,
        (wearer.sex, *(metres(wearer, TAPE, key) for key in TAPE)),
        (*(getattr(cut, word) for word in CUT_WORDS), *(metres(cut, CUT, key) for key in CUT)),
        tuple(metres(sewing, SEWING, key) for key in SEWING),
        _cloth_numbers(settings.outer),
        _cloth_numbers(settings.lining),
        settings.pose,
        settings.turned,
    )


def _cloth_numbers(group: PropertyGroup) -> Numbers:
    colour = None if group.get(OWN_COLOUR) is None else tuple(group.colour)
    return (
        group.kind,
        colour,
        round(group.mass, 3),
        *(metres(group, STATED, key) for key in STATED),
        looks_of(group),
    )


def job_of(scene: Scene) -> Job:
    """The job that a scene's settings describe, told in the scene's kind of units.

    Raises
    ------
    InputError
        A setting cannot be used.
    """
    return job_from(numbers_of(scene))


@lru_cache(maxsize=32)
def job_from(numbers: Numbers) -> Job:
    """The job that numbers made by `numbers_of` describe."""
    name, units, document, tape, cut, sewing, outer, lining, pose, _ = numbers
    base = _loaded(document)
    try:
        changed: dict[str, Any] = {
            "name": name or "wrap",
            "units": units,
            "tape": _tape(tape, base),
            "outer": _choice(outer, base.outer if base else None),
            "lining": _choice(lining, base.lining if base else None),
            "cut": _cut(cut, base),
            "allowances": Allowances(
                **{f"{key}_m": value_m for key, value_m in zip(SEWING, sewing, strict=True)}
            ),
            "poses": (pose,),
        }
        return Job(**changed) if base is None else replace(base, **changed)
    except RangeError as error:
        raise error.retold(label_of(error.key), units, None) from error


@lru_cache(maxsize=32)
def _loaded(document: str) -> Job | None:
    """The job that was loaded, without what the sidebar has of its own; None if none was."""
    if not document:
        return None
    return replace(read_job_text(document, NOWHERE), variants=())


def _cut(numbers: Numbers, base: Job | None) -> Cut:
    """The cut; a neck that was sized to the wearer stays so until its width is set."""
    kinds = {"neck": Neck, "front": Front, "shoulder": Shoulder, "corner": Corner, "nap": NapDown}
    chosen: dict[str, Any] = {word: kinds[word](numbers[at]) for at, word in enumerate(CUT_WORDS)}
    values = dict(zip(CUT, numbers[len(CUT_WORDS) :], strict=True))
    lengths = {f"{key}_m": value_m for key, value_m in values.items()}
    lengths["wrist_opening_m"] = values["wrist_opening"] or None
    if base is not None and abs(base.cut.neck_width_m - values["neck_width"]) < MICROMETRE_M:
        lengths["neck_width_m"] = base.cut.neck_width_m
        lengths["neck_ease_m"] = base.cut.neck_ease_m
    return Cut(**chosen, **lengths)


def _tape(numbers: Numbers, base: Job | None) -> Tape:
    sex, *values = numbers
    given = {} if base is None else {k: v for k, v in base.tape.given.items() if k not in TAPE}
    given |= {key: value_m for key, value_m in zip(TAPE, values, strict=True) if value_m > 0}
    return Tape(sex=sex, given=given)


def _choice(numbers: Numbers, base: ClothChoice | None) -> ClothChoice:
    kind, colour, mass_g, thickness_m, pile_m, looks = numbers
    figures = {
        "mass_kg_m2": mass_g / 1000 or None,
        "thickness_m": thickness_m or None,
        "pile_height_m": pile_m or None,
        "colour": None if colour is None else written_colour(colour),
        **shown_looks(looks, base),
    }
    # readings and prices are of one cloth, not of another kind
    if base is None or base.kind != kind:
        return ClothChoice(kind=kind, **figures)
    return replace(base, **figures)


def comparable(job: Job) -> str:
    """A text that changes with whatever changes how the wrap hangs, or what is told about it."""
    plain = {"colour": None, "print": None, "photograph": None}
    outer, lining = (replace(choice, **plain) for choice in (job.outer, job.lining))
    changed = {"name": "wrap", "units": "cm", "outer": outer, "lining": lining}
    return text_of(replace(job, **changed, pictures=PictureChoice()))


@lru_cache(maxsize=32)
def _comparable(numbers: Numbers) -> str:
    return comparable(job_from(numbers))


def comparable_of(scene: Scene) -> str:
    """`comparable` of a scene's job.

    Raises
    ------
    InputError
        A setting cannot be used.
    """
    return _comparable(numbers_of(scene))


def turned(job: Job) -> Job:
    """The job with the wrap worn lining out."""
    return replace(job, outer=job.lining, lining=job.outer)


def text_of(job: Job) -> str:
    """A job as the text of its file, paths written whole."""
    return job_text(job, None)


def read_text(text: str) -> Job:
    """The job of a text made by `text_of`."""
    return read_job_text(text, NOWHERE)


def put_job(scene: Scene, job: Job) -> None:
    """Set a scene's settings to a job's.

    Raises
    ------
    InputError
        The job is for a body of the wearer's own, which the sidebar cannot dress.
    """
    if job.body is not None:
        raise InputError(
            "body.file",
            f'"{job.body.path.name}"',
            "a job with a tape",
            "drape bodies of your own with the command napfold preview",
        )
    settings = scene.napfold
    settings.title = job.name
    settings.document = text_of(replace(job, variants=()))
    settings.wearer.sex = job.tape.sex
    _put(settings.wearer, TAPE, dict(job.tape.given))
    _put(settings.cut, CUT, {key: getattr(job.cut, f"{key}_m") or 0.0 for key in CUT})
    _put(settings.sewing, SEWING, {key: getattr(job.allowances, f"{key}_m") for key in SEWING})
    for word in CUT_WORDS:
        setattr(settings.cut, word, str(getattr(job.cut, word)))
    for group, choice in ((settings.outer, job.outer), (settings.lining, job.lining)):
        _put_cloth(group, choice)
    settings.pose = job.poses[0]
    _put_units(scene, job.units)


def _put(group: PropertyGroup, lengths: dict[str, Length], values_m: dict[str, float]) -> None:
    scale = group.id_data.unit_settings.scale_length
    for key in lengths:
        setattr(group, key, values_m.get(key, 0.0) / scale)
        # as the file has it, not as single precision hands it over
        if key in values_m:
            group[f"{key}_m"] = values_m[key]


def _put_cloth(group: PropertyGroup, choice: ClothChoice) -> None:
    group.kind = choice.kind
    group.mass = 1000 * (choice.mass_kg_m2 or 0.0)
    _put(group, STATED, {k: v for k in STATED if (v := getattr(choice, f"{k}_m"))})
    put_looks(group, choice)
    if choice.colour is None:
        if group.get(OWN_COLOUR) is not None:
            del group[OWN_COLOUR]
    else:
        group.colour = [channel / 255 for channel in bytes.fromhex(choice.colour[1:])]


def _put_units(scene: Scene, units: UnitSystem) -> None:
    """Tell the job in its own units."""
    if units_of(scene) != units:
        scene.unit_settings.system = "IMPERIAL" if units == "in" else "METRIC"
        scene.unit_settings.length_unit = "INCHES" if units == "in" else "CENTIMETERS"


def label_of(key: str) -> str:
    """The label in the sidebar of what the job file calls ``cut.body_width``."""
    table, _, name = key.partition(".")
    group = {"tape": TAPE, "cut": CUT}.get(table, {})
    if table == "sewing":
        group, name = SEWING, name.removesuffix("_allowance")
    return group[name].name if name in group else key


def complaint_of(scene: Scene) -> tuple[str, str]:
    """Which number makes no job, by its label, and why; both empty where the settings make one."""
    try:
        job_of(scene)
    except InputError as error:
        return error.key, str(error)
    except NapfoldError as error:
        return "?", str(error)
    return "", ""


def open_job(scene: Scene, path: Path) -> Job:
    """Set a scene to a job file; its variants are added to the list, none called as one there.

    Raises
    ------
    NapfoldError
        The file cannot be read or has a mistake; the scene is as it was.
    """
    job = load_job(path)
    variants = job.expand() if job.variants else ()
    put_job(scene, job)
    settings = scene.napfold
    number = max((one.number for one in settings.variants), default=0)
    taken = {one.title for one in settings.variants}
    for name, variant in variants:
        if name in taken:
            continue
        number += 1
        item = settings.variants.add()
        item.title, item.number, item.text = name, number, text_of(replace(variant, name=job.name))
    return job


def save_scene_job(scene: Scene, path: Path) -> None:
    """Write the job of a scene with its variants, each as what differs, as a job file.

    Raises
    ------
    NapfoldError
        The settings make no job, or the file cannot be written.
    """
    save_job(path, whole_job(scene))


def whole_job(scene: Scene) -> Job:
    """The job of a scene with its variants, each as what differs.

    Raises
    ------
    InputError
        The settings make no job.
    """
    job = job_of(scene)
    whole = _varied(job)
    variants = tuple(
        Variant(name=one.title, changes=_changes(whole, _varied(read_text(one.text))))
        for one in scene.napfold.variants
    )
    return replace(job, variants=variants)


def _varied(job: Job) -> dict[str, object]:
    """What of a job's file can differ from variant to variant, by dotted key."""
    whole = flat(tomllib.loads(text_of(job)))
    return {key: value for key, value in whole.items() if key.partition(".")[0] in VARIED}


def _changes(whole: dict[str, object], variant: dict[str, object]) -> dict[str, object]:
    """A variant as changes of the job; what only the job gives is left out in the variant."""
    missing = [key for key in whole if key not in variant and not _goes_itself(key, whole, variant)]
    changed = {key: value for key, value in variant.items() if whole.get(key) != value}
    return changed | dict.fromkeys(missing, LEFT_OUT)


def _goes_itself(key: str, whole: dict[str, object], variant: dict[str, object]) -> bool:
    """Whether a change of another key takes this one along, as core reads variants."""
    if key.startswith("cut.neck_"):  # a neck is sized in one of two ways
        return True
    table, layer, figure = (*key.split("."), "", "")[:3]
    kind = f"cloth.{layer}.kind"
    return table == "cloth" and figure in CLOTH_FIGURES and whole[kind] != variant[kind]
