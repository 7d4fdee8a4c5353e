#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Everything that is done with a checkout: demo, test, check, validate, bench, matrix, zip.

Standard library only. Nothing is written outside the checkout: the environment lies in .venv, what
is made lies in build. `python3 build.py --help` lists the verbs.
"""

from __future__ import annotations

import argparse
import ctypes
import hashlib
import importlib.util
import os
import re
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"

# Blender's module bpy is published for these Pythons only (5.0 for 3.11, 5.2 for 3.13).
PYTHONS = ((3, 11), (3, 13))

# What bpy loads from the system on Linux (found with ldd).
SYSTEM_LIBRARIES = (
    *("libGL.so.1", "libICE.so.6", "libSM.so.6", "libX11.so.6", "libXext.so.6", "libXfixes.so.3"),
    *("libXi.so.6", "libXrender.so.1", "libXt.so.6", "libxkbcommon.so.0"),
)

# Each worker of the tests holds about 1.5 GB: Blender's module and the compiled drape.
MOST_WORKERS = 4


class BuildError(Exception):
    """A step that failed; the text says which and what to do."""


def run(*command: str | Path, step: str) -> None:
    """Run a command in the checkout, with its output shown; a failure names the step."""
    code = subprocess.run([str(part) for part in command], cwd=ROOT, env=environment()).returncode
    if code != 0:
        raise BuildError(f"{step} failed (exit code {code}); its messages stand above.")


def environment() -> dict[str, str]:
    """The caller's environment without the settings that would lead Python out of .venv."""
    astray = {"PYTHONHOME", "PYTHONPATH", "PIP_TARGET", "PIP_PREFIX", "PIP_USER"}
    return {name: value for name, value in os.environ.items() if name not in astray}


def version_words(version: tuple[int, ...]) -> str:
    return ".".join(str(part) for part in version[:2])


def python_version(python: str | Path) -> tuple[int, int] | None:
    """(major, minor) of an interpreter, or None where it does not run."""
    command = [str(python), "-c", "import sys; print(*sys.version_info[:2])"]
    try:
        answer = subprocess.run(command, capture_output=True, text=True, env=environment())
        major, minor = answer.stdout.split()
    except (OSError, ValueError):
        return None
    return int(major), int(minor)


def installed_python(version: tuple[int, int]) -> str | None:
    """An interpreter of this version on this machine that really runs, or None.

    A `python3.13` on the search path may be a version manager's stand-in that only says that no
    such version is chosen; the interpreters that pyenv has built lie in its own folder.
    """
    name = f"python{version_words(version)}"
    pyenv = Path(os.environ.get("PYENV_ROOT") or Path.home() / ".pyenv")
    built = sorted(pyenv.joinpath("versions").glob(f"{version_words(version)}.*"), reverse=True)
    on_path = [shutil.which(name, path=folder) for folder in os.get_exec_path()]
    in_pyenv = [str(folder / "bin" / name) for folder in built]
    for python in (sys.executable, *on_path, *in_pyenv):
        if python and python_version(python) == version:
            return python
    return None


def go_on_with_serving_python() -> None:
    """Return under a Python that serves; under another one, start again with one that does."""
    if sys.version_info[:2] in PYTHONS:
        return
    here = version_words(sys.version_info)
    serving = " or ".join(version_words(version) for version in PYTHONS)
    python = next(filter(None, map(installed_python, PYTHONS)), None)
    if python is None:
        raise BuildError(
            f"Napfold needs Python {serving} (Blender's module exists for these), "
            f"and this is Python {here}: install one of them and run the same command with it."
        )
    words = f"Python {here} does not serve (Napfold needs {serving}); going on with {python}."
    # what `libraries` says is read by scripts
    print(words, file=sys.stderr, flush=True)
    sys.exit(subprocess.run([python, *sys.argv], env=environment()).returncode)


def venv_program(name: str) -> Path:
    if os.name == "nt":
        return VENV / "Scripts" / f"{name}.exe"
    return VENV / "bin" / name


