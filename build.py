#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Everything that is done with a checkout: demo, test, check, validate, bench, matrix, zip.

Standard library only. Nothing is written outside the checkout: the environment lies in .venv, what
is made lies in build. `python3 build.py --help` lists the verbs.
"""

from __future__ import annotations

import argparse
import sys

from building.environment import (
    ROOT,
    SYSTEM_LIBRARIES,
    BuildError,
    go_on_with_serving_python,
    install,
    missing_libraries,
    require_blender_module,
    run,
    say,
    venv_program,
)
from building.extension_zip import extension_version, fetch_wheels, validate_zip, write_zip

BUILD = ROOT / "build"
BODIES = ROOT / "sample_avatars"
DEMO_JOB = BODIES / "jobs" / "larch_hut.toml"


def demo() -> None:
    """install what the main job needs and run it on the demo job, into build/demo"""
    install("blender", "fast", "plots")
    require_blender_module()
    target = BUILD / "demo"
    run(venv_program("napfold"), "preview", DEMO_JOB, "--out", target, step="The demo")
    say(f"\nOpen {target / 'report.html'} in a browser; the pictures and scenes lie beside it.")


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


def test(arguments: list[str]) -> None:
    """check, then run the tests; what follows is handed to pytest"""
    install("blender", "fast", "plots", "test", "check")
    require_blender_module()
    check()
    run(venv_program("python"), "-m", "pytest", *arguments, step="The test run")


def validate(arguments: list[str]) -> None:
    """hold the drape's mechanics against references, into build/validate.json"""
    install("fast", "test")
    judge("validate", arguments)


def bench(arguments: list[str]) -> None:
    """measure the drape's speed and soundness, into build/bench.json"""
    install("blender", "fast", "plots", "test")
    require_blender_module()
    judge("bench", arguments)


def judge(name: str, arguments: list[str]) -> None:
    """Run the package tests/NAME, which prints a table and fails past a gate."""
    run(venv_program("python"), "-m", f"tests.{name}", *arguments, step=f"build.py {name}")


def matrix(arguments: list[str]) -> None:
    """run the add-on's tests on the built zip in each Blender, or in those named, such as 4.2 5.2"""
    install("test", "blender")
    require_blender_module()
    fetch_wheels()
    judge("matrix", arguments)


def make_zip() -> None:
    """make the extension zip in build and have Blender's checker judge it"""
    install("blender")
    target = BUILD / f"napfold-{extension_version()}.zip"
    write_zip(target)
    validate_zip(target)
    say(f"{target}: {target.stat().st_size / 1e6:.2f} MB")


def libraries() -> None:
    """name the Debian packages that Blender's module still needs here, for use in scripts"""
    say(" ".join(SYSTEM_LIBRARIES[library] for library in missing_libraries()))


VERBS = {
    "demo": demo,
    "bodies": bodies,
    "check": check,
    "zip": make_zip,
    "libraries": libraries,
}
# these hand on what follows them
OPEN_VERBS = {"test": test, "validate": validate, "bench": bench, "matrix": matrix}


def main() -> None:
    parser = argparse.ArgumentParser(description="Napfold: demo, tests, checks, extension zip.")
    verbs = parser.add_subparsers(dest="verb", metavar="VERB", required=True)
    for name, function in {**VERBS, **OPEN_VERBS}.items():
        verbs.add_parser(name, help=function.__doc__, description=function.__doc__)
    chosen, rest = parser.parse_known_args()
    if rest and chosen.verb not in OPEN_VERBS:
        parser.error(f"{chosen.verb} takes no {' '.join(rest)}")
    try:
        go_on_with_serving_python()
        if chosen.verb in OPEN_VERBS:
            OPEN_VERBS[chosen.verb](rest)
        else:
            VERBS[chosen.verb]()
    except BuildError as error:
        sys.exit(f"\n{error}")
    except KeyboardInterrupt:
        sys.exit("\nStopped.")


if __name__ == "__main__":
    main()
