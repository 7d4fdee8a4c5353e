# SPDX-License-Identifier: GPL-3.0-or-later
"""Clicks through the job in a real Blender window, as a maker would; run by Blender itself.

blender --enable-event-simulate --python drive.py, with the extension installed and these in the
environment: NAPFOLD_TOLD where to write what happened (JSON), NAPFOLD_PICTURES a folder for
pictures of the screen, taken where the program scrot is there. Each step gives the seconds to wait.
"""

import json
import os
import shutil
import subprocess
import sys
import time
import traceback
from collections.abc import Iterator
from pathlib import Path

import bpy

TOLD = Path(os.environ["NAPFOLD_TOLD"])
PICTURES = os.environ.get("NAPFOLD_PICTURES", "")
EDGE_M = 0.05
MOST_SCROLLS, SCROLL_NOTCHES = 9, 5
MOST_DRAPE_S = 600.0

Steps = Iterator[float]
told: dict[str, object] = {"clicks": 0, "done": False}


def window() -> bpy.types.Window:
    return bpy.context.window_manager.windows[0]


def area() -> bpy.types.Area:
    return next(one for one in window().screen.areas if one.type == "VIEW_3D")


def sidebar() -> bpy.types.Region:
    return next(one for one in area().regions if one.type == "UI")


def event(kind: str, value: str, x: int, y: int) -> None:
    window().event_simulate(type=kind, value=value, x=x, y=y)


def picture(name: str) -> None:
    if PICTURES and shutil.which("scrot"):
        subprocess.run(["scrot", "-o", f"{PICTURES}/{name}.png"], check=True)


def under_pointer() -> str:
    """The Python command of the button under the pointer, or nothing."""
    over = {"window": window(), "screen": window().screen, "area": area(), "region": sidebar()}
    with bpy.context.temp_override(**over):
        if not bpy.ops.ui.copy_python_command_button.poll():
            return ""
        bpy.ops.ui.copy_python_command_button()
        return bpy.context.window_manager.clipboard


def press(command: str) -> Steps:
    """Find the button of a command in the sidebar, scrolling down to it, and click it."""
    region = sidebar()
    x = region.x + region.width // 3
    event("MOUSEMOVE", "NOTHING", x, region.y + region.height // 2)
    yield 0.3
    for _ in range(MOST_SCROLLS):
        for y in range(region.y + region.height - 6, region.y + 6, -9):
            event("MOUSEMOVE", "NOTHING", x, y)
            yield 0.06
            if command in under_pointer():
                event("MOUSEMOVE", "NOTHING", x, y - 5)
                yield 0.3
                told["clicks"] += 1
                event("LEFTMOUSE", "PRESS", x, y - 5)
                event("LEFTMOUSE", "RELEASE", x, y - 5)
                yield 0.5
                return
        for _ in range(SCROLL_NOTCHES):
            event("WHEELDOWNMOUSE", "PRESS", x, region.y + region.height // 2)
        yield 0.5
    raise LookupError(f"No button of the sidebar does {command}")


def to_the_top() -> Steps:
    region = sidebar()
    x, y = region.x + region.width // 3, region.y + region.height // 2
    event("MOUSEMOVE", "NOTHING", x, y)
    yield 0.2
    for _ in range(MOST_SCROLLS * SCROLL_NOTCHES):
        event("WHEELUPMOUSE", "PRESS", x, y)
    yield 0.5


def until_draped() -> Steps:
    began_s = time.monotonic()
    while bpy.context.window_manager.napfold.running:
        if time.monotonic() - began_s > MOST_DRAPE_S:
            raise TimeoutError("The drape did not end")
        yield 0.2


def steps() -> Steps:
    bpy.context.preferences.view.show_splash = False
    yield 1.0
    event("ESC", "PRESS", 200, 400)
    event("ESC", "RELEASE", 200, 400)
    area().spaces.active.show_region_ui = True
    yield 0.5
    told["clicks"] += 1  # the tab
    sidebar().active_panel_category = "Napfold"
    area().tag_redraw()
    yield 0.8
    picture("1_first")
    began_s = time.monotonic()
    yield from press("napfold.start")
    window().scene.napfold.edge_length = EDGE_M
    told["started"] = bpy.context.window_manager.napfold.running
    yield 2.0
    picture("2_draping")
    yield from until_draped()
    yield 0.5
    picture("3_draped")
    yield from press("napfold.variant_add")
    told["clicks"] += 1  # the number is clicked, then typed
    window().scene.napfold.cut.length_words = "1 yd"
    yield 0.5
    picture("4_changed")
    yield from to_the_top()
    yield from press("napfold.drape")
    yield from until_draped()
    yield from press("napfold.variant_add")
    yield 0.5
    picture("5_compared")
    told["seconds"] = time.monotonic() - began_s
    told["variants"] = [one.title for one in window().scene.napfold.variants]
    yield from to_the_top()
    yield from press("napfold.turn")
    yield 1.0
    told["turned"] = window().scene.napfold.turned
    event("ESC", "PRESS", 200, 400)
    event("ESC", "RELEASE", 200, 400)
    yield 1.5
    told["running_after_escape"] = bpy.context.window_manager.napfold.running
    told["collections"] = sorted(bpy.data.collections.keys())
    picture("6_escaped")
    told["done"] = True


def tick(running: Steps = steps()) -> float | None:  # noqa: B008  (one run)
    try:
        return next(running)
    except StopIteration:
        pass
    except Exception:
        told["error"] = traceback.format_exc()
    TOLD.write_text(json.dumps(told, indent=2), encoding="utf-8")
    sys.stdout.flush()
    bpy.ops.wm.quit_blender()
    return None


bpy.app.timers.register(tick, first_interval=0.5, persistent=True)
