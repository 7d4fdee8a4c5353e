# SPDX-License-Identifier: GPL-3.0-or-later
"""What stands where: the present wrap in the middle, its variants in a row beside it.

Which figure of a wrap is in view follows from pose and side in the panel.
"""

from collections.abc import Callable, Iterable
from dataclasses import replace

import numpy as np
from bpy.types import Collection, Scene

from ..core.errors import InputError, NapfoldError
from ..core.job import Job
from . import bodies
from .colouring import colour_figures, show_textures
from .figures import (
    PRESENT,
    Figure,
    Key,
    bare_of,
    copied,
    figures,
    find,
    remove,
    show_print,
)
from .jobs import comparable_of, job_of, put_job, read_text, text_of
from .language import translated
from .lengths import units_of
from .scene.materials import set_colour
from .settings import listen
from .telling import findings_in

__all__ = [
    "add_variant",
    "compared",
    "heed",
    "hide_present",
    "in_view",
    "present",
    "remove_variant",
    "restore_variant",
    "show",
    "stale",
    "undraped",
]

GAP_M = 0.25
NARROWEST_M = 0.7


def key_of(scene: Scene, number: int = PRESENT) -> Key:
    """The key of the figure that pose and side ask for."""
    return Key(scene.napfold.pose, scene.napfold.turned, number)


LOOKS = ("colour", "print", "photograph")
"""Of a cloth: they can change while it hangs."""


def present(scene: Scene) -> Figure | None:
    """The present wrap in this pose with this side out, if it was draped."""
    return find(scene, key_of(scene))


def stale(scene: Scene) -> bool:
    """Whether the present figure was draped with other numbers than those in the panel."""
    figure = present(scene)
    if figure is None or not figure.numbers:
        return False
    try:
        return figure.numbers != comparable_of(scene)
    except NapfoldError:
        return True


def shown_job(scene: Scene) -> Job:
    """The job of the present wrap as it was draped, its cloths with the looks that the panel has now."""
    job = read_text(present(scene).job_text)
    if stale(scene):
        return job
    now = job_of(scene)
    return replace(
        job,
        **{
            layer: replace(
                getattr(job, layer),
                **{look: getattr(getattr(now, layer), look) for look in LOOKS},
            )
            for layer in ("outer", "lining")
        },
    )


def in_view(scene: Scene) -> list[tuple[str, Figure]]:
    """Name and figure of all that is shown, the present wrap first."""
    settings = scene.napfold
    wanted = [(settings.title, key_of(scene))]
    wanted += [(one.title, key_of(scene, one.number)) for one in settings.variants]
    shown = [(name, _best(scene, key)) for name, key in wanted]
    return [(name, figure) for name, figure in shown if figure is not None]


def compared(scene: Scene) -> list[tuple[str, Figure]]:
    """What is in view with the names for a table: the present wrap only where it is no variant."""
    shown = in_view(scene)
    kept = {figure.numbers for _, figure in shown if figure.key.number != PRESENT}
    return [
        (name if figure.key.number != PRESENT else translated("In the panel"), figure)
        for name, figure in shown
        if figure.key.number != PRESENT or figure.numbers not in kept
    ]


def _best(scene: Scene, key: Key) -> Figure | None:
    """The figure of a key; of a variant, else the first that it has."""
    figure = find(scene, key)
    if figure is None and key.number != PRESENT:
        return next(iter(figures(scene, key.number)), None)
    return figure


def show(scene: Scene) -> None:
    """Bring into view what pose and side ask for, and stand everything in its place."""
    visible = [figure for _, figure in in_view(scene)]
    shown = {figure.collection.session_uid for figure in visible}
    for figure in figures(scene):
        _set_hidden(figure.collection, figure.collection.session_uid not in shown)
    bare = bare_of(scene)
    if bare is not None:
        _set_hidden(bare, present(scene) is not None)
    _stand_in_a_row(scene, visible)
    figure = present(scene)
    told = "" if figure is None else findings_in(figure.told, units_of(scene))
    if scene.napfold.findings != told:
        scene.napfold.findings = told


def hide_present(scene: Scene) -> None:
    """Make room for the cloth on its way."""
    figure, bare = present(scene), bare_of(scene)
    for home in (None if figure is None else figure.collection, bare):
        if home is not None:
            _set_hidden(home, True)


def _set_hidden(home: Collection, hidden: bool) -> None:
    if home.hide_viewport != hidden:
        home.hide_viewport = hidden
    if home.hide_render != hidden:
        home.hide_render = hidden


def _stand_in_a_row(scene: Scene, visible: Iterable[Figure]) -> None:
    """The present wrap in the middle of the floor, variants to the right of it as one looks."""
    scale_length = scene.unit_settings.scale_length
    right_m = NARROWEST_M / 2
    for figure in visible:
        if figure.key.number == PRESENT:
            _move(figure, 0.0)
            right_m = max(right_m, _half_width_m(figure, scale_length))
    for figure in visible:
        if figure.key.number != PRESENT:
            half_m = max(NARROWEST_M / 2, _half_width_m(figure, scale_length))
            _move(figure, (right_m + GAP_M + half_m) / scale_length)
            right_m += GAP_M + 2 * half_m