def install(*groups: str) -> None:
    """Make .venv and install the project with the named dependency groups.

    A group is left alone while pyproject.toml and the Python are those of its last installation.
    """
    if python_version(venv_program("python")) != sys.version_info[:2]:
        make_venv()
    fingerprint = hashlib.sha256(ROOT.joinpath("pyproject.toml").read_bytes())
    fingerprint.update(sys.version.encode())
    stamp = fingerprint.hexdigest()
    marks = {group: VENV / f"installed-{group}.txt" for group in groups}
    stale = [
        group
        for group, mark in marks.items()
        if not mark.exists() or mark.read_text(encoding="ascii") != stamp
    ]
    if not stale:
        return
    print(f"Installing into .venv: Napfold, {', '.join(stale)} (the first time takes some minutes)")
    pip = (venv_program("python"), "-m", "pip", "install", "--disable-pip-version-check")
    run(*pip, "--quiet", "--quiet", "pip>=25.1", step="Updating pip")
    # in a terminal pip shows its progress; in a log only what went wrong
    telling = () if sys.stdout.isatty() else ("--quiet", "--quiet")
    wanted = [part for group in stale for part in ("--group", group)]
    run(*pip, *telling, "--editable", ".", *wanted, step="The installation")
    for group in stale:
        marks[group].write_text(stamp, encoding="ascii")


def make_venv() -> None:
    print(f"Making .venv with Python {version_words(sys.version_info)}")
    command = (sys.executable, "-m", "venv", "--clear")
    # Debian keeps ensurepip in a package of its own; the Python's own pip serves as well
    if has_module("ensurepip.__main__"):
        run(*command, VENV, step="Making .venv")
    elif has_module("pip"):
        run(*command, "--without-pip", VENV, step="Making .venv")
        pip = (sys.executable, "-m", "pip", "--python", venv_program("python"))
        run(*pip, "install", "--quiet", "pip>=25.1", step="Installing pip into .venv")
    else:
        raise BuildError("This Python has no pip: apt-get install python3-venv gives it one.")


def has_module(name: str) -> bool:
    try:
        return importlib.util.find_spec(name) is not None
    except ModuleNotFoundError:
        return False


def missing_libraries() -> list[str]:
    """Debian packages of the shared libraries that bpy needs and this Linux lacks."""
    missing = []
    for library in SYSTEM_LIBRARIES if sys.platform.startswith("linux") else ():
        try:
            ctypes.CDLL(library)
        except OSError:
            # named by the rule of Debian's policy manual: libGL.so.1 is in libgl1
            name, version = library.lower().split(".so.")
            missing.append(f"{name}-{version}" if name[-1].isdigit() else f"{name}{version}")
    return missing


def require_blender_module() -> None:
    """Stop where bpy cannot be imported."""
    packages = " ".join(missing_libraries())
    if packages:
        raise BuildError(
            "Blender's module needs system libraries that are missing.\n"
            "Install them (as root), then run the same command again:\n"
            f"    apt-get update && apt-get install --yes --no-install-recommends {packages}"
        )
    run(venv_program("python"), "-c", "import bpy", step="Importing Blender's module bpy")


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
    f"{folder}/{name}"
    for folder, names in {
        "blender_addon": "blender_manifest.toml bodies_sheet.py pictures.py wheels.txt",
        "core": "blender_process.py cli.py cli_arguments.py drape_store.py dxf.py making_files.py "
        "model_set.py picture_set.py preview.py progress_lines.py swatch_sheet_files.py workshop.py",
        "core/mannequin": "export.py",
        "core/paper": "pdf.py",
        "core/plots": "canvas.py gallery.py hems.py lines.py pulls.py solids.py wraps.py",
    }.items()
    for name in names.split()
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


def fetch_wheels() -> None:
    """Have the pinned wheels in their folder; what is missing or different is fetched."""
    WHEEL_FOLDER.mkdir(parents=True, exist_ok=True)
    if wrong_wheels():
        download = ("download", "--quiet", "--no-deps", "--require-hashes", "--only-binary=:all:")
        run(
            *(venv_program("python"), "-m", "pip", *download),
            *("--dest", WHEEL_FOLDER, "--requirement", PINS),
            step="Fetching the wheels of the extension",
        )
    if wrong := wrong_wheels():
        raise BuildError(f"Not the pinned wheel: {', '.join(wrong)} in {WHEEL_FOLDER}; delete it.")


def wrong_wheels() -> list[str]:
    """Names of the wheels that are missing or are not those pinned."""
    found = {path.name: path.read_bytes() for path in WHEEL_FOLDER.glob("*.whl")}
    digests = {name: hashlib.sha256(content).hexdigest() for name, content in found.items()}
    return [name for name, pin in WHEELS.items() if digests.get(name) != pin]


