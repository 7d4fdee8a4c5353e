# SPDX-License-Identifier: GPL-3.0-or-later
"""A wrap that only looks draped, for tests of what is drawn of it: two flat sheets over the shoulders."""

from typing import Any

import numpy as np
from napfold.core.cloth import Cloth
from napfold.core.drape import Drape
from napfold.core.mannequin import POSES, build_mannequin
from napfold.core.panels import build_panel_mesh
from napfold.core.pattern import Cut, build_pattern
from napfold.core.tape import Tape


def hung_flat(outer: Cloth, lining: Cloth, **cut: Any) -> Drape:
    """A small wrap on a standing mannequin; ``cut`` is what its cut has beside its sizes."""
    sizes = {"cloth_width_m": 1.1, "length_m": 1.0, "body_width_m": 0.6, "sleeve_drop_m": 0.2}
    panel = build_panel_mesh(build_pattern(Cut(**sizes, **cut)), 0.05)
    mannequin = build_mannequin(Tape(sex="female", given={"height": 1.68, "bust_girth": 0.9}))
    x, v = panel.flat.T
    sheet = np.column_stack([x, 0.2 * np.sign(v), 1.42 - np.abs(v)])
    body = mannequin.posed(POSES["standing"])
    return Drape(panel, sheet, sheet * [1, 0.98, 1], outer, lining, body, 0.002, True, (), {})