def _move(figure: Figure, x: float) -> None:
    for thing in figure.collection.objects:
        if thing.location.x != x:
            thing.location.x = x


def _half_width_m(figure: Figure, scale_length: float) -> float:
    corners = [np.array(thing.bound_box)[:, 0] for thing in figure.collection.objects if thing.data]
    widest = max((float(np.abs(corner).max()) for corner in corners), default=0.0)
    return widest * scale_length


def undraped(scene: Scene) -> list[int]:
    """Numbers of the variants that were never draped."""
    numbers = [one.number for one in scene.napfold.variants]
    return [number for number in numbers if not figures(scene, number)]


def add_variant(scene: Scene) -> str:
    """Stand the present wrap, as it was draped, in the row; gives its name.

    Raises
    ------
    InputError
        Nothing was draped.
    """
    draped = [one for one in figures(scene, PRESENT) if one.job_text]
    figure = present(scene)
    if figure is None or figure not in draped:
        raise InputError("The variant", "not draped yet", "a finished drape", "press Drape first")
    settings = scene.napfold
    variant = settings.variants.add()
    variant.number = 1 + max((one.number for one in settings.variants), default=0)
    variant.text = text_of(shown_job(scene))
    alike = [one for one in draped if _same_wrap(one.job_text, figure.job_text)]
    for one in alike:
        copied(scene, one, variant.number)
    variant.title = _name(scene, figure)
    settings.variant = len(settings.variants) - 1
    show(scene)
    return variant.title


def _same_wrap(text: str, other: str) -> bool:
    """Whether two jobs differ in nothing but the pose."""
    first, second = read_text(text), read_text(other)
    return replace(first, poses=second.poses) == second


def _name(scene: Scene, figure: Figure) -> str:
    """A name that says the length and the outer cloth, none twice."""
    units = units_of(scene)
    job = read_text(figure.job_text)
    length = figure.told["words"][units]["chosen"]["length"]
    kind = job.outer.kind
    name = f"{length}, {translated(kind)}"
    taken = {one.title for one in scene.napfold.variants}
    number = 2
    unused = name
    while unused in taken:
        unused, number = f"{name} ({number})", number + 1
    return unused


def remove_variant(scene: Scene, index: int) -> None:
    """Take a variant and its drapes away."""
    settings = scene.napfold
    for figure in figures(scene, settings.variants[index].number):
        remove(figure)
    settings.variants.remove(index)
    settings.variant = max(0, min(settings.variant, len(settings.variants) - 1))
    show(scene)


def restore_variant(scene: Scene, index: int) -> None:
    """Set the panel to a variant and put its drapes in the place of the present ones.

    Raises
    ------
    InputError
        The variant's job cannot be set.
    """
    variant = scene.napfold.variants[index]
    put_job(scene, read_text(variant.text))
    kept = figures(scene, variant.number)
    if kept:
        for figure in figures(scene, PRESENT):
            remove(figure)
        for figure in kept:
            copied(scene, figure, PRESENT)
        scene.napfold.turned = kept[0].key.turned
        scene.napfold.pose = kept[0].key.pose
    show(scene)


def heed(scene: Scene, what: str) -> None:
    """Follow a change of the settings."""
    if not bodies.shown(scene):
        return
    match what:
        case "view":
            recolour(scene)
        case "colouring":
            colour_figures(scene)
        case "body":
            show(scene)
        case "pose":
            show(scene)
            bodies.follow(scene)
        case _:
            bodies.follow(scene)


def recolour(scene: Scene) -> None:
    """Give the present wrap the colours of the panel."""
    settings = scene.napfold
    outer, lining = settings.outer.colour, settings.lining.colour
    for figure in figures(scene, PRESENT):
        worn = (lining, outer) if figure.key.turned else (outer, lining)
        for kind, colour in zip(("outer", "lining"), worn, strict=True):
            thing = figure.part(kind)
            if thing is not None and thing.active_material is not None:
                set_colour(thing.active_material, tuple(colour))
    _reprint(scene)


def _reprint(scene: Scene) -> None:
    """Give the present wrap the prints of the panel, as far as they make a job."""
    try:
        job = job_of(scene)
    except NapfoldError:
        return
    cloths = (job.outer_cloth, job.lining_cloth)
    for figure in figures(scene, PRESENT):
        worn = cloths[::-1] if figure.key.turned else cloths
        for kind, cloth in zip(("outer", "lining"), worn, strict=True):
            thing = figure.part(kind)
            if thing is not None and thing.active_material is not None:
                show_print(thing, cloth)
    if any(cloth.print for cloth in cloths):
        show_textures()


_quiet: list[Callable[[], None]] = []


def register() -> None:
    _quiet.append(listen(heed))


def unregister() -> None:
    bodies.leave()
    _quiet.pop()()
