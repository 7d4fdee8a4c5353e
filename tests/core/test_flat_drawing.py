# SPDX-License-Identifier: GPL-3.0-or-later
"""The drawing of the flat pattern: to scale, sound, its sizes named."""

import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from napfold.core.flat_drawing import flat_drawing, outline_path
from napfold.core.pattern import build_pattern
from napfold.core.telling import Telling


def path_length_and_area(path: str) -> tuple[float, float]:
    """Length and area, in drawing units, of path data with lines and quarter turns."""
    tokens = re.findall(r"[MLAZ]|-?\d+\.?\d*", path)
    here = (0.0, 0.0)
    start, length, area, place = here, 0.0, 0.0, 0
    while place < len(tokens):
        kind = tokens[place]
        count = {"M": 2, "L": 2, "A": 7, "Z": 0}[kind]
        numbers = [float(token) for token in tokens[place + 1 : place + 1 + count]]
        place += 1 + count
        end = start if kind == "Z" else (numbers[-2], numbers[-1])
        if kind == "M":
            here = start = end
            continue
        area += (here[0] * end[1] - end[0] * here[1]) / 2
        if kind == "A":
            rx, ry, _, large, sweep = numbers[:5]
            assert large == 0
            # between chord and quarter ellipse: (pi - 2) / 4 of the axes' product
            area += (1 if sweep else -1) * (math.pi / 4 - 0.5) * rx * ry
            if rx == ry:
                length += math.pi / 2 * rx
        else:
            length += math.dist(here, end)
        here = end
    return length, area


def test_the_drawn_outline_encloses_the_pattern_and_is_to_scale(
    make_tubes: Callable[..., Any],
) -> None:
    # no quarter of the neck is a circle, so that only corners add to the length
    pattern = build_pattern(replace(make_tubes().cut, neck_width_m=0.20))
    length, area = path_length_and_area(outline_path(pattern))
    # v points up on paper, so the outline runs clockwise there
    assert -area / 1e6 == pytest.approx(pattern.area_m2, rel=1e-6)
    without_neck = pattern.outline_length_m - pattern.edges["neck"].length_m
    assert length / 1000 == pytest.approx(without_neck, rel=1e-6)


def test_the_flat_drawing_is_sound_and_names_its_sizes(make_tubes: Callable[..., Any]) -> None:
    cut = make_tubes().cut
    drawing = flat_drawing(
        build_pattern(cut), Telling("cm").chosen, frame_m=(1.6, 1.8), scale_bar_m=0.2
    )
    root = ET.fromstring(drawing)
    space = "{http://www.w3.org/2000/svg}"
    assert root.find(f"{space}title") is not None
    words = {text.text for text in root.iter(f"{space}text")}
    assert {
        "cloth width 148 cm",
        "length 140 cm",
        "body width 66 cm",
        "drop 22 cm",
        "radius 6 cm",
        "nap runs down",
        "nap runs up",
        "shoulder fold",
        "20 cm",
    } <= words
    bars = [box for box in root.iter(f"{space}rect") if box.get("class", "").startswith("bar")]
    assert sum(float(bar.get("width", "0")) for bar in bars) == pytest.approx(200.0)
    left, top, wide, high = (float(number) for number in root.get("viewBox", "").split())
    assert (wide - high) == pytest.approx(-200.0)
    assert (left, top) == (-wide / 2, -high / 2)
