# SPDX-License-Identifier: GPL-3.0-or-later
"""What the panels show in each state, drawn on a layout that only takes notes."""

from collections.abc import Iterator
from types import ModuleType, SimpleNamespace

import bpy
import pytest

from .installed import Extension
from .spoken import ours

pytestmark = pytest.mark.addon

ICONS = set(bpy.types.UILayout.bl_rna.functions["label"].parameters["icon"].enum_items.keys())


class Layout:
    """Takes notes of all that is drawn; parts of it share one notebook."""

    def __init__(self, notes: list[tuple[str, str]]) -> None:
        object.__setattr__(self, "notes", notes)

    def __setattr__(self, name: str, value: object) -> None:
        self.notes.append(("alert", str(value))) if name == "alert" and value else None

    def _part(self, *_: object, **__: object) -> "Layout":
        return Layout(self.notes)

    row = column = box = split = _part

    def label(self, *, text: str = "", icon: str = "NONE", translate: bool = True) -> None:
        assert icon in ICONS, icon
        self.notes.append(("label", text))

    def prop(self, data: object, name: str, *, icon: str = "NONE", **_: object) -> None:
        assert icon in ICONS, icon
        assert name in data.bl_rna.properties, name
        self.notes.append(("prop", name))

    def operator(
        self, name: str, *, text: str = "", icon: str = "NONE", **_: object
    ) -> SimpleNamespace:
        assert icon in ICONS, icon
        module, short = name.split(".")
        assert getattr(getattr(bpy.ops, module), short).get_rna_type() is not None
        self.notes.append(("operator", name))
        return SimpleNamespace()

    def progress(self, *, factor: float, text: str, type: str) -> None:
        self.notes.append(("progress", text))

    def template_list(self, kind: str, *_: object, **__: object) -> None:
        assert hasattr(bpy.types, kind)
        self.notes.append(("list", kind))

    def popover(self, **_: object) -> None:
        self.notes.append(("popover", ""))


class Drawn:
    """An instance of a panel, which Blender alone can make, as far as its own code sees it."""

    def __init__(self, kind: type, layout: Layout) -> None:
        self.kind, self.layout = kind, layout

    def __getattr__(self, name: str) -> object:
        value = getattr(self.kind, name)
        return value.__get__(self) if callable(value) else value


def panels() -> Iterator[type]:
    yield from (
        kind for kind in ours(bpy.types.Panel) if getattr(kind, "bl_category", "") == "Napfold"
    )


def drawn(scene: bpy.types.Scene, *, running: bool = False) -> dict[str, list[tuple[str, str]]]:
    """Panel to the notes of what it shows, in the order in which they are registered."""
    progress = SimpleNamespace(
        running=running,
        fraction=0.3,
        text="Coming to rest",
        seconds_left=9,
        pictures=False,
        pictures_told="2 of 3 pictures in the folder",
        pictures_failed=False,
    )
    context = SimpleNamespace(
        scene=scene,
        preferences=SimpleNamespace(system=SimpleNamespace(ui_scale=1.0)),
        region=SimpleNamespace(width=300),
        window_manager=SimpleNamespace(napfold=progress),
    )
    found = {}
    for kind in panels():
        parent = getattr(kind, "bl_parent_id", "").removeprefix("NAPFOLD_PT_")
        if not kind.poll(context) or (parent and parent not in found):
            continue
        notes: list[tuple[str, str]] = []
        panel = Drawn(kind, Layout(notes))
        kind.draw(panel, context)
        if hasattr(kind, "draw_header_preset"):
            notes.append(("presets", kind.__name__))
        found[kind.__name__.removeprefix("NAPFOLD_PT_")] = notes
    return found


@pytest.fixture(scope="module")
def bench(extension: Extension) -> ModuleType:
    return extension("blender_addon.bench")


def test_before_the_first_wrap_there_is_the_first_button_alone(scene: bpy.types.Scene) -> None:
    found = drawn(scene)
    assert list(found) == ["start"]
    buttons = [name for what, name in found["start"] if what == "operator"]
    assert buttons == ["napfold.start", "napfold.start", "napfold.job_open"]


