# SPDX-License-Identifier: GPL-3.0-or-later
"""The lengths of the sidebar: label, tooltip, default and bounds of each, in metres."""

from collections.abc import Mapping
from types import MappingProxyType

from ..core.drape import EDGE_LENGTH_M
from .lengths import Length

__all__ = ["CUT", "LOOKS", "MESH", "SECTION", "SEWING", "STATED", "TAPE"]

TAPE: Mapping[str, Length] = MappingProxyType(
    {
        "height": Length("Height", "Height of the wearer without shoes", 1.68, 0.8, 2.5),
        "bust_girth": Length(
            "Bust Girth", "Girth of bust or chest over the fullest part, tape level", 0.96, 0.4, 2.2
        ),
        "waist_girth": Length(
            "Waist Girth",
            "Girth at the natural waist; 0 estimates it from the other measures",
            0.0,
            0.35,
            2.3,
        ),
        "hip_girth": Length(
            "Hip Girth",
            "Girth over the fullest part of the seat; 0 estimates it from the other measures",
            0.0,
            0.4,
            2.6,
        ),
        "upper_arm_girth": Length(
            "Upper Arm Girth",
            "Girth round the fullest part of the upper arm; 0 estimates it from the other measures",
            0.0,
            0.15,
            0.7,
        ),
        "back_neck_point_to_wrist": Length(
            "Neck to Wrist",
            "From the bone at the back of the neck over the shoulder to the wrist, arm bent a "
            "little; 0 estimates it from the other measures",
            0.0,
            0.3,
            1.3,
        ),
    }
)
CUT: Mapping[str, Length] = MappingProxyType(
    {
        "cloth_width": Length(
            "Cloth Width",
            "Usable width of the cloth, which runs from wrist to wrist",
            1.4732,
            0.6,
            3.2,
        ),
        "length": Length(
            "Bought Length",
            "Length to buy; the fold over the shoulders halves it into front and back",
            1.3716,
            0.6,
            4.0,
        ),
        "body_width": Length(
            "Body Width",
            "Flat width of the body part from side seam to side seam",
            0.6604,
            0.3,
            3.1,
        ),
        "sleeve_drop": Length(
            "Sleeve Drop",
            "Depth kept below the shoulder fold for the sleeve; its girth is twice this",
            0.2032,
            0.08,
            1.9,
        ),
        "corner_radius": Length(
            "Corner Radius", "Radius of the rounded inner corner under the arm", 0.1, 0.01, 1.0
        ),
        "neck_width": Length(
            "Neck Width", "Width of the neck opening on the shoulder fold", 0.18, 0.1, 0.4
        ),
        "neck_front_depth": Length(
            "Front Depth",
            "How far the neck opening dips below the fold in front",
            0.09,
            0.02,
            0.4,
        ),
        "neck_back_depth": Length(
            "Back Depth", "How far the neck opening dips below the fold behind", 0.025, 0.01, 0.2
        ),
        "front_overlap": Length(
            "Overlap", "By how much the two fronts lie on one another", 0.12, 0.03, 0.4
        ),
        "shoulder_drop": Length(
            "Shoulder Slope",
            "How far a shoulder seam falls from neck to sleeve end",
            0.0,
            0.001,
            0.3,
        ),
        "wrist_opening": Length(
            "Sleeve Opening", "Round of the sleeve end; 0 keeps the sleeve straight", 0.0, 0.12, 2.0
        ),
        "sleeve_shortened": Length(
            "Shorter Sleeves",
            "By how much each sleeve ends before the edge of the cloth",
            0.0,
            0.001,
            1.0,
        ),
        "cuff_depth": Length(
            "Turned-Back Cuff",
            "How much of the sleeve is turned back to the outside",
            0.0,
            0.001,
            0.4,
        ),
        "hem_curve": Length(
            "Hem Rise", "How far the hem rises from its middle to the side seams", 0.0, 0.001, 0.25
        ),
        "back_longer": Length(
            "Longer Back", "By how much the back hangs lower than the front", 0.0, 0.001, 0.5
        ),
        "side_flare": Length(
            "Side Flare",
            "By how much each side is wider at the hem than under the arm",
            0.0,
            0.001,
            1.0,
        ),
        "side_split": Length(
            "Side Split", "How far the side seams are left open from the hem up", 0.0, 0.001, 1.5
        ),
    }
)
SEWING: Mapping[str, Length] = MappingProxyType(
    {
        name: Length(label, f"Cloth kept beyond the seam at {where}", 0.0127, 0.004, 0.05)
        for name, label, where in (
            ("underarm", "Underarm", "the underarm and side"),
            ("hem", "Hem", "the hem"),
            ("sleeve_end", "Sleeve End", "the sleeve ends"),
            ("front", "Front", "the centre front"),
            ("neck", "Neck", "the neck"),
            ("shoulder", "Shoulder", "the shoulder"),
        )
    }
)
STATED: Mapping[str, Length] = MappingProxyType(
    {
        "thickness": Length(
            "Thickness",
            "Thickness of the cloth with its pile; 0 takes that of the kind",
            0.0,
            0.0003,
            0.06,
        ),
        "pile_height": Length(
            "Pile Height", "Height of the pile alone; 0 takes that of the kind", 0.0, 0.0003, 0.05
        ),
    }
)
LOOKS: Mapping[str, Length] = MappingProxyType(
    {
        "print_repeat": Length(
            "Repeat", "Width of one repeat of the print on the flat cloth", 0.12, 0.005, 3.0
        ),
        "photograph_width": Length(
            "Cloth in It",
            "How wide the stretch of cloth is that the photograph shows",
            0.3,
            0.01,
            3.0,
        ),
    }
)
MESH: Mapping[str, Length] = MappingProxyType(
    {
        "edge_length": Length(
            "Mesh Edge",
            "Edge length of the cloth's triangles; shorter is finer and slower",
            EDGE_LENGTH_M,
            0.008,
            0.06,
        )
    }
)
SECTION: Mapping[str, Length] = MappingProxyType(
    {
        "section_height": Length(
            "Section Height", "Height over the floor at which wrap and body are cut", 1.0, 0.01, 2.5
        )
    }
)
