# SPDX-License-Identifier: GPL-3.0-or-later
"""Run every test of the drape's mechanics, print the table, write build/validate.json.

    python -m tests.validate [WORD ...]

With words only the groups whose name contains one of them run, and nothing is written. The exit
code is 1 past any gate.
"""

import json
import sys
import time
from collections.abc import Callable
from pathlib import Path

from napfold.core.files import write_text

from ..rows import Row, as_data, missed, table
from . import (
    cantilevers,
    descents,
    layers,
    round_drape,
    rubbing,
    rubbing_within,
    slender,
    sliding,
    stretches,
    swatches,
)

TARGET = Path(__file__).resolve().parents[2] / "build" / "validate.json"

GROUPS: dict[str, Callable[[], list[Row]]] = {
    "strips over an edge": cantilevers.strips,
    "cantilever curve": cantilevers.master_curve,
    "strips hanging": stretches.hanging,
    "strips pulled": stretches.pulled,
    "buckling": slender.buckling,
    "heart loops": slender.loops,
    "sliding on an incline": sliding.incline,
    "sliding over a drum": sliding.drum,
    "sliding on itself": rubbing.on_itself,
    "sliding over the nap": rubbing.over_the_nap,
    "inner friction": rubbing_within.strips,
    "two layers": layers.layers,
    "descents": descents.descents,
    "swatch tests": swatches.swatches,
    "swatch tests, round piece": swatches.round_pieces,
    "round drape": round_drape.fabrics,
    "round drape with friction": round_drape.fabrics_with_friction,
}


def main(words: list[str]) -> int:
    """Run the groups; the exit code."""
    rows: list[Row] = []
    for name, measure in GROUPS.items():
        if words and not any(word in name for word in words):
            continue
        start = time.process_time()
        found = measure()
        print(f"\n{name} ({time.process_time() - start:.0f} s)\n{table(found)}", flush=True)
        for source in dict.fromkeys(row.source for row in found):
            print(f"  reference: {source}", flush=True)
        rows += found
    if not words:
        write_text(TARGET, json.dumps(as_data(rows), indent=1, ensure_ascii=False) + "\n")
        print(f"\n{TARGET}")
    failed = missed(rows)
    gated = sum(row.passed is not None for row in rows)
    print(f"\n{gated - len(failed)} of {gated} gates passed.")
    for name in failed:
        print(f"  MISSED: {name}")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
