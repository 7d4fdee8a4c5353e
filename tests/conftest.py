# SPDX-License-Identifier: GPL-3.0-or-later
"""Blender keeps its preferences and extensions in a folder that lives as long as the test run."""

import os
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

# Blender reads this once, when bpy is first imported, by whichever test comes first.
_resources = tempfile.TemporaryDirectory(prefix="napfold-blender-")
os.environ["BLENDER_USER_RESOURCES"] = _resources.name


@pytest.fixture(scope="session", autouse=True)
def blender_resources() -> Iterator[Path]:
    """The folder of Blender's user files, away from those of whoever runs the tests."""
    yield Path(_resources.name)
    _resources.cleanup()
