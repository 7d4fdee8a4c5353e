# SPDX-License-Identifier: GPL-3.0-or-later
"""The shots of a product page: from where, in which pose, and what is done to the wrap for them."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from ..pattern import Cut, Front

__all__ = ["SHOTS", "USUAL_SHOTS", "VIEWS", "Shot", "Subject", "possible"]


class Subject(StrEnum):
    """What fills the frame."""

    WORN = "worn"
    SLEEVE = "sleeve"
    FLAT = "flat"
    FOLDED = "folded"


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """One way to photograph a wrap.

    Parameters
    ----------
    words
        How it is seen, as it ends a sentence about the wrap.
    pose
        The pose of the drape; a body of the wearer's own stands as it stands instead.
    subject
        What fills the frame.
    turn_degrees
        Where the camera stands: 0 before the wearer, 90 at the wearer's left, 180 behind.
    tilt_degrees
        How far the camera looks down.
    turned
        Whether the lining is worn outside.
    opened
        Whether the fronts are turned back, so that the lining is seen.
    laid
        How it was laid for the picture where that is no drape; told beside the picture.
    """

    words: str
    pose: str = "standing"
    subject: Subject = Subject.WORN
    turn_degrees: float = 0.0
    tilt_degrees: float = 0.0
    turned: bool = False
    opened: bool = False
    laid: str = ""


SHOTS: Mapping[str, Shot] = MappingProxyType(
    {
        "front": Shot(words="seen from the front"),
        "three-quarter left": Shot(words="seen from the front and its left", turn_degrees=40),
        "three-quarter right": Shot(words="seen from the front and its right", turn_degrees=-40),
        "side": Shot(words="seen from the side", turn_degrees=90),
        "back": Shot(words="seen from the back", turn_degrees=180),
        "sleeve": Shot(
            words="one sleeve seen close",
            subject=Subject.SLEEVE,
            turn_degrees=50,
            tilt_degrees=8,
        ),
        "cuff": Shot(
            words="the turned-back cuff seen close",
            subject=Subject.SLEEVE,
            turn_degrees=50,
            tilt_degrees=8,
        ),
        "open front": Shot(
            words="its fronts turned back to show the lining",
            turn_degrees=-12,
            opened=True,
            laid="The fronts are turned back by geometry on a settled drape, not by simulation.",
        ),
        "other side out": Shot(words="worn with its lining outside", turned=True),
        "flat lay": Shot(
            words="lying flat, front up, seen from above",
            subject=Subject.FLAT,
            tilt_degrees=90,
            laid="The flat wrap is drawn from the pattern at true size, not draped.",
        ),
        "folded": Shot(
            words="folded to a stack",
            subject=Subject.FOLDED,
            turn_degrees=25,
            tilt_degrees=28,
            laid="The stack is drawn from rectangles as thick as the cloth, not draped.",
        ),
        "reaching": Shot(
            words="reaching forward, seen from the front and its left",
            pose="reaching forward",
            turn_degrees=40,
        ),
        "reading in bed": Shot(
            words="reading in bed",
            pose="reading in bed",
            turn_degrees=40,
            tilt_degrees=14,
        ),
    }
)

VIEWS = ("front", "side", "back")
"""Shots that a preview's report can have."""

USUAL_SHOTS = (
    "front",
    "three-quarter left",
    "side",
    "back",
    "sleeve",
    "open front",
    "other side out",
    "flat lay",
    "folded",
    "reading in bed",
)
"""What suits a product page."""


def possible(name: str, cut: Cut, *, own_body: bool) -> str:
    """Why a shot cannot be taken of a cut on a body; empty where it can."""
    shot = SHOTS[name]
    if name == "cuff" and not cut.cuff_depth_m:
        return "the cut has no turned-back cuff (cut.cuff_depth)"
    if shot.opened and cut.front is Front.CLOSED:
        return "the front is closed"
    if own_body and shot.pose != "standing":
        return "a body of your own cannot be moved into this pose"
    return ""
