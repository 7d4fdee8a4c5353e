# SPDX-License-Identifier: GPL-3.0-or-later
"""The lay: nothing overlaps, nothing leaves the cloth, the nap is respected, the sums are right."""

import math
from dataclasses import replace
from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from napfold.core.cloth import ClothChoice, Print
from napfold.core.cut_line import Allowances, build_cut_line
from napfold.core.lay import Extra, Grid, LayChoice, Layer, Nap, Order, lay_orders
from napfold.core.lay.offcuts import free_strips, strips_left
from napfold.core.lay.packing import Box, Ground, put
from napfold.core.pattern import Cut, build_pattern
from napfold.core.units import RangeError, parse_quantity

from .options import CUTS

YARD_M = 0.9144
CUT = Cut(cloth_width_m=1.45, length_m=YARD_M, body_width_m=0.66, sleeve_drop_m=0.20)
PLUSH = ClothChoice(kind="light plush", bolt_width_m=1.5, shrinkage_along=0.0, shrinkage_across=0.0)
SHRINKING = replace(PLUSH, shrinkage_along=0.05, shrinkage_across=0.02)


def order(cut: Cut = CUT, **choice: object) -> Order:
    return Order(
        name="wrap",
        cut=cut,
        allowances=Allowances(),
        outer=PLUSH,
        lining=PLUSH,
        choice=LayChoice(**choice),
    )


def test_two_layers_of_one_yard_take_two_yards() -> None:
    (bolt,) = lay_orders([order()], "in").bolts
    assert bolt.needed_m == pytest.approx(2 * YARD_M, abs=1e-12)
    assert bolt.bought_m == pytest.approx(2 * YARD_M, abs=1e-12)
    assert bolt.layers == "outer and lining"


def test_two_cloths_take_two_bolts() -> None:
    first = replace(order(), lining=replace(PLUSH, kind="microfleece"))
    lay = lay_orders([first], "cm")
    assert [bolt.layers for bolt in lay.bolts] == ["outer", "lining"]
    # 91.44 cm is sold as a metre
    assert [bolt.bought_m for bolt in lay.bolts] == pytest.approx([1.0, 1.0])


def test_shrinkage_is_bought_besides() -> None:
    (bolt,) = lay_orders([replace(order(), outer=SHRINKING, lining=SHRINKING)], "cm").bolts
    # a yard is told as 91.4 cm, and so it is cut
    assert bolt.exact_m == pytest.approx(2 * 0.914 / 0.95)
    assert bolt.bought_m == pytest.approx(2.0)  # 192.5 cm
    assert bolt.usable_width_m == pytest.approx(1.5 * 0.98)
    unwashed = replace(order(wash_first=False), outer=SHRINKING, lining=SHRINKING)
    (dry,) = lay_orders([unwashed], "cm").bolts
    assert dry.exact_m == pytest.approx(2 * 0.914)


def test_a_layer_wider_than_the_cloth_is_refused() -> None:
    with pytest.raises(
        RangeError, match=r"cut\.cloth_width is 145\.0 cm; allowed: .* to 142\.0 cm"
    ):
        lay_orders([order(selvedge_m=0.04)], "cm")


def test_waste_is_what_the_drawing_leaves() -> None:
    (bolt,) = lay_orders([order()], "in").bolts
    one_m2 = build_cut_line(build_pattern(CUT), Allowances()).area_m2
    assert bolt.waste == pytest.approx(1 - 2 * one_m2 / (2 * YARD_M * 1.5))
    # by hand: four corners of 38.23 by 24.45 cm with a rounding of 8.73 cm, the neck's opening
    # and five centimetres of width are lost
    corner_m2 = 0.3823 * 0.24450 - (1 - math.pi / 4) * 0.0873**2
    neck_m2 = 1.45 * YARD_M - 4 * corner_m2 - one_m2
    assert 0.005 < neck_m2 < 0.018 * 0.75  # smaller than the finished neck's 0.0163 m²


