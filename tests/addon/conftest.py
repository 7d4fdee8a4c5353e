# SPDX-License-Identifier: GPL-3.0-or-later
"""The extension zip, built once, and installed in bpy as a user would install it."""

import importlib
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType

import pytest

from build import extension_version, write_zip


@pytest.fixture(scope="session")
def extension_zip(tmp_path_factory: pytest.TempPathFactory) -> Path:
    target = tmp_path_factory.mktemp("zip") / f"napfold-{extension_version()}.zip"
    write_zip(target)
    return target


@pytest.fixture(scope="session")
def extension(
    extension_zip: Path, blender_resources: Path
) -> Iterator[Callable[[str], ModuleType]]:
    """Gives modules of the extension, which is installed from the zip and enabled.

    At the end it is uninstalled, and must be gone.
    """
    import addon_utils
    import bpy

    name = "bl_ext.user_default.napfold"
    assert Path(bpy.utils.resource_path("USER")).is_relative_to(blender_resources.resolve())
    addon_utils.enable("bl_pkg")
    bpy.ops.extensions.package_install_files(
        filepath=str(extension_zip), repo="user_default", enable_on_install=True
    )
    assert name in bpy.context.preferences.addons
    folder = Path(bpy.utils.resource_path("USER")) / "extensions/user_default/napfold"
    assert folder.is_dir()
    yield lambda inside: importlib.import_module(f"{name}.{inside}" if inside else name)
    repositories = [one.module for one in bpy.context.preferences.extensions.repos]
    repository = repositories.index("user_default")
    bpy.ops.extensions.package_uninstall(repo_index=repository, pkg_id="napfold")
    assert name not in bpy.context.preferences.addons
    assert not folder.exists()


@pytest.fixture
def scene(extension: Callable[[str], ModuleType]) -> Iterator["bpy.types.Scene"]:  # noqa: F821
    """An empty scene in a fresh file."""
    import bpy

    bpy.ops.wm.read_homefile(app_template="", use_empty=True)
    return bpy.context.scene


@pytest.fixture(scope="session")
def draped_file(
    extension: Callable[[str], ModuleType], tmp_path_factory: pytest.TempPathFactory
) -> str:
    """A file with one coarse drape."""
    import bpy

    bpy.ops.wm.read_homefile(app_template="", use_empty=True)
    bpy.context.scene.napfold.edge_length = 0.05
    assert bpy.ops.napfold.drape() == {"FINISHED"}
    path = str(tmp_path_factory.mktemp("draped") / "draped.blend")
    bpy.ops.wm.save_as_mainfile(filepath=path)
    return path


@pytest.fixture
def draped(draped_file: str) -> "bpy.types.Scene":  # noqa: F821
    """The scene of a file with one coarse drape, opened anew."""
    import bpy

    bpy.ops.wm.open_mainfile(filepath=draped_file)
    return bpy.context.scene
