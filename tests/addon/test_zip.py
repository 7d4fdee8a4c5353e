# SPDX-License-Identifier: GPL-3.0-or-later
"""The extension zip: what is in it, that Blender's own checker takes it, and that it is stable."""

import tomllib
import zipfile
from pathlib import Path

import pytest

from build import NOT_IN_ZIP, WHEELS, BuildError, extension_version, validate_zip, write_zip

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def manifest() -> dict[str, object]:
    return tomllib.loads(ROOT.joinpath("blender_addon/blender_manifest.toml").read_text("utf-8"))


def test_the_same_sources_give_the_same_bytes(extension_zip: Path, tmp_path: Path) -> None:
    again = tmp_path / "again.zip"
    write_zip(again)
    assert again.read_bytes() == extension_zip.read_bytes()
    assert extension_zip.stat().st_size < 5_000_000


def test_contents(extension_zip: Path) -> None:
    with zipfile.ZipFile(extension_zip) as archive:
        names = archive.namelist()
        assert names == sorted(names)
        assert {member.date_time for member in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
    assert {"__init__.py", "blender_manifest.toml", "LICENSE", "core/errors.py"} <= set(names)
    assert "core/cli.py" not in names
    outside = [
        name
        for name in names
        if "/" in name and not name.startswith(("core/", "blender_addon/", "wheels/"))
    ]
    assert outside == []
    sources = {
        path.relative_to(ROOT).as_posix()
        for folder in ("core", "blender_addon")
        for path in ROOT.joinpath(folder).rglob("*.py")
    }
    assert sources - set(names) == NOT_IN_ZIP & sources


def test_blenders_own_checker_takes_it(
    extension_zip: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    validate_zip(extension_zip)
    assert "Success" in capfd.readouterr().out


def test_blenders_own_checker_would_refuse_a_bad_one(extension_zip: Path, tmp_path: Path) -> None:
    bad = tmp_path / "bad.zip"
    with zipfile.ZipFile(extension_zip) as archive, zipfile.ZipFile(bad, "w") as changed:
        for name in archive.namelist():
            content = archive.read(name)
            if name == "blender_manifest.toml":
                content = content.replace(b'tagline = "See', b'tagline = "See.')
                content = content.replace(b'license = ["SPDX:GPL', b'licence = ["SPDX:GPL')
            changed.writestr(name, content)
    with pytest.raises(BuildError, match="extension check failed"):
        validate_zip(bad)


def test_version_and_wheels_agree(manifest: dict[str, object]) -> None:
    project = tomllib.loads(ROOT.joinpath("pyproject.toml").read_text("utf-8"))["project"]
    assert manifest["version"] == project["version"] == extension_version()
    assert manifest["license"] == [f"SPDX:{project['license']}"]
    assert manifest["wheels"] == [f"./wheels/{name}" for name in sorted(WHEELS)]
    assert all(name.endswith("-py3-none-any.whl") for name in WHEELS)


def test_manifest_follows_blenders_rules(manifest: dict[str, object]) -> None:
    assert len(manifest["tagline"]) <= 64
    assert manifest["tagline"][-1].isalnum()
    # job files, sheets and reports; no network, no clipboard
    assert set(manifest["permissions"]) == {"files"}
    assert len(manifest["permissions"]["files"]) <= 64
    assert manifest["permissions"]["files"][-1].isalnum()
    import bpy  # noqa: F401  (makes Blender's own modules importable)
    from _bpy_internal.extensions.tags import addons

    assert set(manifest["tags"]) <= addons