def test_what_is_left_beside_each_piece_and_between_is_told() -> None:
    narrow = replace(order(replace(CUT, cloth_width_m=1.2, length_m=0.8)), name="narrow")
    (bolt,) = lay_orders([order(print_repeat_m=0.32), narrow], "cm").bolts
    free = [(one.name, one.width_m, one.length_m) for one in bolt.offcuts if not one.line]
    # two layers of 1.45 m by 0.9144 m, two of 1.2 m by 0.8 m, each beginning at a repeat of 32 cm
    between_m, end_m = 0.96 - YARD_M, bolt.lying_m - (3 * 0.96 + 0.8)
    expected = [("strip beside the pieces", 0.3, 0.8)] * 2
    assert [one for one in free if one[0] == "strip beside the pieces" and one[1] > 0.1] == [
        (name, pytest.approx(wide_m), pytest.approx(long_m)) for name, wide_m, long_m in expected
    ]
    strips = [one[2] for one in free if one[1] == pytest.approx(0.05)]
    assert strips == pytest.approx([0.914, 0.914])
    # pieces narrower than 5 cm are not worth keeping
    assert between_m < 0.05
    assert [one[2] for one in free if one[0] == "strip across the cloth"] == pytest.approx([0.16])
    assert end_m < 0.05 or ("end of the cloth", 1.5, pytest.approx(end_m)) in free


def test_corner_offcuts_are_exact() -> None:
    (bolt,) = lay_orders([order()], "in").bolts
    corner = bolt.offcuts[0]
    assert corner.count == 8
    assert corner.width_m == pytest.approx((1.45 - 0.66) / 2 - 0.0127)
    assert corner.length_m == pytest.approx(YARD_M / 2 - 0.20 - 0.0127)
    assert corner.rounding_m == pytest.approx(0.10 - 0.0127)
    # a square that leaves the rounding alone fits, the full length does not reach into it
    assert corner.holds(corner.width_m - corner.rounding_m, corner.length_m) == 1
    assert corner.holds(corner.width_m, corner.length_m) == 0
    # the corner of a box on the round: both overhangs r/√2
    inset_m = corner.rounding_m * (1 - math.sqrt(0.5))
    assert corner.holds(corner.width_m - inset_m, corner.length_m - inset_m) == 1
    assert corner.holds(corner.width_m - inset_m, corner.length_m - inset_m + 1e-4) == 0
    assert corner.largest_square_m(0.01) == pytest.approx(0.24)


def test_pockets_come_out_of_the_corners() -> None:
    pocket = Extra(name="patch pocket", width_m=0.18, length_m=0.20, count=2)
    (bolt,) = lay_orders([order(extras=(pocket,))], "in").bolts
    assert bolt.needed_m == pytest.approx(2 * YARD_M)
    # a second one beside it would reach into the rounding
    assert [piece.corner for piece in bolt.placed if piece.corner_of] == ["front left", "back left"]
    large = replace(pocket, width_m=0.6, length_m=0.6, count=1)
    (longer,) = lay_orders([order(extras=(large,))], "in").bolts
    # 60 cm take 23 5/8 in as they are told, and an eighth of an inch stays free on either side
    assert longer.needed_m == pytest.approx(2 * YARD_M + (23.625 + 0.25) * 0.0254)


def test_print_repeat_moves_layers_to_the_same_place_of_the_print() -> None:
    (bolt,) = lay_orders([order(print_repeat_m=0.32)], "cm").bolts
    starts = [piece.box.y_m for piece in bolt.placed]
    assert starts == pytest.approx(
        [0.0, 0.96]
    )  # 91.44 cm is more than two repeats, less than three


