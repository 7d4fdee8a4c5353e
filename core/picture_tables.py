# SPDX-License-Identifier: GPL-3.0-or-later
"""The table ``pictures`` of a job file, read and written."""

from typing import Any

from .document import Table, shown
from .errors import InputError
from .job_tables import MOST_NAME_CHARACTERS
from .pictures.choice import (
    BACKGROUNDS,
    MANNEQUINS,
    MOST_COLOURWAYS,
    SIZES_PX,
    Colourway,
    PictureChoice,
)
from .pictures.shots import SHOTS

__all__ = ["PICTURE_KEYS", "read_picture_set", "write_picture_set"]

LEAST_FRAMES, MOST_FRAMES = 8, 120
_LISTS = {"shots": tuple(SHOTS), "sizes": tuple(SIZES_PX), "backgrounds": BACKGROUNDS}
PICTURE_KEYS = (*_LISTS, "mannequin", "turntable", "comparison", "colourway")
_GROUNDS, _FIGURES = ("outer", "lining"), ("outer_print", "lining_print")


def read_picture_set(table: Table) -> PictureChoice:
    """What the table says of the set; what it leaves out suits a product page."""
    values: dict[str, Any] = {
        key: table.words(key, allowed) for key, allowed in _LISTS.items() if key in table
    }
    if "mannequin" in table:
        values["mannequin"] = table.word("mannequin", MANNEQUINS)
    if "turntable" in table and table.content["turntable"] != 0:
        values["turntable"] = table.whole_number("turntable", LEAST_FRAMES, MOST_FRAMES)
    if "comparison" in table:
        values["comparison"] = table.truth("comparison")
    colourways = table.tables("colourway", ("name", *_GROUNDS, *_FIGURES))
    if len(colourways) > MOST_COLOURWAYS:
        raise InputError(
            "pictures.colourway",
            f"a list of {len(colourways)}",
            f"up to {MOST_COLOURWAYS} colourways",
            "split the job into several files",
        )
    values["colourways"] = tuple(_read_colourway(one) for one in colourways)
    names = [one.name for one in values["colourways"]]
    for place, name in enumerate(names):
        if name in names[:place]:
            raise InputError(
                "pictures.colourway.name",
                shown(name),
                "a different name for each",
                "rename one of the two",
            )
    return PictureChoice(**values)


def _read_colourway(table: Table) -> Colourway:
    values: dict[str, Any] = {key: table.text(key, 7) for key in _GROUNDS if key in table}
    for key in _FIGURES:
        if key in table:
            values[key] = table.lines(key, 'a list of colours like "#e6dcc8"')
    return Colourway(name=table.text("name", MOST_NAME_CHARACTERS), **values)


def write_picture_set(choice: PictureChoice) -> dict[str, Any]:
    """The keys that `read_picture_set` reads."""
    colourways = [
        {
            "name": one.name,
            **{key: colour for key in _GROUNDS if (colour := getattr(one, key))},
            **{key: list(colours) for key in _FIGURES if (colours := getattr(one, key))},
        }
        for one in choice.colourways
    ]
    return {
        **{key: list(getattr(choice, key)) for key in _LISTS},
        "mannequin": choice.mannequin,
        "turntable": choice.turntable,
        "comparison": choice.comparison,
        **({"colourway": colourways} if colourways else {}),
    }
