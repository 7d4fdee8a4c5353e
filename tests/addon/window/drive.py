# SPDX-License-Identifier: GPL-3.0-or-later
"""Clicks through the job in a real Blender window, as a maker would; run by Blender itself.

blender --enable-event-simulate --python drive.py, with the extension installed and these in the
environment: NAPFOLD_TOLD where to write what happened (JSON), NAPFOLD_JOB a job file to drop into
the window, NAPFOLD_PICTURES a folder for pictures of the screen, taken where the program scrot is
there. Each step gives the seconds to wait.
"""

import importlib
import json
import os
import shutil
import subprocess
import sys
import time
import traceback
from collections.abc import Callable, Generator, Iterator
from dataclasses import replace
from pathlib import Path

import bpy

TOLD = Path(os.environ["NAPFOLD_TOLD"])
PICTURES = os.environ.get("NAPFOLD_PICTURES", "")
JOB = Path(os.environ["NAPFOLD_JOB"])
MOST_SCROLLS, SCROLL_NOTCHES = 9, 5
MOST_WAIT_S = 600.0
SMALL_PX = 64
AWAY = (200, 400)  # in the 3D view

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


def down_to(command: str) -> Generator[float, None, tuple[int, int]]:
    """Scroll down until the button of a command in the sidebar is there; gives a place on it."""
    region = sidebar()
    x = region.x + region.width // 3
    event("MOUSEMOVE", "NOTHING", x, region.y + region.height // 2)
    yield 0.3
    for _ in range(MOST_SCROLLS):
        for y in range(region.y + region.height - 6, region.y + 6, -9):
            event("MOUSEMOVE", "NOTHING", x, y)
            yield 0.06
            if command in under_pointer():
                return x, y - 5
        for _ in range(SCROLL_NOTCHES):
            event("WHEELDOWNMOUSE", "PRESS", x, region.y + region.height // 2)
        yield 0.5
    raise LookupError(f"No button of the sidebar does {command}")


def press(command: str) -> Steps:
    """Find the button of a command in the sidebar, scrolling down to it, and click it."""
    x, y = yield from down_to(command)
    event("MOUSEMOVE", "NOTHING", x, y)
    yield 0.3
    told["clicks"] += 1
    event("LEFTMOUSE", "PRESS", x, y)
    event("LEFTMOUSE", "RELEASE", x, y)
    yield 0.3
    event("MOUSEMOVE", "NOTHING", *AWAY)  # or a tooltip lies over the pictures
    yield 0.2


def to_the_top() -> Steps:
    region = sidebar()
    x, y = region.x + region.width // 3, region.y + region.height // 2
    event("MOUSEMOVE", "NOTHING", x, y)
    yield 0.2
    for _ in range(MOST_SCROLLS * SCROLL_NOTCHES):
        event("WHEELUPMOUSE", "PRESS", x, y)
    yield 0.5


def until(ended: Callable[[], bool], what: str) -> Steps:
    """Wait, and tell how long that took, by the clock and by the processors."""
    began_s, used_s = time.monotonic(), time.process_time()
    while not ended():
        if time.monotonic() - began_s > MOST_WAIT_S:
            raise TimeoutError(f"Without an end: {what}")
        yield 0.2
    told[f"seconds of {what}"] = round(time.monotonic() - began_s, 1)
    told[f"processor seconds of {what}"] = round(time.process_time() - used_s, 1)


def idle() -> bool:
    return not bpy.context.window_manager.napfold.running


def within(name: str) -> object:
    """A module of the installed extension."""
    return importlib.import_module(f"bl_ext.user_default.napfold.{name}")


def take_the_set(folder: Path, spoil: Callable[[], None] | None = None) -> Steps:
    """Two small pictures of the wrap in the panel by the task that the button starts."""
    scene, progress = window().scene, bpy.context.window_manager.napfold
    choice, jobs = within("core.pictures.choice"), within("blender_addon.jobs")
    choice.SIZES_PX["square"] = (SMALL_PX, SMALL_PX)
    wanted = choice.PictureChoice(shots=("front", "back"))
    jobs.put_job(scene, replace(jobs.job_of(scene), pictures=wanted))
    folder.mkdir()
    with bpy.context.temp_override(window=window(), area=area()):
        bpy.ops.napfold.picture_set("EXEC_DEFAULT", directory=str(folder))
    yield 0.1
    told["set_started"] = progress.running and progress.pictures
    with bpy.context.temp_override(window=window(), area=area()):
        told["others_wait"] = not bpy.ops.napfold.variant_add.poll()
    if spoil is not None:
        spoil()
    yield from until(idle, f"the set {folder.name}")
    told[folder.name] = {
        "files": sorted(path.name for path in folder.rglob("*.png")) if folder.is_dir() else [],
        "told": progress.pictures_told,
        "failed": progress.pictures_failed,
        "scenes": sorted(bpy.data.scenes.keys()),
        "windows": len(bpy.context.window_manager.windows),
    }


def look_closer() -> Steps:
    """Pictures of what is drawn on request, and of a number that cannot be."""
    own = window().scene.napfold
    own.colouring = "ALONG"
    x, y = yield from down_to("napfold.variant_add")
    for _ in range(SCROLL_NOTCHES):
        event("WHEELDOWNMOUSE", "PRESS", x, y)
    yield 0.5
    picture("9_coloured")
    own.colouring = "CLOTH"
    own.show_hem = own.show_room = own.show_section = True
    yield 0.5
    picture("10_lines")
    own.show_hem = own.show_room = own.show_section = False
    own.typed, own.cut.sleeve_drop_words = True, "18 cm"
    yield from to_the_top()
    picture("11_wrong_number")
    own.typed, own.cut.sleeve_drop_words = False, "26 cm"


def drop(path: Path) -> Steps:
    """What Blender does where a file is dragged into the 3D view."""
    region = next(one for one in area().regions if one.type == "WINDOW")
    with bpy.context.temp_override(window=window(), area=area(), region=region):
        bpy.ops.wm.drop_import_file(
            "INVOKE_DEFAULT", directory=str(path.parent), files=[{"name": path.name}]
        )
    yield 1.0
    told["dropped"] = window().scene.napfold.title


def steps() -> Steps:
    bpy.context.preferences.view.show_splash = False
    yield 1.0
    event("ESC", "PRESS", *AWAY)
    event("ESC", "RELEASE", *AWAY)
    area().spaces.active.show_region_ui = True
    yield 0.5
    told["clicks"] += 1  # the tab
    sidebar().active_panel_category = "Napfold"
    area().tag_redraw()
    yield 0.8
    picture("1_first")
    began_s = time.monotonic()
    yield from press("napfold.start")
    told["started"] = bpy.context.window_manager.napfold.running
    yield 2.0
    picture("2_draping")
    yield from until(idle, "the first drape")
    yield 0.5
    picture("3_draped")
    yield from press("napfold.variant_add")
    told["clicks"] += 1  # the number is clicked, then typed
    window().scene.napfold.cut.length_words = "1 yd"
    yield 0.5
    picture("4_changed")
    yield from to_the_top()
    yield from press("napfold.drape")
    yield from until(idle, "the second drape")
    yield from press("napfold.variant_add")
    yield 0.5
    picture("5_compared")
    told["seconds_compared"] = round(time.monotonic() - began_s, 1)
    yield from press("napfold.picture(")
    yield from until(lambda: not bpy.app.is_job_running("RENDER"), "the picture")
    yield 1.5
    picture("6_picture")
    told["seconds"] = round(time.monotonic() - began_s, 1)
    told["images"] = [one.name for one in bpy.data.images if one.packed_file is not None]
    told["clicks_to_picture"] = told["clicks"]
    told["variants"] = [one.title for one in window().scene.napfold.variants]
    yield from to_the_top()
    yield from press("napfold.turn")
    yield 1.0
    told["turned"] = window().scene.napfold.turned
    event("ESC", "PRESS", *AWAY)
    event("ESC", "RELEASE", *AWAY)
    yield 1.5
    told["running_after_escape"] = bpy.context.window_manager.napfold.running
    told["collections"] = sorted(bpy.data.collections.keys())
    picture("7_escaped")
    window().scene.napfold.turned = False
    yield 0.5
    yield from take_the_set(TOLD.parent / "whole_set")
    broken = TOLD.parent / "broken_set"
    yield from take_the_set(
        broken, lambda: shutil.rmtree(broken) or broken.write_text("in the way")
    )
    yield 0.5
    picture("8_failed_set")
    yield from look_closer()
    yield from drop(JOB)
    picture("12_dropped")
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