def test_a_repeat_shrinks_with_its_cloth_and_binds_no_plain_one() -> None:
    printed = replace(SHRINKING, print=Print(kind="check", repeat_m=0.32))
    wanted = replace(order(print_repeat_m=0.32), outer=printed, lining=SHRINKING)
    wanted = replace(wanted, choice=replace(wanted.choice, garments=2))
    first, second = lay_orders([wanted], "cm").bolts
    # 5 % shorter after the wash: 91.44 cm is more than three repeats of 30.4 cm, less than four
    assert [piece.box.y_m for piece in first.placed] == pytest.approx([0.0, 4 * 0.304])
    assert [piece.box.y_m for piece in second.placed] == pytest.approx([0.0, YARD_M], abs=1e-3)


def test_the_width_to_buy_is_that_between_the_selvedges_before_the_wash() -> None:
    wide = replace(SHRINKING, bolt_width_m=1.6)
    wanted = replace(order(selvedge_m=0.0127), outer=wide, lining=wide)
    (bolt,) = lay_orders([wanted], "cm").bolts
    # 1.45 m of a cloth that loses 2 % across
    assert bolt.shop_width_m == pytest.approx(1.45 / 0.98)


def test_strips_between_a_layer_and_a_piece_are_left_over_too() -> None:
    # inches: a back, a hood that goes on over the cut at 40, a front under it
    boxes = (Box(0, 0, 55, 33), Box(30.625, 33, 21.875, 15), Box(0, 40, 30.5, 31))
    boxes = tuple(
        Box(*(0.0254 * one for one in (b.x_m, b.y_m, b.width_m, b.length_m))) for b in boxes
    )
    cuts_m = tuple(0.0254 * one for one in (33, 40, 71))
    left = strips_left(boxes, cuts_m, (0.0254 * 58.375, 0.0254 * 72))
    found = {(round(one.width_m / 0.0254, 3), round(one.length_m / 0.0254, 3)) for one in left}
    # before the cut at 40: under the hood and above it; behind it: above the hood, then above the front
    assert found == {(3.375, 33.0), (30.625, 7.0), (5.875, 7.0), (5.875, 8.0), (27.875, 23.0)}


def test_wide_cloth_takes_two_narrow_layers_beside_one_another() -> None:
    narrow = replace(CUT, cloth_width_m=1.1)
    wide = replace(PLUSH, bolt_width_m=2.25)
    (bolt,) = lay_orders([replace(order(narrow), outer=wide, lining=wide)], "in").bolts
    assert bolt.needed_m == pytest.approx(YARD_M)


lengths = st.floats(0.03, 0.9)
extras = st.builds(
    Extra,
    name=st.just("piece"),
    width_m=lengths,
    length_m=lengths,
    count=st.integers(1, 3),
    layer=st.sampled_from(["outer", "lining"]),
    any_grain=st.booleans(),
)


@settings(max_examples=60, deadline=None)
@given(
    pieces=st.lists(extras, max_size=5),
    garments=st.integers(1, 3),
    nap=st.sampled_from(Nap),
    width_m=st.floats(0.95, 1.5),
    length_m=st.floats(0.8, 2.0),
    repeat_m=st.sampled_from([0.0, 0.17]),
)
def test_every_lay_is_valid(pieces, garments, nap, width_m, length_m, repeat_m) -> None:
    cut = replace(CUT, cloth_width_m=width_m, length_m=length_m)
    wanted = order(cut, extras=tuple(pieces), garments=garments, nap=nap, print_repeat_m=repeat_m)
    (bolt,) = lay_orders([wanted], "cm").bolts
    # everything is there
    assert len(bolt.placed) == garments * (2 + sum(piece.count for piece in pieces))
    for piece in bolt.whole:
        assert piece.box.x_m >= 0
        assert piece.box.right_m <= bolt.usable_width_m + 1e-9
        assert piece.box.y_m >= 0
        assert piece.box.top_m <= bolt.needed_m + 1e-9
    for one, other in combinations(bolt.whole, 2):
        assert _shared_area_m2(one.box, other.box) < 1e-8
    boxes = {id(piece.source): piece.box for piece in bolt.whole if isinstance(piece.source, Layer)}
    in_corners = [piece for piece in bolt.placed if piece.corner_of is not None]
    for one, other in combinations(in_corners, 2):
        assert _shared_area_m2(one.box, other.box) < 1e-8
    for piece in in_corners:
        assert _clear_of_the_layer(piece.box, boxes[id(piece.corner_of)], cut)
    for piece in bolt.placed:
        turned = isinstance(piece.source, Extra) and piece.source.any_grain
        assert piece.turn_degrees == 0 or (nap is Nap.EITHER_WAY and turned)
        if isinstance(piece.source, Layer) and repeat_m:
            over = piece.box.y_m / repeat_m
            assert abs(over - round(over)) < 1e-6
    assert bolt.bought_m >= bolt.needed_m - 1e-6
    assert bolt.bought_m - bolt.exact_m < 0.10 + 1e-6


