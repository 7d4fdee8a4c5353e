# SPDX-License-Identifier: GPL-3.0-or-later
"""What a drape tells of itself on the way, and carrying it through to its end."""

from collections.abc import Callable, Generator
from dataclasses import dataclass

from ..arrays import FloatArray
from ..mannequin import PosedBody
from ..panels import PanelMesh
from .result import Drape
from .threads import one_thread

__all__ = ["Progress", "Steps", "run"]


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a drape is.

    Attributes
    ----------
    fraction
        Share of the work done, 0 to 1.
    text
        What is going on, for the user.
    outer
        (k, 3) present positions of the outer layer, or None.
    panel
        The panel mesh (k vertices) that `outer` belongs to, or None.
    lining
        (k, 3) present positions of the lining, or None as long as both layers are one sheet.
    body
        The body as it stands now, or None.
    """

    fraction: float
    text: str
    outer: FloatArray | None = None
    panel: PanelMesh | None = None
    lining: FloatArray | None = None
    body: PosedBody | None = None


Steps = Generator[Progress, None, Drape]


def run(steps: Steps, on_progress: Callable[[Progress], None] | None = None) -> Drape:
    """Carry a drape through to its end and give it."""
    with one_thread():
        while True:
            try:
                progress = next(steps)
            except StopIteration as end:
                drape: Drape = end.value
                return drape
            if on_progress is not None:
                on_progress(progress)
