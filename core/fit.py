# SPDX-License-Identifier: GPL-3.0-or-later
"""What is measured on a drape: where it ends, how much room it leaves, what it weighs.

Every figure is geometry on the draped mesh, in SI units. Limits: the mesh (a few millimetres at
an edge length of 18 mm), the cloth figures (often estimates) and the body (levels that were not
taped scatter by about 20 mm).
"""

from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass

import numpy as np

from .arrays import FloatArray
from .body_levels import body_levels, trunk_is_upright
from .drape import Drape
from .ease import LEVELS, Ease, Level, ease
from .folds import Folds, measure_folds
from .hem_curve import HemCurve, hem_curve
from .hung_length import Half, HungLength, along_body_m, hung_length
from .landing import Landing, land
from .layer_lengths import LayerLine, Place, layer_lines
from .sections import level_crossing, segment_lengths, smoothed_lengths
from .sleeve import Sleeve, measure_sleeve
from .sleeve_room import SIDES, Side, corner_across_m
from .slices import Slices, finished
from .tape import Measures
from .worn import Worn, vertex_areas_m2, worn

__all__ = ["BackLength", "Fit", "Hem", "Mass", "StandOff", "fit_measured", "measure_fit"]

HALVES: tuple[Half, ...] = ("front", "back")
SkinDistance = Callable[[FloatArray], FloatArray]


@dataclass(frozen=True, slots=True, kw_only=True)
class Hem:
    """Where the hem of the outer cloth lies; the sides are at the side seams."""

    centre_back: Landing
    left_side: Landing
    right_side: Landing
    front_left: Landing
    front_right: Landing
    lowest_m: float
    highest_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BackLength:
    """The centre back from neck edge to hem, on the outer cloth.

    Attributes
    ----------
    flat_m
        On the flat pattern, metres.
    along_cloth_m
        Along the hanging cloth, folds, wrinkles and stretch included, metres.
    drop_m
        Straight down from neck edge to hem, metres.
    from_back_neck_point_m
        Straight down from the wearer's back neck point to the hem, metres.
    along_body_m
        From that point to the height of the hem as a tape lies on the back, metres; ``None`` where
        the trunk leans.
    """

    flat_m: float
    along_cloth_m: float
    drop_m: float
    from_back_neck_point_m: float
    along_body_m: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Mass:
    """Cloth in the garment without seam allowances and thread: area of one layer, and masses.

    ``folded_m3`` is the room that the folded wrap takes in a parcel: area times the thickness of
    both layers, lightly pressed (an estimate; pressed hard it is a third to a half of it).
    """

    layer_area_m2: float
    outer_kg: float
    lining_kg: float
    garment_kg: float
    folded_m3: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StandOff:
    """Median distance from the skin over shoulders and chest, above the bust level, metres.

    ``lining_m`` to the lining's middle surface; ``outer_face_m`` to the visible face of the
    outer cloth (its middle surface and half its thickness).
    """

    lining_m: float
    outer_face_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """All that is measured on one drape; ``ease`` may be ``None``, see ``ease``."""

    hem: Hem
    hem_curve: HemCurve
    back: BackLength
    hung: Mapping[Half, HungLength]
    sleeves: Mapping[Side, Sleeve]
    ease: Mapping[Level, Ease | None]
    mass: Mass
    stand_off: StandOff
    worn: Worn
    folds: Folds
    layers: Mapping[Place, LayerLine]

    def to_dict(self) -> dict[str, object]:
        """Plain numbers and words for ``fit.json``; the unit ends each name."""
        return asdict(self)


def measure_fit(drape: Drape, measures: Measures, skin_distance: SkinDistance) -> Fit:
    """Measure a drape.

    Parameters
    ----------
    drape
        The drape, its body posed.
    measures
        The wearer's completed tape.
    skin_distance
        Signed distance (n,) in metres from points (n, 3) to the posed body's skin.
    """
    return finished(fit_measured(drape, measures, skin_distance))


