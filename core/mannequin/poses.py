# SPDX-License-Identifier: GPL-3.0-or-later
"""Poses as joint angles, within the limits of healthy joints."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields
from types import MappingProxyType

from ..errors import InputError

__all__ = [
    "HANDS_APART_M",
    "HANGING",
    "LYING",
    "POSES",
    "SEATED",
    "Limbs",
    "Pose",
    "between",
    "symmetric",
]

# Ranges of motion of healthy adults in degrees, in round figures after the tables of the
# American Academy of Orthopaedic Surgeons (1965); the shoulder's refer to the trunk.
LIMITS_DEGREES = MappingProxyType(
    {
        "shoulder_abduction": (0.0, 175.0),
        "shoulder_flexion": (-50.0, 170.0),
        "shoulder_rotation": (-80.0, 90.0),
        "elbow_flexion": (0.0, 145.0),
        "forearm_rotation": (-80.0, 80.0),
        "hip_flexion": (-20.0, 120.0),
        "hip_abduction": (-15.0, 45.0),
        "knee_flexion": (0.0, 140.0),
        "ankle_flexion": (-40.0, 20.0),
        "trunk_flexion": (-25.0, 75.0),
        "neck_flexion": (-50.0, 45.0),
        "recline": (0.0, 90.0),
    }
)


HIGHEST_M = 3.0
MATTRESS_M = 0.5


def _check(part: "Limbs | Pose") -> None:
    for entry in fields(part):
        if entry.name not in LIMITS_DEGREES:
            continue
        low, high = LIMITS_DEGREES[entry.name]
        value = math.degrees(getattr(part, entry.name))
        if not low - 1e-6 <= value <= high + 1e-6:
            raise InputError(
                f"pose.{entry.name}",
                f"{value:.0f} degrees",
                f"{low:.0f} to {high:.0f} degrees",
                "choose an angle that a joint can take",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Limbs:
    """Angles of one arm and one leg, radians.

    The arm hangs at zero. It is first raised to the side (abduction), then turned forward about
    the axis through both shoulders (flexion); rotation turns it inward about its own length. The
    elbow bends the forearm forward; rotation of the forearm turns the thumb inward (pronation).
    The leg likewise; the knee bends backward; the ankle's flexion lifts the toes.
    """

    shoulder_abduction: float = 0.0
    shoulder_flexion: float = 0.0
    shoulder_rotation: float = 0.0
    elbow_flexion: float = 0.0
    forearm_rotation: float = 0.0
    hip_flexion: float = 0.0
    hip_abduction: float = 0.0
    knee_flexion: float = 0.0
    ankle_flexion: float = 0.0

    def __post_init__(self) -> None:
        _check(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pose:
    """All joint angles, radians.

    ``trunk_flexion`` bends the spine forward, ``neck_flexion`` the neck, and ``recline`` leans
    the whole body back about the hips. ``above_floor_m`` is the height of the body's lowest point
    over the floor.
    """

    left: Limbs
    right: Limbs
    trunk_flexion: float = 0.0
    neck_flexion: float = 0.0
    recline: float = 0.0
    above_floor_m: float = 0.0

    def __post_init__(self) -> None:
        _check(self)
        if not 0.0 <= self.above_floor_m <= HIGHEST_M:
            raise InputError(
                "pose.above_floor_m",
                f"{self.above_floor_m:g}",
                f"0 to {HIGHEST_M:g}",
                "choose how high the body lies over the floor",
            )


def symmetric(
    *,
    trunk_flexion: float = 0.0,
    neck_flexion: float = 0.0,
    recline: float = 0.0,
    above_floor_m: float = 0.0,
    **limb_angles: float,
) -> Pose:
    """A pose alike on both sides; angles in degrees."""
    limbs = Limbs(**{name: math.radians(value) for name, value in limb_angles.items()})
    return Pose(
        left=limbs,
        right=limbs,
        trunk_flexion=math.radians(trunk_flexion),
        neck_flexion=math.radians(neck_flexion),
        recline=math.radians(recline),
        above_floor_m=above_floor_m,
    )


def between(first: Pose, second: Pose, fraction: float) -> Pose:
    """The pose at ``fraction`` (0 to 1) of the way, every angle in equal steps."""

    def mix(a: float, b: float) -> float:
        return a + fraction * (b - a)

    def mix_limbs(a: Limbs, b: Limbs) -> Limbs:
        return Limbs(**{e.name: mix(getattr(a, e.name), getattr(b, e.name)) for e in fields(Limbs)})

    return Pose(
        left=mix_limbs(first.left, second.left),
        right=mix_limbs(first.right, second.right),
        trunk_flexion=mix(first.trunk_flexion, second.trunk_flexion),
        neck_flexion=mix(first.neck_flexion, second.neck_flexion),
        recline=mix(first.recline, second.recline),
        above_floor_m=mix(first.above_floor_m, second.above_floor_m),
    )


# Angles of a body of medium build without clothes; `Mannequin.pose_with_room` makes room for cloth
# on one body. Standing: the arm 5 to 10 degrees from the trunk. Reaching: Namdari et al. 2012
# (flexion 121, abduction 128 degrees for daily tasks). Sitting: nominal right angles, of which the
# pelvis takes 22. Reading in bed: design assumptions within published ranges for half-reclined
# reading; no measured angles of the arms were found.
POSES: Mapping[str, Pose] = MappingProxyType(
    {
        "arms out": symmetric(shoulder_abduction=90.0),
        "standing": symmetric(shoulder_abduction=10.0, shoulder_flexion=2.0, elbow_flexion=12.0),
        "reaching up": symmetric(
            shoulder_abduction=18.0, shoulder_flexion=125.0, elbow_flexion=25.0, neck_flexion=-10.0
        ),
        "reaching forward": symmetric(
            shoulder_abduction=18.0, shoulder_flexion=85.0, elbow_flexion=8.0
        ),
        "sitting": symmetric(
            shoulder_abduction=14.0,
            shoulder_flexion=8.0,
            shoulder_rotation=12.0,
            elbow_flexion=82.0,
            forearm_rotation=60.0,
            hip_flexion=67.0,
            hip_abduction=5.0,
            knee_flexion=88.0,
            trunk_flexion=20.0,
            recline=22.0,
        ),
        "reading in bed": symmetric(
            shoulder_abduction=18.0,
            shoulder_flexion=36.0,
            shoulder_rotation=16.0,
            elbow_flexion=92.0,
            forearm_rotation=-70.0,
            hip_flexion=53.0,
            hip_abduction=5.0,
            knee_flexion=20.0,
            ankle_flexion=-20.0,
            trunk_flexion=12.0,
            neck_flexion=30.0,
            recline=42.0,
            above_floor_m=MATTRESS_M,
        ),
    }
)

LYING: tuple[str, ...] = ("reading in bed",)
"""The poses in which seat and heels lie on the same mattress."""

HANGING: tuple[str, ...] = ("standing",)
"""The poses in which the arms hang, and hang easily even where they must hang wide."""

SEATED: tuple[str, ...] = ("sitting",)
"""The poses in which thighs and buttocks rest on a level seat."""

HANDS_APART_M: Mapping[str, float] = MappingProxyType({"sitting": 0.34, "reading in bed": 0.30})
"""How far the knuckles are apart where the hands hold something or lie in the lap."""