def _shared_area_m2(one: Box, other: Box) -> float:
    wide = min(one.right_m, other.right_m) - max(one.x_m, other.x_m)
    long = min(one.top_m, other.top_m) - max(one.y_m, other.y_m)
    return max(wide, 0.0) * max(long, 0.0)


def _clear_of_the_layer(box: Box, layer: Box, cut: Cut) -> bool:
    """Whether the corners of a box lie outside the cut line, seen from the layer's middle."""
    allowance_m = Allowances().underarm_m
    side_m, drop_m = cut.body_width_m / 2 + allowance_m, cut.sleeve_drop_m + allowance_m
    radius_m = cut.corner_radius_m - allowance_m
    middle_x, middle_y = layer.x_m + layer.width_m / 2, layer.y_m + layer.length_m / 2
    nearest_x = min(abs(box.x_m - middle_x), abs(box.right_m - middle_x)) - side_m
    nearest_y = min(abs(box.y_m - middle_y), abs(box.top_m - middle_y)) - drop_m
    if not (box.x_m - middle_x) * (box.right_m - middle_x) > 0:
        return False
    if min(nearest_x, nearest_y) < -1e-6:
        return False
    into_x, into_y = max(radius_m - nearest_x, 0.0), max(radius_m - nearest_y, 0.0)
    return into_x == 0 or into_y == 0 or math.hypot(into_x, into_y) <= radius_m + 1e-6


@settings(max_examples=100, deadline=None)
@given(st.lists(st.tuples(st.floats(0.05, 1.0), st.floats(0.05, 1.0)), min_size=1, max_size=12))
def test_boxes_touch_but_never_overlap(sides) -> None:
    ground = Ground(width_m=1.0)
    taken: list[Box] = []
    for side in sides:
        box, turn = put(ground, taken, [side])
        assert (box.width_m, box.length_m, turn) == (*side, 0)
        assert ground.holds(box)
        assert all(_shared_area_m2(box, other) < 1e-8 for other in taken)
        taken.append(box)
    # bottom-left never leaves a whole row free: no higher than one box on another
    assert max(box.top_m for box in taken) <= sum(length for _, length in sides) + 1e-9


