# SPDX-License-Identifier: GPL-3.0-or-later
"""What users do to a scene in between: delete, rename, undo, scale, reload, switch off."""

from pathlib import Path
from types import ModuleType

import bpy
import numpy as np
import pytest

from .installed import COARSE_M, Extension, handlers, positions_m

pytestmark = pytest.mark.addon


@pytest.mark.parametrize("gone", ["Napfold Outer Cloth", "Napfold Lining", "Napfold Mannequin"])
def test_deleted_parts_are_missed_by_nothing(
    draped: bpy.types.Scene, extension: Extension, gone: str
) -> None:
    content = extension("blender_addon.overlay.content")
    bpy.data.objects.remove(bpy.data.objects[gone])
    settings = draped.napfold
    settings.show_hem = settings.show_room = settings.show_section = True
    content.content_of(draped)
    settings.colouring = "STAND_OFF"
    settings.outer.colour = (0.1, 0.2, 0.3)
    assert bpy.ops.napfold.variant_add() == {"FINISHED"}
    assert bpy.ops.napfold.variant_restore() == {"FINISHED"}
    settings.edge_length = COARSE_M
    assert bpy.ops.napfold.drape() == {"FINISHED"}
    kinds = {thing["napfold_part"] for thing in extension("blender_addon.figures").parts_of(draped)}
    assert kinds == {"body", "outer", "lining"}


def test_a_deleted_collection_is_made_again(draped: bpy.types.Scene) -> None:
    for collection in list(bpy.data.collections):
        bpy.data.collections.remove(collection)
    draped.napfold.edge_length = COARSE_M
    assert bpy.ops.napfold.drape() == {"FINISHED"}
    assert "Napfold Standing" in bpy.data.collections


def test_renamed_and_moved_things_are_still_ours(
    draped: bpy.types.Scene, extension: Extension
) -> None:
    bench = extension("blender_addon.bench")
    for number, thing in enumerate(bpy.data.objects):
        thing.name = f"mine {number}"
    for number, collection in enumerate(bpy.data.collections):
        collection.name = f"ours {number}"
    assert bench.present(draped).drape is not None
    assert bpy.ops.napfold.variant_add() == {"FINISHED"}
    draped.napfold.pose = "sitting"
    assert bench.present(draped) is None
    draped.napfold.pose = "standing"
    assert not bench.present(draped).collection.hide_viewport


def test_jobs_of_two_scenes_do_not_meet(draped: bpy.types.Scene, extension: Extension) -> None:
    bench = extension("blender_addon.bench")
    other = bpy.data.scenes.new("another job")
    other.napfold.cut.length_words = "1 yd"
    assert draped.napfold.cut.length_words == "137.16 cm"
    assert bench.in_view(other) == []
    bpy.context.window.scene = other
    other.napfold.edge_length = COARSE_M
    assert bpy.ops.napfold.drape() == {"FINISHED"}
    assert len(bench.in_view(other)) == len(bench.in_view(draped)) == 1
    assert bench.present(other).drape is not bench.present(draped).drape


def test_several_jobs_share_a_scene_as_variants(
    draped: bpy.types.Scene, extension: Extension
) -> None:
    bpy.ops.napfold.variant_add()
    path = Path(__file__).resolve().parents[2] / "sample_avatars/jobs/larch_hut_metric.toml"
    assert bpy.ops.napfold.job_open(filepath=str(path)) == {"FINISHED"}
    opened = draped.napfold.title
    assert opened != "My wrap"
    draped.napfold.variant = 0
    assert bpy.ops.napfold.variant_restore() == {"FINISHED"}
    assert draped.napfold.title == "My wrap"
    draped.napfold.variant = len(draped.napfold.variants) - 1
    assert bpy.ops.napfold.variant_restore() == {"FINISHED"}
    assert draped.napfold.title == opened


@pytest.mark.parametrize(
    ("system", "scale_length"),
    [("METRIC", 1.0), ("METRIC", 0.01), ("METRIC", 0.001), ("IMPERIAL", 0.3048)],
)
def test_one_garment_in_every_scale(
    draped: bpy.types.Scene, extension: Extension, system: str, scale_length: float
) -> None:
    figures = extension("blender_addon.figures")
    figure = figures.figures(draped)[0]
    drape, packed = figure.drape, bytes(figure.collection[figures.DRAPE])
    fields = extension("core.fields").Fields(*(np.zeros(len(drape.outer)) for _ in range(3)))
    draped.unit_settings.system, draped.unit_settings.scale_length = system, scale_length
    key = figures.Key("standing", False)
    figures.put_figure(draped, key, drape, packed, ("", ""), {}, fields)
    np.testing.assert_allclose(positions_m("Napfold Outer Cloth"), drape.outer, atol=2e-6)
    extension("blender_addon.bench").show(draped)
    content = extension("blender_addon.overlay.content").content_of(draped)
    heights_m = dict(content.segments())["ruler"][..., 2]
    assert 1.6 < heights_m.max() < 2.0  # metres, whatever the scene counts in


def test_undo_in_the_middle_of_a_drape_ends_in_a_whole_scene(
    draped: bpy.types.Scene, extension: Extension
) -> None:
    session_module: ModuleType = extension("blender_addon.session")
    bpy.ops.ed.undo_push(message="before")
    bpy.context.scene.napfold.cut.length_words = "130 cm"
    bpy.ops.ed.undo_push(message="shorter")
    session = session_module.DrapeSession(bpy.context.scene, session_module.WITHOUT_PAUSE_S)
    bpy.ops.ed.undo()
    session.step()
    session.keep()
    scene = bpy.context.scene
    bench = extension("blender_addon.bench")
    assert len(bench.in_view(scene)) == 1
    # the panel is back at the earlier number, and says that the drape is of another one
    assert scene.napfold.cut.length_words == "137.16 cm"
    assert bench.stale(scene)


def test_switching_off_and_on_keeps_what_is_there(
    draped: bpy.types.Scene, extension: Extension
) -> None:
    bpy.ops.napfold.variant_add()
    before, name = handlers(), extension("").__name__
    timers = extension("blender_addon.bodies")
    bpy.ops.preferences.addon_disable(module=name)
    assert not bpy.app.timers.is_registered(timers._tick)
    assert len([thing for thing in bpy.data.objects if thing.type == "MESH"]) == 6
    bpy.ops.preferences.addon_enable(module=name)
    assert handlers() == before
    bench = extension("blender_addon.bench")
    scene = bpy.context.scene
    assert [label for label, _ in bench.in_view(scene)] == ["My wrap", "137.2 cm, long pile"]
    assert bench.present(scene).drape is not None


def test_the_manifest_asks_for_files_alone(extension: Extension) -> None:
    import tomllib

    folder = Path(extension("").__file__).parent
    manifest = tomllib.loads(folder.joinpath("blender_manifest.toml").read_text("utf-8"))
    assert set(manifest["permissions"]) == {"files"}
