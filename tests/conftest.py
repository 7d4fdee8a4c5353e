# SPDX-License-Identifier: GPL-3.0-or-later
"""What holds for every test run: where Blender keeps its files, which examples are tried."""

import os
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

# The same examples in every run, so that a change is judged by what it changes.
# `build.py test --hypothesis-profile=default` looks for new ones.
settings.register_profile("same", derandomize=True)
settings.load_profile("same")

# Blender reads this once, when bpy is first imported, by whichever test comes first.
_resources = tempfile.TemporaryDirectory(prefix="napfold-blender-")
os.environ["BLENDER_USER_RESOURCES"] = _resources.name


@pytest.fixture(scope="session", autouse=True)
def blender_resources() -> Iterator[Path]:
    """The folder of Blender's user files, away from those of whoever runs the tests."""
    yield Path(_resources.name)
    _resources.cleanup()
