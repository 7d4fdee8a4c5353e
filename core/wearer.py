# SPDX-License-Identifier: GPL-3.0-or-later
"""The body that a wrap is draped on: a mannequin from the tape, or the wearer's own."""

from collections.abc import Iterator
from dataclasses import dataclass

from .mannequin import Mannequin, Pose, PosedBody, build_mannequin
from .mannequin.own_body import OwnBody
from .mannequin.twin import posed, twin
from .tape import Measures, Tape, complete, measure_quantity
from .units import UnitSystem, format_quantity

__all__ = ["Wearer", "dress_form", "own_measures"]

# Tape and mesh agree no better than this: two tapes on one body differ by as much, and the mesh
# is measured where shape and survey put a level
AGREEING_M = 0.015
AGREEING_SHARE = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Wearer:
    """A body ready to be dressed.

    Attributes
    ----------
    measures
        The completed tape; those of the mesh are given.
    warnings
        What to tell the user about the body, as sentences.
    mannequin
        What is dressed: the wearer's mannequin, or the twin of an own body.
    pose
        The twin's pose; None where any pose can be taken.
    own
        The own body in the place of its twin, or None.
    """

    measures: Measures
    warnings: tuple[str, ...]
    mannequin: Mannequin
    pose: Pose | None = None
    own: PosedBody | None = None

    @property
    def surface(self) -> Mannequin | PosedBody:
        """The mesh that the wrap ends up on."""
        return self.mannequin if self.own is None else self.own


def dress_form(tape: Tape, own: OwnBody | None, units: UnitSystem) -> Wearer:
    """Build the body that a job describes.

    Parameters
    ----------
    tape
        What was measured on the wearer.
    own
        The wearer's own body, if there is one; its measures go before those of the tape.
    units
        Units to tell lengths in.

    Raises
    ------
    InputError
        The measures cannot belong to one body.
    SolverError
        No closed surface was found for these measures.
    """
    if own is None:
        mannequin = build_mannequin(tape)
        return Wearer(measures=mannequin.measures, warnings=mannequin.warnings, mannequin=mannequin)
    joint = _joint_tape(tape, own)
    _, unusual = complete(joint)
    mannequin, pose = twin(own, joint)
    return Wearer(
        measures=mannequin.measures,
        warnings=tuple(dict.fromkeys((*_conflicts(tape, own, units), *own.notes, *unusual))),
        mannequin=mannequin,
        pose=pose,
        own=posed(own, mannequin, pose),
    )


def own_measures(tape: Tape, own: OwnBody) -> Measures:
    """The completed tape of an own body.

    Raises
    ------
    InputError
        The measures cannot belong to one body.
    """
    return complete(_joint_tape(tape, own))[0]


def _joint_tape(tape: Tape, own: OwnBody) -> Tape:
    return Tape(sex=own.sex, given={**tape.given, **own.measures})


def _conflicts(tape: Tape, own: OwnBody, units: UnitSystem) -> Iterator[str]:
    for name, taped in tape.given.items():
        meshed = own.measures.get(name, taped)
        if abs(meshed - taped) > max(AGREEING_M, AGREEING_SHARE * taped):
            quantity = measure_quantity(name)
            told = [format_quantity(quantity, value, units) for value in (taped, meshed)]
            yield (
                f"The tape says {told[0]} for the {name.replace('_', ' ')}, the body's mesh has "
                f"{told[1]}: the mesh counts. Check the unit and measure again."
            )
