# SPDX-License-Identifier: GPL-3.0-or-later
"""How far the flat measures of `napfold.core.buying` are from drapes.

    python -m tests.bench.flat_measures

Four wraps of light plush, standing, on bodies of 152 to 183 cm; the drape hangs what is left when hem
and sleeve ends are sewn. Told are millimetres of drape less flat: the hem's height at the centre back,
the sleeve's end along the arm, the room round the upper arm. `buying.STRAIGHTER_M` is made of the
second, to which it is added again here. It takes about two minutes.
"""

from napfold.core.buying import STRAIGHTER_M, flat_fit
from napfold.core.cloth import library
from napfold.core.cut_line import Allowances, finished_cut
from napfold.core.drape import run, settle
from napfold.core.fit import hem
from napfold.core.mannequin import build_mannequin
from napfold.core.pattern import Cut, build_pattern
from napfold.core.sleeve import measure_sleeve
from napfold.core.tape import Tape, complete

EDGE_M = 0.028
PLUSH = library()["light plush"]
WRAPS = (
    ("female", 1.52, 0.80, 0.88, (1.45, 1.20, 0.66, 0.21)),
    ("female", 1.68, 0.965, 1.04, (1.45, 0.9144, 0.66, 0.21)),
    ("female", 1.75, 1.28, 1.32, (1.50, 1.50, 0.80, 0.27)),
    ("male", 1.83, 1.06, 1.04, (1.60, 1.80, 0.72, 0.25)),
)


def main() -> None:
    """Drape and tell."""
    print("height   hem  sleeve end  upper arm   (mm, drape less flat)")
    for sex, height, bust, hip, (width, length, body, drop) in WRAPS:
        given = {"height": height, "bust_girth": bust, "hip_girth": hip}
        tape = Tape(sex=sex, given=given)
        measures, _ = complete(tape)
        cut = Cut(cloth_width_m=width, length_m=length, body_width_m=body, sleeve_drop_m=drop)
        sewn = finished_cut(cut, Allowances())
        mannequin = build_mannequin(tape)
        drape = run(settle(build_pattern(sewn), PLUSH, PLUSH, mannequin, "standing", EDGE_M))
        sleeve = measure_sleeve(drape, "left")
        flat = flat_fit(measures, cut, Allowances(), PLUSH.thickness_m, PLUSH.thickness_m)
        room = sleeve.room["upper arm"]
        hem_mm = 1000 * (hem(drape).centre_back.height_m - flat.hem.height_m)
        end_mm = 1000 * (sleeve.past_wrist_m - flat.past_wrist_m + STRAIGHTER_M)
        arm = f"{1000 * (room.extra_girth_m - flat.sleeve_extra_m):+6.0f}" if room else "     -"
        print(f"{height:6.2f} {hem_mm:+5.0f} {end_mm:+11.0f} {arm:>10}", flush=True)


if __name__ == "__main__":
    main()
