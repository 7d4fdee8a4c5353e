# SPDX-License-Identifier: GPL-3.0-or-later
"""One wrap as a model to turn about on a page: of what, where to, and what it says about itself."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path

from ..errors import FileError
from ..files import read_bytes, write_text
from .take import Wrap

__all__ = ["MODEL_FILES", "MOST_MODEL_BYTES", "Model", "read_models", "write_models"]

MODEL_FILES = ("wrap.glb", "wrap.usdz", "wrap.obj")
"""What each model's folder holds, beside what the last one refers to."""
MOST_MODEL_BYTES = 10_000_000
"""Of a GLB, so that a page with it opens quickly."""
MOST_BYTES = 100_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Model:
    """One settled wrap in metres.

    Parameters
    ----------
    folder
        Where its files go.
    wrap
        Its job and its drape.
    mannequin
        Whether who wears it is in it.
    texts
        What the files say about themselves, by keyword; "Comment" is the note that it is a preview.
    """

    folder: str
    wrap: Wrap
    mannequin: bool = False
    texts: Mapping[str, str] = field(default_factory=dict)


def write_models(path: Path, models: Sequence[Model]) -> None:
    """Write models to be made as JSON, whole or not at all."""
    write_text(path, json.dumps([asdict(model) for model in models], indent=1))


def read_models(path: Path) -> tuple[Model, ...]:
    """Read models written by `write_models`.

    Raises
    ------
    FileError
        The file cannot be read or does not hold models.
    """
    try:
        return tuple(
            Model(**words | {"wrap": Wrap(**words["wrap"])})
            for words in json.loads(read_bytes(path, MOST_BYTES))
        )
    except (ValueError, KeyError, TypeError) as error:
        raise FileError(f"{path} does not hold models to be made: {error}.") from error
