# SPDX-License-Identifier: GPL-3.0-or-later
"""Run the bench, print the table and write build/bench.json.

    python -m tests.bench [body] [drape] [modifier] [peer] [pictures] [slices] [soundness] [--few N] [--all] [--whole]

Without the name of a part all of them run, soundness on a sample of the test set. The exit code
is 1 past any gate. Seconds depend on the machine and its load: compare ratios of one run.
"""

import argparse
import json
import sys
from pathlib import Path

from napfold.core.files import write_text

from ..rows import Row, as_data, missed, table
from . import body, drape, modifier, peer, photographs, slices, soundness

TARGET = Path(__file__).resolve().parents[2] / "build" / "bench.json"


def main(arguments: list[str]) -> int:
    """Run the parts; the exit code."""
    parser = argparse.ArgumentParser(prog="build.py bench", description="Speed and soundness.")
    parser.add_argument("--few", type=int, default=4, help="drapes of the soundness sample")
    parser.add_argument("--all", action="store_true", help="soundness on all 240 drapes (hours)")
    parser.add_argument(
        "--whole", action="store_true", help="largest meshes, 600 frames of the modifier"
    )
    parts = {
        "body": lambda: body.measure(),
        "drape": lambda: drape.measure(options.whole),
        "modifier": lambda: modifier.measure(options.whole),
        "peer": lambda: peer.measure(),
        "pictures": lambda: photographs.measure(),
        "slices": lambda: slices.measure(),
        "soundness": lambda: soundness.measure(None if options.all else options.few),
    }
    parser.add_argument("parts", nargs="*", help=f"of {', '.join(parts)}; all if none is named")
    options = parser.parse_args(arguments)
    unknown = set(options.parts) - set(parts)
    if unknown:
        parser.error(f"no part {', '.join(sorted(unknown))}; there are {', '.join(parts)}")
    found: dict[str, list[Row]] = {}
    for name in options.parts or parts:
        print(f"\n{name}", flush=True)
        found[name] = parts[name]()
        print(table(found[name]), flush=True)
    _write(found)
    failed = missed([row for rows in found.values() for row in rows])
    for name in failed:
        print(f"  MISSED: {name}")
    return 1 if failed else 0


def _write(found: dict[str, list[Row]]) -> None:
    """Put the parts that ran in the place of their older figures; keep those of the others."""
    kept = json.loads(TARGET.read_text(encoding="utf-8")) if TARGET.exists() else {}
    kept |= {name: as_data(rows) for name, rows in found.items()}
    write_text(TARGET, json.dumps(kept, indent=1, ensure_ascii=False) + "\n")
    print(f"\n{TARGET}")


sys.exit(main(sys.argv[1:]))