def fit_measured(drape: Drape, measures: Measures, skin_distance: SkinDistance) -> Slices[Fit]:
    """`measure_fit` in slices."""
    sleeves: dict[Side, Sleeve] = {}
    for side in SIDES:
        sleeves[side] = measure_sleeve(drape, side)
        yield
    how_worn = worn(drape, skin_distance)
    yield
    return Fit(
        hem=hem(drape),
        hem_curve=hem_curve(drape),
        back=back_length(drape),
        hung={half: hung_length(drape, half) for half in HALVES},
        sleeves=sleeves,
        ease={level: ease(drape, level, measures[f"{level}_girth"].value_m) for level in LEVELS},
        mass=mass(drape),
        stand_off=stand_off(drape, skin_distance),
        worn=how_worn,
        folds=measure_folds(drape),
        layers=layer_lines(drape),
    )


def hem(drape: Drape) -> Hem:
    """Find the hem's height over the floor at five places, and its lowest and highest point."""
    flat, edges = drape.panel.flat, drape.panel.edges
    height = drape.outer[:, 2]
    levels = body_levels(drape)
    back = edges["hem_back"][np.argsort(flat[edges["hem_back"], 0])]
    fronts = {side: edges[f"hem_front_{side}"] for side in SIDES}
    every = np.concatenate([back, *fronts.values()])

    def at(vertex: int) -> Landing:
        return land(float(height[vertex]), levels)

    inner = {side: int(row[np.argmin(np.abs(flat[row, 0]))]) for side, row in fronts.items()}
    return Hem(
        centre_back=land(float(np.interp(0.0, flat[back, 0], height[back])), levels),
        left_side=at(int(back[-1])),
        right_side=at(int(back[0])),
        front_left=at(inner["left"]),
        front_right=at(inner["right"]),
        lowest_m=float(height[every].min()),
        highest_m=float(height[every].max()),
    )


def back_length(drape: Drape) -> BackLength:
    """Measure the centre back line x = 0 behind the fold, flat and hung."""
    flat = drape.panel.flat
    behind = flat[drape.panel.triangles, 1].mean(axis=1) > 0.0
    centre = level_crossing(flat[:, 0], drape.panel.triangles[behind])
    on_flat, hung = centre.points(flat), centre.points(drape.outer)
    neck = np.unravel_index(np.argmin(on_flat[..., 1]), on_flat.shape[:2])
    hem_end = np.unravel_index(np.argmax(on_flat[..., 1]), on_flat.shape[:2])
    hem_m = float(hung[hem_end][2])
    return BackLength(
        flat_m=float(segment_lengths(on_flat).sum()),
        along_cloth_m=float(smoothed_lengths(hung, on_flat).sum()),
        drop_m=float(hung[neck][2]) - hem_m,
        from_back_neck_point_m=float(drape.body.landmarks["back_neck_point"][2]) - hem_m,
        along_body_m=along_body_m(drape.body, hem_m) if trunk_is_upright(drape) else None,
    )


def mass(drape: Drape) -> Mass:
    """Area of one layer on the flat pattern, times each cloth's mass per area."""
    area_m2 = float(vertex_areas_m2(drape).sum())
    outer_kg = area_m2 * drape.outer_cloth.mass_kg_m2
    lining_kg = area_m2 * drape.lining_cloth.mass_kg_m2
    return Mass(
        layer_area_m2=area_m2,
        outer_kg=outer_kg,
        lining_kg=lining_kg,
        garment_kg=outer_kg + lining_kg,
        folded_m3=area_m2 * (drape.outer_cloth.thickness_m + drape.lining_cloth.thickness_m),
    )


def stand_off(drape: Drape, skin_distance: SkinDistance) -> StandOff:
    """Median distance of lining and outer face from the skin over shoulders and chest."""
    across = np.abs(drape.panel.flat[:, 0])
    on_body = across < min(corner_across_m(drape, side) for side in SIDES)
    above = on_body & (drape.lining[:, 2] > drape.body.landmarks["bust"][2])
    lining_m = float(np.median(skin_distance(drape.lining[above])))
    outer_m = float(np.median(skin_distance(drape.outer[above])))
    return StandOff(lining_m=lining_m, outer_face_m=outer_m + drape.outer_cloth.thickness_m / 2.0)