@pytest.mark.parametrize("name", CUTS)
def test_every_option_lies_inside_the_cloth_with_its_nap_one_way(name: str) -> None:
    wanted = replace(
        order(CUTS[name], extras=(Extra(name="square", width_m=0.2, length_m=0.2, count=3),)),
        outer=replace(PLUSH, bolt_width_m=1.6),
        lining=replace(PLUSH, bolt_width_m=1.6),
    )
    (bolt,) = lay_orders([wanted], "cm").bolts
    layers = [piece for piece in bolt.whole if isinstance(piece.source, Layer)]
    parts = build_cut_line(build_pattern(CUTS[name]), Allowances()).parts
    assert sorted(piece.source.part for piece in layers) == sorted(
        part.name for part in parts for _ in range(2)
    )
    for one, other in combinations(bolt.whole, 2):
        assert _shared_area_m2(one.box, other.box) < 1e-8
    for piece in layers:
        left, right, low, high = piece.source.mark.bounds_m
        # the rectangle as it is told, in millimetres
        sides_m = (round(right - left, 3), round(high - low, 3))
        assert (piece.box.width_m, piece.box.length_m) == pytest.approx(sides_m)
        assert piece.turn_degrees == 0
        assert piece.source.mark.nap.end[1] < piece.source.mark.nap.start[1]
    # what is cut out of a corner lies outside the layer's own cut line
    squares = [piece for piece in bolt.placed if piece.corner_of is not None]
    assert len(squares) == 3
    for square in squares:
        layer = next(piece for piece in layers if piece.source is square.corner_of)
        mark = layer.source.mark
        across, along = layer.box.x_m - mark.bounds_m[0], layer.box.y_m - mark.bounds_m[2]
        outline = np.concatenate(
            [piece.at(np.linspace(0, piece.length_m, 200)) for piece in mark.outline]
        ) + np.array([across, along])
        box = square.box
        inside = (
            (outline[:, 0] > box.x_m + 1e-6)
            & (outline[:, 0] < box.right_m - 1e-6)
            & (outline[:, 1] > box.y_m + 1e-6)
            & (outline[:, 1] < box.top_m - 1e-6)
        )
        assert not inside.any()
        middle = (box.x_m + box.right_m) / 2, (box.y_m + box.top_m) / 2
        assert not _within(outline, middle)
    area_m2 = 2 * sum(part.area_m2 for part in parts) + 3 * 0.04
    assert bolt.cut_area_m2 == pytest.approx(area_m2)


def _within(outline: np.ndarray, place: tuple[float, float]) -> bool:
    """Whether a place lies inside a closed polygon, by its winding number."""
    around = outline - place
    turn = np.diff(np.unwrap(np.arctan2(around[:, 1], around[:, 0])))
    closing = np.angle(complex(*around[0]) / complex(*around[-1]))
    return abs(turn.sum() + closing) > math.pi


def test_a_split_side_takes_nothing_from_the_corner() -> None:
    sizes = {}
    for name, part in (("plain", CUTS["plain"]), ("split", CUTS["split"])):
        wide = replace(PLUSH, bolt_width_m=1.6)
        (bolt,) = lay_orders([replace(order(part), outer=wide, lining=wide)], "in").bolts
        (corner,) = [one for one in bolt.offcuts if one.name == "corner under an arm"]
        # all eight are alike, whichever way their side is walked
        assert corner.count == 8
        sizes[name] = (corner.width_m, corner.length_m, corner.largest_square_m(0.0127))
    # the split lies on the side line
    assert sizes["split"] == pytest.approx(sizes["plain"])
    side_m = (CUTS["split"].cloth_width_m - CUTS["split"].body_width_m) / 2 - 0.0127
    assert sizes["split"][0] == pytest.approx(side_m)


