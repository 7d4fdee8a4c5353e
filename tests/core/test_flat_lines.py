# SPDX-License-Identifier: GPL-3.0-or-later
"""The drawing of pattern and lay, and the rings on the body, against the cut they are made from."""

from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from napfold.core.buying import flat_fit
from napfold.core.cloth import ClothChoice
from napfold.core.cut_line import Allowances, build_cut_line
from napfold.core.flat_lines import lay_lines, layer_lines
from napfold.core.flat_rings import flat_rings
from napfold.core.lay import LayChoice, Order, lay_orders
from napfold.core.mannequin import POSES, Mannequin, build_mannequin
from napfold.core.pattern import Cut, build_pattern
from napfold.core.tape import Tape
from napfold.core.telling import Telling

CUT = Cut(cloth_width_m=1.47, length_m=1.37, body_width_m=0.66, sleeve_drop_m=0.203)
SEWING = Allowances()
ORDER = Order(
    name="wrap",
    cut=CUT,
    allowances=SEWING,
    outer=ClothChoice(kind="long pile"),
    lining=ClothChoice(kind="light plush"),
    choice=LayChoice(),
)
TELL = Telling("cm")


@cache
def mannequin() -> Mannequin:
    return build_mannequin(Tape(sex="unstated", given={"height": 1.68, "bust_girth": 0.96}))


def length_m(segments: np.ndarray) -> float:
    return float(np.linalg.norm(np.diff(segments, axis=1), axis=2).sum())


def test_the_cut_line_is_drawn_whole() -> None:
    (line,) = build_cut_line(build_pattern(CUT), SEWING).parts
    exact_m = sum(piece.length_m for piece in (*line.outline, *line.neck, line.front))
    # chords of 14 parts of a quarter circle are 5e-4 shorter than it
    assert length_m(layer_lines(CUT, SEWING, TELL).lines["cut"]) == pytest.approx(exact_m, rel=5e-4)


def test_sizes_are_as_long_as_they_say() -> None:
    drawing = layer_lines(CUT, SEWING, TELL)
    words = [word.text for word in drawing.words]
    assert {"147 cm", "66 cm", "137 cm", "20.3 cm"} <= set(words)
    spans = np.linalg.norm(np.diff(drawing.lines["size"], axis=1)[:, 0], axis=1)
    for size_m in (1.47, 0.66, 1.37, 0.203):
        assert np.abs(spans - size_m).min() < 1e-12


def test_nap_arrows_point_where_the_nap_strokes_smooth() -> None:
    arrow = layer_lines(CUT, SEWING, TELL).lines["nap"][0]
    assert arrow[1, 1] - arrow[0, 1] == pytest.approx(-0.55 * CUT.length_m)  # down in front


def test_every_bolt_is_as_wide_and_long_as_it_lies() -> None:
    lay = lay_orders([ORDER], "cm")
    drawing = lay_lines(lay, TELL)
    bolts = drawing.lines["bolt"].reshape(len(lay.bolts), -1, 2)
    for bolt, outline in zip(lay.bolts, bolts, strict=True):
        assert np.ptp(outline, axis=0) == pytest.approx([bolt.usable_width_m, bolt.lying_m])
    for first, second in pairwise(bolts):
        assert first[:, 0].max() < second[:, 0].min()
    # each layer's cut line lies inside its bolt
    low, high = bolts.reshape(-1, 2).min(axis=0), bolts.reshape(-1, 2).max(axis=0)
    cut = drawing.lines["cut"].reshape(-1, 2)
    assert (cut >= low - 1e-9).all()
    assert (cut <= high + 1e-9).all()


def test_rings_are_as_long_as_they_are_cut_and_lie_where_flat_measures_land() -> None:
    body = mannequin().posed(POSES["standing"])
    measures = mannequin().measures
    rings = flat_rings(body, measures, CUT, SEWING, 0.004, 0.008, TELL)
    hem, left, right = (ring.points for ring in rings)
    fit = flat_fit(measures, CUT, SEWING, 0.004, 0.008)
    np.testing.assert_allclose(hem[:, 2], fit.hem.height_m)
    for points, girth_m in ((hem, 1.32), (left, 0.406), (right, 0.406)):
        sides = np.linalg.norm(np.diff(points, axis=0), axis=1)
        assert sides.sum() == pytest.approx(girth_m)
    assert left.mean(axis=0)[0] > 0.15
    np.testing.assert_allclose(
        left[:-1].mean(axis=0), right[:-1].mean(axis=0) * [-1, 1, 1], atol=1e-3
    )
    shorter = flat_rings(
        body,
        measures,
        Cut(cloth_width_m=1.2, length_m=1.37, body_width_m=0.66, sleeve_drop_m=0.203),
        SEWING,
        0.004,
        0.008,
        TELL,
    )
    moved = np.linalg.norm(shorter[1].points[:-1].mean(axis=0) - left[:-1].mean(axis=0))
    assert 0.12 < moved <= 0.135 + 1e-9  # half of 27 cm, bent at the wrist or not
