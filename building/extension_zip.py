# SPDX-License-Identifier: GPL-3.0-or-later
"""The extension zip: what it consists of, the same bytes on every machine, judged by Blender's checker."""

from __future__ import annotations

import hashlib
import re
import zipfile
from pathlib import Path

from .environment import ROOT, VENV, BuildError, run, venv_program

ADDON = ROOT / "blender_addon"
WHEEL_FOLDER = ROOT / "build" / "wheels"

# Pure-Python wheels that ride in the extension zip, unmodified: file -> SHA-256. The text is one
# that pip reads, a line for each: name==version --hash=sha256:pin
PINS = ADDON / "wheels.txt"
WHEELS = {
    f"{name.replace('-', '_')}-{version}-py3-none-any.whl": pin
    for name, version, pin in re.findall(
        r"^(\S+)==(\S+) --hash=sha256:(\w+)$", PINS.read_text("ascii"), flags=re.MULTILINE
    )
}

# The command line and what serves it alone start other programs: no place for them in Blender.
# The manifest goes to the root of the zip.
NOT_IN_ZIP = {
    "blender_addon/blender_manifest.toml",
    "blender_addon/bodies_sheet.py",
    "blender_addon/pictures.py",
    "blender_addon/wheels.txt",
    "core/blender_process.py",
    "core/cli.py",
    "core/drape_store.py",
    "core/dxf.py",
    "core/making_files.py",
    "core/mannequin/export.py",
    "core/model_set.py",
    "core/paper/pdf.py",
    "core/plots/canvas.py",
    "core/plots/gallery.py",
    "core/plots/hems.py",
    "core/plots/lines.py",
    "core/plots/pulls.py",
    "core/plots/solids.py",
    "core/plots/wraps.py",
    "core/picture_set.py",
    "core/preview.py",
    "core/progress_lines.py",
    "core/swatch_sheet_files.py",
    "core/workshop.py",
}

ZIP_ROOT_MODULE = '''\
# SPDX-License-Identifier: GPL-3.0-or-later
"""Napfold for Blender: how a fold-over pile wrap will hang, before the cut."""

from .blender_addon import register, unregister

__all__ = ["register", "unregister"]
'''


def extension_version() -> str:
    manifest = ADDON.joinpath("blender_manifest.toml").read_text(encoding="utf-8")
    found = re.search(r'^version = "([^"]+)"$', manifest, flags=re.MULTILINE)
    if found is None:
        raise BuildError("blender_addon/blender_manifest.toml has no version.")
    return found[1]


def fetch_wheels() -> Path:
    """The folder with exactly the pinned wheels; what is missing or different is fetched."""
    folder = WHEEL_FOLDER
    folder.mkdir(parents=True, exist_ok=True)
    if not all(is_pinned(folder / name) for name in WHEELS):
        download = ("download", "--quiet", "--no-deps", "--require-hashes", "--only-binary=:all:")
        run(
            *(venv_program("python"), "-m", "pip", *download),
            *("--dest", folder, "--requirement", PINS),
            step="Fetching the wheels of the extension",
        )
    wrong = [name for name in WHEELS if not is_pinned(folder / name)]
    if wrong:
        raise BuildError(f"Not the pinned wheel: {', '.join(wrong)} in {folder}; delete it.")
    return folder


def is_pinned(wheel: Path) -> bool:
    found = wheel.is_file() and hashlib.sha256(wheel.read_bytes()).hexdigest()
    return found == WHEELS[wheel.name]


def zip_members() -> dict[str, bytes]:
    """What the extension consists of: name inside the zip -> content."""
    wheels = fetch_wheels()
    members = {
        "__init__.py": ZIP_ROOT_MODULE.encode(),
        "blender_manifest.toml": ADDON.joinpath("blender_manifest.toml").read_bytes(),
        "LICENSE": ROOT.joinpath("LICENSE").read_bytes(),
    }
    for folder in ("core", "blender_addon"):
        for path in sorted(ROOT.joinpath(folder).rglob("*")):
            inside = path.relative_to(ROOT)
            hidden = any(part.startswith((".", "__pycache__")) for part in inside.parts)
            if path.is_file() and not hidden and inside.as_posix() not in NOT_IN_ZIP:
                members[inside.as_posix()] = path.read_bytes()
    for name in WHEELS:
        members[f"wheels/{name}"] = wheels.joinpath(name).read_bytes()
    return members


def write_zip(target: Path) -> None:
    """Write the extension so that the same sources give the same bytes on every machine.

    Members are stored, not compressed: compressors differ from machine to machine, and the bulk
    is wheels, which are compressed already.
    """
    target.parent.mkdir(parents=True, exist_ok=True)
    temporary = target.with_name(f".{target.name}")
    with zipfile.ZipFile(temporary, "w", zipfile.ZIP_STORED) as archive:
        for name, content in sorted(zip_members().items()):
            member = zipfile.ZipInfo(name, date_time=(1980, 1, 1, 0, 0, 0))
            member.create_system = 3
            member.external_attr = 0o644 << 16
            archive.writestr(member, content)
    temporary.replace(target)


def validate_zip(target: Path) -> None:
    """Have Blender's own extension checker, which rides in bpy, judge the zip."""
    checkers = sorted(VENV.glob("[Ll]ib/**/bl_pkg/cli/blender_ext.py"))
    if not checkers:
        raise BuildError("Blender's extension checker was not found in .venv.")
    run(venv_program("python"), checkers[-1], "validate", target, step="Blender's extension check")