def test_then_the_panels_stand_in_the_order_of_the_job(scene: bpy.types.Scene) -> None:
    bpy.ops.napfold.start(units="CENTIMETRES")
    found = drawn(scene)
    order = [name for name in found if name in {"job", "wearer", "cloth", "cut", "drape", "view"}]
    assert order == ["job", "wearer", "cloth", "cut", "drape", "view"]
    assert {"fit", "cautions", "start", "checks"}.isdisjoint(found)
    assert not any(what == "progress" for notes in found.values() for what, _ in notes)
    assert ("operator", "napfold.drape") in found["drape"]
    # the fronts lie edge to edge on a fold: no overlap, no slope to choose
    props = {name for notes in found.values() for what, name in notes if what == "prop"}
    assert {"front_overlap", "shoulder_drop", "section_height"}.isdisjoint(props)
    scene.napfold.cut.shoulder = "seamed"
    scene.napfold.cut.front = "overlapping"
    scene.napfold.show_section = scene.napfold.typed = True
    props = {name for notes in drawn(scene).values() for what, name in notes if what == "prop"}
    assert {"front_overlap_words", "shoulder_drop_words", "section_height_words"} <= props


def test_what_is_wrong_stands_under_its_number(scene: bpy.types.Scene) -> None:
    bpy.ops.napfold.start(units="INCHES")
    scene.napfold.cut.sleeve_drop_words = "6 in"
    notes = drawn(scene)["cut"]
    at = notes.index(("prop", "sleeve_drop"))
    assert notes[at - 1] == ("alert", "True")
    assert notes[at + 1][1].startswith("Sleeve Drop is 6 in")
    scene.napfold.cut.sleeve_drop_words = "8 in"
    found = drawn(scene)
    assert "checks" in found
    notes = found["cut"]
    below = notes[notes.index(("prop", "sleeve_drop")) + 1]
    assert below[0] == "label"
    assert below[1].endswith((": tight", ": too small"))
    told = " ".join(text for _, text in found["checks"])
    assert "cut." not in told  # remedies speak of labels
    assert "Sleeve Drop" in told


def test_a_draped_wrap_shows_fit_and_cautions(draped: bpy.types.Scene) -> None:
    found = drawn(draped)
    assert found["fit"][0][1].startswith("Length: ")
    assert any("Fire" in text for _, text in found["cautions"])
    draped.napfold.cut.length_words = "120 cm"
    told = " ".join(text for _, text in drawn(draped)["drape"])
    assert "earlier numbers" in told


def test_while_it_drapes_there_is_progress_and_the_way_out(draped: bpy.types.Scene) -> None:
    found = drawn(draped, running=True)
    # where the button was, and at the top of the tab, since not all of it fits on a small screen
    for name in ("drape", "job"):
        assert found[name][0] == ("progress", "Coming to rest")
        buttons = [words for what, words in found[name] if what == "operator"]
        assert buttons[:2] == ["napfold.stop", "napfold.cancel"]
    assert buttons[2:] == ["napfold.job_open", "napfold.job_save"]
    assert ("operator", "napfold.drape") not in found["drape"]


def test_the_table_tells_apart_what_differs(draped: bpy.types.Scene, bench: ModuleType) -> None:
    bpy.ops.napfold.variant_add()
    assert ("list", "NAPFOLD_UL_variants") in drawn(draped)["compare"]
    # the wrap in the panel is the variant: nothing to compare yet
    assert not any("Weight" in text for _, text in drawn(draped)["compare"])
    bpy.ops.napfold.variant_add()
    draped.napfold.variants[1].title = "another"
    table = " ".join(text for what, text in drawn(draped)["compare"] if what == "label")
    assert "Weight: " in table  # alike in both: told once
    assert "another" not in table
    assert [name for name, _ in bench.compared(draped)] == ["137.2 cm, long pile", "another"]
