# SPDX-License-Identifier: GPL-3.0-or-later
"""The add-on's tests on the built zip in every Blender that it serves: python -m tests.matrix [4.2 ...].

Each Blender's module bpy gets an environment of its own in build/matrix, with what the tests of
the installed extension need and nothing else of ours. A Blender whose Python is not on this
machine is told and left out; the run fails if that leaves none, or if any leg fails.
"""

import argparse
import os
import re
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from build import installed_python

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "build" / "matrix"

# Blender, the Python that its module is for, and NumPy as Blender ships it
BLENDERS = {
    "4.2": ("3.11", "numpy<2"),
    "4.5": ("3.11", "numpy<2"),
    "5.0": ("3.11", "numpy<2"),
    "5.1": ("3.13", "numpy>=2.2"),
    "5.2": ("3.13", "numpy>=2.2"),
}
INSTALLED = (
    "test_addon",
    "test_settings",
    "test_bench",
    "test_drawn",
    "test_hygiene",
    "test_model_button",
    "test_onward",
    "test_panels",
    "test_picture_set",
    "test_presets",
    "test_translations",
)
TESTS = [f"tests/addon/{name}.py" for name in INSTALLED]
MOST_AT_ONCE = 2
CHEAP = ("--disable-pip-version-check", "--quiet", "--quiet")
# Blender's module of 4.2 crashes, and that of 4.5 may hang, as it ends once an extension was
# uninstalled that has a property with a Python getter: a trivial extension shows it. The tests are
# over by then, so the process ends at once.
AT_ONCE = (
    "import os, sys, pytest; code = pytest.main(sys.argv[1:]); sys.stdout.flush(); os._exit(code)"
)
BESIDE = ("pytest>=9.0", "hypothesis>=6.140")


def environment(blender: str) -> Path | None:
    """The Python with this Blender's module, made where it is missing; None without its Python."""
    version, numpy = BLENDERS[blender]
    folder = FOLDER / blender
    python = folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    done = folder / "done.txt"
    if done.exists():
        return python
    major, minor = version.split(".")
    base = installed_python((int(major), int(minor)))
    if base is None:
        return None
    subprocess.run([base, "-m", "venv", "--clear", folder], check=True)
    install = [python, "-m", "pip", "install", *CHEAP, f"bpy=={blender}.*", numpy, *BESIDE]
    subprocess.run(install, check=True)
    done.write_text(f"{blender}\n", encoding="ascii")
    return python


def run_leg(blender: str) -> tuple[str, str]:
    """How the tests went in one Blender: "passed", "failed" or "left out", and the last words."""
    try:
        python = environment(blender)
    except subprocess.CalledProcessError as error:
        return "failed", f"its environment could not be made: {error}"
    if python is None:
        return "left out", f"no Python {BLENDERS[blender][0]} here"
    command = [python, "-c", AT_ONCE, *TESTS, "--quiet", "-p", "no:cacheprovider"]
    answer = subprocess.run(command, cwd=ROOT, capture_output=True, text=True)
    if answer.returncode != 0:
        sys.stdout.write(answer.stdout + answer.stderr)
    told = re.findall(r"^.*(?:passed|failed|error).* in .*$", answer.stdout, flags=re.MULTILINE)
    return ("passed" if answer.returncode == 0 else "failed"), (told or ["no tests ran"])[-1]


def timed(blender: str) -> tuple[str, str, float]:
    """`run_leg` with the seconds that it took."""
    began_s = time.monotonic()
    outcome, words = run_leg(blender)
    return outcome, words, time.monotonic() - began_s


def main() -> int:
    parser = argparse.ArgumentParser(prog="build.py matrix", description=__doc__)
    parser.add_argument("blenders", nargs="*", metavar="VERSION", help=", ".join(BLENDERS))
    wanted = parser.parse_args().blenders or list(BLENDERS)
    for name in wanted:
        if name not in BLENDERS:
            parser.error(f"{name} is none of {', '.join(BLENDERS)}")
    outcomes = []
    # each Blender is a process of its own: side by side they take little longer than one
    with ThreadPoolExecutor(min(MOST_AT_ONCE, os.cpu_count() or 1)) as legs:
        for blender, (outcome, words, took_s) in zip(wanted, legs.map(timed, wanted), strict=True):
            outcomes.append(outcome)
            sys.stdout.write(f"Blender {blender}: {outcome} ({words}); {took_s:.0f} s\n")
            sys.stdout.flush()
    return 0 if "failed" not in outcomes and "passed" in outcomes else 1


if __name__ == "__main__":
    sys.exit(main())
