# SPDX-License-Identifier: GPL-3.0-or-later
"""The Python that serves, the environment in .venv, and the programs run in it."""

from __future__ import annotations

import ctypes
import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
VENV = ROOT / ".venv"

# Blender's module bpy is published for these Pythons only (5.0 for 3.11, 5.2 for 3.13).
PYTHONS = ((3, 11), (3, 13))

# What bpy loads from the system on Linux: shared library -> Debian package (found with ldd).
SYSTEM_LIBRARIES = {
    "libGL.so.1": "libgl1",
    "libICE.so.6": "libice6",
    "libSM.so.6": "libsm6",
    "libX11.so.6": "libx11-6",
    "libXext.so.6": "libxext6",
    "libXfixes.so.3": "libxfixes3",
    "libXi.so.6": "libxi6",
    "libXrender.so.1": "libxrender1",
    "libXt.so.6": "libxt6",
    "libxkbcommon.so.0": "libxkbcommon0",
}


class BuildError(Exception):
    """A step that failed; the text says which and what to do."""


def say(text: str) -> None:
    print(text, flush=True)


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
    folders = [Path(folder) for folder in os.environ.get("PATH", "").split(os.pathsep) if folder]
    pyenv = Path(os.environ.get("PYENV_ROOT") or Path.home() / ".pyenv")
    built = sorted(pyenv.joinpath("versions").glob(f"{version_words(version)}.*"), reverse=True)
    on_path = [shutil.which(name, path=str(folder)) for folder in folders]
    in_pyenv = [str(folder / "bin" / name) for folder in built]
    for python in (sys.executable, *on_path, *in_pyenv):
        if python and python_version(python) == version:
            return python
    return None


def serving_python() -> str | None:
    """Another interpreter of this machine that serves."""
    return next(filter(None, map(installed_python, PYTHONS)), None)


def go_on_with_serving_python() -> None:
    """Return under a Python that serves; under another one, start again with one that does."""
    if sys.version_info[:2] in PYTHONS:
        return
    here = version_words(sys.version_info)
    serving = " or ".join(version_words(version) for version in PYTHONS)
    python = serving_python()
    if python is None:
        raise BuildError(
            f"Napfold needs Python {serving} (Blender's module exists for these), "
            f"and this is Python {here}: install one of them and run the same command with it."
        )
    say(f"Python {here} does not serve (Napfold needs {serving}); going on with {python}.")
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
    say(f"Installing into .venv: Napfold, {', '.join(stale)} (the first time takes some minutes)")
    pip = (venv_program("python"), "-m", "pip", "install", "--disable-pip-version-check")
    run(*pip, "--quiet", "--quiet", "pip>=25.1", step="Updating pip")
    # in a terminal pip shows its progress; in a log only what went wrong
    telling = () if sys.stdout.isatty() else ("--quiet", "--quiet")
    wanted = [part for group in stale for part in ("--group", group)]
    run(*pip, *telling, "--editable", ".", *wanted, step="The installation")
    for group in stale:
        marks[group].write_text(stamp, encoding="ascii")


def make_venv() -> None:
    say(f"Making .venv with Python {version_words(sys.version_info)}")
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
    """Shared libraries that bpy needs and this Linux lacks."""
    if not sys.platform.startswith("linux"):
        return []
    missing = []
    for library in SYSTEM_LIBRARIES:
        try:
            ctypes.CDLL(library)
        except OSError:
            missing.append(library)
    return missing


def require_blender_module() -> None:
    """Stop with one message where bpy cannot be imported."""
    missing = missing_libraries()
    if missing:
        packages = " ".join(SYSTEM_LIBRARIES[library] for library in missing)
        raise BuildError(
            f"Blender's module needs system libraries that are missing: {', '.join(missing)}.\n"
            "Install them (as root), then run the same command again:\n"
            f"    apt-get update && apt-get install --yes --no-install-recommends {packages}"
        )
    answer = subprocess.run(
        [str(venv_program("python")), "-c", "import bpy"],
        capture_output=True,
        text=True,
        env=environment(),
    )
    if answer.returncode != 0:
        reason = (answer.stderr.strip().splitlines() or ["no message"])[-1]
        raise BuildError(f"Blender's module bpy does not import: {reason}")