@pytest.mark.parametrize("name", CUTS)
def test_left_overs_are_what_the_told_cuts_leave(name: str) -> None:
    pieces = (
        Extra(name="long", width_m=0.31, length_m=0.9),
        Extra(name="square", width_m=0.2, length_m=0.2, count=3),
    )
    wide = replace(PLUSH, bolt_width_m=1.9)
    wanted = replace(order(CUTS[name], extras=pieces), outer=wide, lining=wide)
    (bolt,) = lay_orders([wanted], "in").bolts
    ends_m = [0.0, *(cut_m for cut_m in bolt.cuts_m if cut_m < bolt.lying_m), bolt.lying_m]
    longest_m = max(high_m - low_m for low_m, high_m in pairwise(ends_m))
    strips = [one for one in bolt.offcuts if not one.line]
    assert strips
    assert all(one.length_m <= longest_m + 1e-9 for one in strips)
    # where they lie: the same strips, the gap along the cloth beside a small piece being no end of one
    grid = Grid.of("in")
    boxes = [one.box for one in bolt.whole if isinstance(one.source, Layer)] + [
        Box(one.box.x_m, one.box.y_m - grid.gap_m, grid.up(one.box.width_m),
            grid.up(one.box.length_m) + 2 * grid.gap_m)
        for one in bolt.whole if isinstance(one.source, Extra)
    ]  # fmt: skip
    cloth_m = (grid.down(bolt.usable_width_m), grid.down(bolt.lying_m))
    free = list(free_strips(boxes, bolt.cuts_m, cloth_m))
    sizes = sorted((one.width_m, one.length_m) for one in free)
    left = sorted((one.width_m, one.length_m) for one in strips)
    assert np.array(sizes) == pytest.approx(np.array(left))
    # no two overlap, none lies under a piece, and all lie on the cloth
    for one, other in combinations([*free, *(piece.box for piece in bolt.whole)], 2):
        assert _shared_area_m2(one, other) < 1e-8
    for one in free:
        assert -1e-9 <= one.x_m <= one.right_m <= cloth_m[0] + 1e-6
        assert -1e-9 <= one.y_m <= one.top_m <= cloth_m[1] + 1e-6


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize("bolt_m", [1.5, 1.6])
def test_a_piece_wider_than_the_cloth_is_told_a_range_that_is_accepted(units, bolt_m) -> None:
    """From 2 cm, the least side of a piece (7/8 in), to what lies on the cloth with a gap on either side."""
    wide = replace(PLUSH, bolt_width_m=bolt_m)

    def laid(width_m: float) -> None:
        piece = Extra(name="mat", width_m=width_m, length_m=0.3)
        lay_orders([replace(order(extras=(piece,)), outer=wide, lining=wide)], units)

    with pytest.raises(RangeError) as told:
        laid(bolt_m + 0.1)
    least_m, most_m = (
        parse_quantity("length", "told", words)
        for words in told.value.retold("width", units, None).allowed.split(" to ")
    )
    assert least_m == pytest.approx(0.02 if units == "cm" else 0.875 * 0.0254)
    assert most_m < bolt_m
    for allowed_m in (least_m, most_m):
        laid(allowed_m)
    with pytest.raises(RangeError):
        Extra(name="mat", width_m=0.0199, length_m=0.3)


def test_two_fronts_leave_two_strips_and_not_one_that_is_cut_in_two() -> None:
    (bolt,) = lay_orders([replace(order(CUTS["overlapping"]), outer=WIDE, lining=WIDE)], "in").bolts
    fronts = [one.box for one in bolt.whole if one.source.part.startswith("front")]
    assert len(fronts) == 4
    strips = [one for one in bolt.offcuts if one.name == "strip beside the pieces"]
    # two fronts beside one another leave no strip of a front's width, each other one does
    beside = [one for one in strips if one.width_m > 0.5]
    assert all(one.length_m == pytest.approx(fronts[0].length_m) for one in beside)
    assert beside


WIDE = replace(PLUSH, bolt_width_m=1.5)


def test_no_cut_across_goes_through_a_layer() -> None:
    # a back of 1.1 m with a front beside it that is shorter
    cut = replace(
        CUTS["seamed"], cloth_width_m=1.1, body_width_m=0.6, length_m=1.4, back_longer_m=0.1
    )
    wide = replace(PLUSH, bolt_width_m=2.0)
    (bolt,) = lay_orders([replace(order(cut), outer=wide, lining=wide)], "cm").bolts
    layers = [one.box for one in bolt.whole]
    beside = [one for one in layers if one.x_m > 0]
    assert beside
    for cut_m in bolt.cuts_m:
        assert not any(box.y_m + 1e-6 < cut_m < box.top_m - 1e-6 for box in layers)
    ends_m = {round(box.top_m, 6) for box in layers}
    # the shorter one's end is no cut across
    assert len(ends_m) > len(bolt.cuts_m)
