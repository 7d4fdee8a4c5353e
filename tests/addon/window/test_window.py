# SPDX-License-Identifier: GPL-3.0-or-later
"""The whole job by clicks in a real window, where a Blender binary is given.

NAPFOLD_BLENDER names the binary; without a screen the program xvfb-run gives it one. With
NAPFOLD_PICTURES, a folder, pictures of the screen are left there.
"""

import json
import os
import shutil
import subprocess
from pathlib import Path

import pytest

BLENDER = os.environ.get("NAPFOLD_BLENDER", "")
MOST_S = 2400
JOB = Path(__file__).resolve().parents[3] / "sample_avatars" / "jobs" / "larch_hut.toml"

pytestmark = [
    pytest.mark.addon,
    pytest.mark.skipif(not BLENDER, reason="NAPFOLD_BLENDER names no Blender binary"),
]


def test_from_nothing_to_a_compared_pair_in_few_clicks(extension_zip: Path, tmp_path: Path) -> None:
    told = tmp_path / "told.json"
    screen = [] if os.environ.get("DISPLAY") else ["xvfb-run", "-a", "-s", "-screen 0 1600x1000x24"]
    if screen and shutil.which(screen[0]) is None:
        pytest.skip("there is no screen, and no xvfb-run to make one")
    install = ("--command", "extension", "install-file", "--repo", "user_default", "--enable")
    command = [
        *screen,
        BLENDER,
        "--enable-event-simulate",
        "--window-geometry",
        *("0", "0", "1600", "1000"),
        "--python",
        str(Path(__file__).with_name("drive.py")),
    ]
    environment = os.environ | {
        "BLENDER_USER_RESOURCES": str(tmp_path / "blender"),
        "NAPFOLD_TOLD": str(told),
        "NAPFOLD_JOB": str(JOB),
    }
    subprocess.run([BLENDER, *install, str(extension_zip)], env=environment, check=True)
    subprocess.run(command, env=environment, timeout=MOST_S, check=True)
    found = json.loads(told.read_text(encoding="utf-8"))
    assert "error" not in found, found["error"]
    assert found["done"]
    assert found["started"]
    assert len(found["variants"]) == 2
    # from nothing to a compared pair and a picture; the seconds are the machine's, and only told
    assert found["clicks_to_picture"] <= 10
    print({name: value for name, value in found.items() if "seconds" in name})  # noqa: T201
    assert any(name.endswith((", front", ", side", ", back")) for name in found["images"])
    assert found["turned"]
    # Esc leaves nothing on its way behind
    assert not found["running_after_escape"]
    assert "Napfold Draping" not in found["collections"]
    assert found["set_started"]
    assert found["others_wait"]
    # two shots of each of two variants, and both side by side
    assert len(found["whole_set"]["files"]) == 5
    assert not found["whole_set"]["failed"]
    # the window that Blender opened for the renders is closed, however the set ends
    assert found["whole_set"]["windows"] == found["broken_set"]["windows"] == 1
    # a picture that cannot be put in its place ends the set, and that is told
    assert found["broken_set"]["failed"]
    assert found["broken_set"]["told"]
    assert "Napfold Picture" not in found["broken_set"]["scenes"]
    assert found["dropped"] == "Larch Hut reading wrap"