def zip_members() -> dict[str, bytes]:
    """What the extension consists of: name inside the zip -> content."""
    fetch_wheels()
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
        members[f"wheels/{name}"] = WHEEL_FOLDER.joinpath(name).read_bytes()
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


BUILD = ROOT / "build"
BODIES = ROOT / "sample_avatars"
DEMO_JOB = BODIES / "jobs" / "larch_hut.toml"


def demo() -> None:
    """install what the main job needs and run it on the demo job, into build/demo"""
    install("blender", "fast", "plots")
    require_blender_module()
    target = BUILD / "demo"
    run(venv_program("napfold"), "preview", DEMO_JOB, "--out", target, step="The demo")
    print(f"\nOpen {target / 'report.html'} in a browser; the pictures and scenes lie beside it.")


def bodies() -> None:
    """rebuild the meshes of the ready bodies and the picture of them all, in sample_avatars"""
    install("blender", "fast", "plots")
    require_blender_module()
    python = (venv_program("python"), "-m")
    run(*python, "napfold.core.mannequin.export", BODIES, step="Building the bodies")
    run(*python, "napfold.blender_addon.bodies_sheet", BODIES, step="The picture of the bodies")


def check() -> None:
    """formatting, lint and types"""
    install("check")
    python = (venv_program("python"), "-m")
    run(*python, "ruff", "format", "--check", "--quiet", ".", step="The formatting check")
    run(*python, "ruff", "check", "--quiet", ".", step="The lint check")
    run(*python, "mypy", step="The type check")


def test(*arguments: str) -> None:
    """check, then run the tests; what follows is handed to pytest"""
    install("blender", "fast", "plots", "test", "check")
    require_blender_module()
    check()
    workers = min(os.cpu_count() or 1, MOST_WORKERS)
    # a file's tests share what they build: they stay together
    spread = ("--numprocesses", str(workers), "--dist", "loadfile")
    run(venv_program("python"), "-m", "pytest", *spread, *arguments, step="The test run")


def validate(*arguments: str) -> None:
    """hold the drape's mechanics against references, into build/validate.json"""
    install("fast", "test")
    judge("validate", *arguments)


def bench(*arguments: str) -> None:
    """measure the drape's speed and soundness, into build/bench.json"""
    install("blender", "fast", "plots", "test")
    require_blender_module()
    judge("bench", *arguments)


def judge(name: str, *arguments: str) -> None:
    """Run the package tests/NAME, which prints a table and fails past a gate."""
    run(venv_program("python"), "-m", f"tests.{name}", *arguments, step=f"build.py {name}")


def matrix(*arguments: str) -> None:
    """run the add-on's tests on the built zip in each Blender, or in those named, such as 4.2 5.2"""
    install("test", "blender")
    require_blender_module()
    fetch_wheels()
    judge("matrix", *arguments)


def make_zip() -> None:
    """make the extension zip in build and have Blender's checker judge it"""
    install("blender")
    target = BUILD / f"napfold-{extension_version()}.zip"
    write_zip(target)
    validate_zip(target)
    print(f"{target}: {target.stat().st_size / 1e6:.2f} MB")


def libraries() -> None:
    """name the Debian packages that Blender's module still needs here, for use in scripts"""
    print(" ".join(missing_libraries()))


# these hand on what follows them
OPEN = (test, validate, bench, matrix)
CLOSED = (demo, bodies, check, libraries)
VERBS = {verb.__name__: verb for verb in (*CLOSED, *OPEN)} | {"zip": make_zip}


def main() -> None:
    parser = argparse.ArgumentParser(description="Napfold: demo, tests, checks, extension zip.")
    verbs = parser.add_subparsers(dest="verb", metavar="VERB", required=True)
    for name, verb in VERBS.items():
        verbs.add_parser(name, help=verb.__doc__, description=verb.__doc__)
    chosen, rest = parser.parse_known_args()
    # in a log too, what is said comes before what the command says that it is said of
    sys.stdout.reconfigure(line_buffering=True)
    verb = VERBS[chosen.verb]
    if rest and verb not in OPEN:
        parser.error(f"{chosen.verb} takes no {' '.join(rest)}")
    try:
        go_on_with_serving_python()
        verb(*rest)
    except BuildError as error:
        sys.exit(f"\n{error}")
    except KeyboardInterrupt:
        sys.exit("\nStopped.")


if __name__ == "__main__":
    main()
