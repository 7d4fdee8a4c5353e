# SPDX-License-Identifier: GPL-3.0-or-later
"""The installed extension in bpy: a drape in the scene, in the making, and its manners."""

import inspect
from types import ModuleType

import bpy
import numpy as np
import pytest

from .installed import COARSE_M, Extension, handlers, positions_m, snapshot, step_until_shown

pytestmark = pytest.mark.addon

SMALL_WORDS = {"a", "as", "in", "into", "or", "the", "to", "and"}
OPERATORS = tuple(
    f"operators.{name}"
    for name in (
        "drape",
        "start",
        "variants",
        "files",
        "presets",
        "pictures",
        "assets",
        "sheets",
        "onward",
    )
)
PARTS = {"Napfold Mannequin", "Napfold Outer Cloth", "Napfold Lining"}


@pytest.fixture(scope="module")
def session_module(extension: Extension) -> ModuleType:
    return extension("blender_addon.session")


def forget_drape() -> None:
    """Leave only what is seen of the drape, so that the next one starts anew."""
    del bpy.data.collections["Napfold Standing"]["napfold_drape"]


class TestDrape:
    def test_puts_a_dressed_mannequin_into_the_scene(self, draped: bpy.types.Scene) -> None:
        assert set(bpy.data.objects.keys()) == PARTS
        body = positions_m("Napfold Mannequin")
        outer, lining = positions_m("Napfold Outer Cloth"), positions_m("Napfold Lining")
        assert np.ptp(body[:, 2]) == pytest.approx(1.68, abs=0.02)
        assert body[:, 2].min() == pytest.approx(0.0, abs=1e-6)
        assert outer.shape == lining.shape
        # half of 1 1/2 yd hangs below the shoulders, which are about four fifths of the height
        assert 0.5 < outer[:, 2].min() < 0.95
        assert outer[:, 2].max() == pytest.approx(1.68 * 0.83, abs=0.08)

    def test_tells_what_was_measured(self, draped: bpy.types.Scene) -> None:
        told = draped.napfold.findings.splitlines()
        assert told[0].startswith("Length: the back hem lands ")
        weight = next(line for line in told if line.startswith("Weight"))
        # 850 g/m² and 260 g/m² on at least the body part, 0.66 m by 1.37 m
        assert 0.9 < float(weight.split()[1]) < 2.3
        assert weight.endswith("kg")

    def test_again_in_another_unit_scale_replaces_the_drape_by_the_same_garment(
        self, draped: bpy.types.Scene, session_module: ModuleType
    ) -> None:
        metric, before = positions_m("Napfold Outer Cloth"), snapshot()
        bpy.data.objects["Napfold Outer Cloth"].name = "renamed by the user"
        forget_drape()
        draped.unit_settings.scale_length = 0.01
        assert draped.napfold.cut.length == pytest.approx(137.16)
        session = session_module.DrapeSession(draped, session_module.WITHOUT_PAUSE_S)
        session.step()
        session.keep()
        np.testing.assert_allclose(positions_m("Napfold Outer Cloth"), metric, atol=2e-6)
        after = snapshot()
        assert before.pop("meshes").keys() == after.pop("meshes").keys()
        assert after == before

        drape, outcome = session.result.drape, session.result.outcome
        np.testing.assert_allclose(positions_m("Napfold Outer Cloth"), drape.outer, atol=1e-6)
        np.testing.assert_allclose(positions_m("Napfold Lining"), drape.lining, atol=1e-6)
        np.testing.assert_allclose(positions_m("Napfold Mannequin"), drape.body.vertices, atol=1e-6)
        # cloth mass times the area of the flat pattern, told to two decimals
        told = next(line for line in draped.napfold.findings.splitlines() if "Weight" in line)
        area_m2 = outcome.fit.mass.layer_area_m2
        assert float(told.split()[1]) == pytest.approx(area_m2 * (0.850 + 0.260), abs=0.006)

    def test_the_next_drape_in_the_scene_goes_on_from_the_last_even_in_a_file_opened_anew(
        self,
        draped: bpy.types.Scene,
        session_module: ModuleType,
        monkeypatch: pytest.MonkeyPatch,
    ) -> None:
        usual, starts = session_module.settle, []

        def noted(*choices: object, earlier: object) -> object:
            starts.append(earlier)
            return usual(*choices, earlier=earlier)

        monkeypatch.setattr(session_module, "settle", noted)
        session = session_module.DrapeSession(draped, session_module.WITHOUT_PAUSE_S)
        session.step()
        np.testing.assert_allclose(starts[0].outer, positions_m("Napfold Outer Cloth"), atol=1e-6)
        session.keep()
        draped.napfold.pose = "arms out"  # nothing to go on from in that pose
        session = session_module.DrapeSession(draped, 0.0)
        while len(starts) < 2:
            session.step()
        session.cancel()
        assert starts[1] is None

    def test_flat_positions_are_the_texture_coordinate(self, draped: bpy.types.Scene) -> None:
        mesh = bpy.data.objects["Napfold Outer Cloth"].data
        texture = np.zeros(2 * len(mesh.loops), dtype=np.float32)
        mesh.uv_layers[0].uv.foreach_get("vector", texture)
        across, along = texture.reshape(-1, 2).T
        # 58 in and 1 1/2 yd, half an inch turned in at every hem and sleeve end
        assert np.ptp(across) == pytest.approx(1.4732 - 0.0254, abs=1e-5)
        assert np.ptp(along) == pytest.approx(1.3716 - 0.0254, abs=1e-5)

    def test_an_impossible_setting_greys_the_button_out(self, scene: bpy.types.Scene) -> None:
        scene.napfold.cut.body_width = 0.35
        assert not bpy.ops.napfold.drape.poll()
        scene.napfold.cut.body_width = 0.66
        assert bpy.ops.napfold.drape.poll()


def live_m(kind: str) -> np.ndarray:
    """Places of a part of the cloth on its way."""
    home = bpy.data.collections["Napfold Draping"]
    return positions_m(next(thing.name for thing in home.objects if thing["napfold_part"] == kind))


class TestSession:
    def test_cancel_leaves_everything_as_it_was(
        self, draped: bpy.types.Scene, session_module: ModuleType
    ) -> None:
        before = snapshot()
        draped.napfold.cut.length = 1.2
        session = session_module.DrapeSession(draped, budget_s=0.0)
        step_until_shown(session)
        for _ in range(2):
            session.step()
            session.show()
        assert bpy.data.collections["Napfold Standing"].hide_viewport
        session.cancel()
        assert snapshot() == before

    def test_the_cloth_on_its_way_survives_deletion_and_undo(
        self, scene: bpy.types.Scene, session_module: ModuleType
    ) -> None:
        scene.napfold.edge_length = COARSE_M
        bpy.ops.ed.undo_push(message="before")
        session = session_module.DrapeSession(scene, budget_s=0.0)
        step_until_shown(session)
        bpy.data.objects.remove(bpy.data.objects["Napfold Outer Cloth"])
        session.show()
        assert "Napfold Outer Cloth" in bpy.data.objects
        bpy.ops.ed.undo_push(message="a step of the user")
        bpy.ops.ed.undo()
        session.step()
        session.show()
        session.cancel()
        assert list(bpy.data.objects) == []

    def test_a_file_saved_meanwhile_holds_what_was_there_before(
        self,
        draped: bpy.types.Scene,
        session_module: ModuleType,
        extension: Extension,
        tmp_path: object,
    ) -> None:
        before, operator = snapshot(), extension("blender_addon.operators.drape").NAPFOLD_OT_drape
        session = operator.running = session_module.DrapeSession(draped, budget_s=0.0)
        step_until_shown(session)
        path = str(tmp_path / "meanwhile.blend")
        bpy.ops.wm.save_as_mainfile(filepath=path, copy=True)
        session.step()
        session.show()
        assert "Napfold Draping" in bpy.data.collections
        session.cancel()
        operator.running = None
        bpy.ops.wm.open_mainfile(filepath=path)
        assert snapshot() == before

    def test_stop_keeps_the_cloth_as_it_hangs(
        self, draped: bpy.types.Scene, session_module: ModuleType
    ) -> None:
        forget_drape()
        session = session_module.DrapeSession(draped, budget_s=0.0)
        step_until_shown(session)
        session.step()
        session.show()
        shown = live_m("outer")
        session.stop()
        assert set(bpy.data.objects.keys()) == PARTS - {"Napfold Lining"}  # one sheet so far
        np.testing.assert_array_equal(positions_m("Napfold Outer Cloth"), shown)
        assert "nothing was measured" in draped.napfold.findings
        assert session.finished

    def test_stop_keeps_both_layers_where_they_are_parted(
        self, draped: bpy.types.Scene, session_module: ModuleType
    ) -> None:
        session = session_module.DrapeSession(draped, budget_s=0.0)
        while session.progress[1] != "Settling both layers":
            session.step()
        session.stop()
        assert set(bpy.data.objects.keys()) == PARTS
        outer, lining = positions_m("Napfold Outer Cloth"), positions_m("Napfold Lining")
        assert 0.0 < np.linalg.norm(outer - lining, axis=1).max() < 0.1

    def test_a_scene_that_is_gone_is_told(
        self, scene: bpy.types.Scene, session_module: ModuleType
    ) -> None:
        scene.napfold.edge_length = COARSE_M
        session = session_module.DrapeSession(scene, budget_s=0.0)
        bpy.data.scenes.new("another")
        bpy.data.scenes.remove(scene)
        with pytest.raises(session_module.SolverError, match="scene"):
            step_until_shown(session)
        session.cancel()


class TestManners:
    @pytest.fixture
    def parts(self, extension: Extension) -> list[type]:
        """All classes that the extension registers."""
        modules = ("settings", *OPERATORS, "panels.numbers", "panels.results")
        return [
            part
            for inside in modules
            for part in vars(extension(f"blender_addon.{inside}")).values()
            if inspect.isclass(part)
            and part.__name__.startswith(("Napfold", "NAPFOLD"))
            and issubclass(part, bpy.types.bpy_struct)
        ]

    def test_operators_are_told_as_blender_tells_its_own(self, parts: list[type]) -> None:
        operators = {part for part in parts if issubclass(part, bpy.types.Operator)}
        assert len(operators) == 20
        for operator in operators:
            words = set(operator.bl_label.split()) - SMALL_WORDS
            assert all(word[0].isupper() for word in words), operator.bl_label
            assert operator.__doc__
            assert "\n" not in operator.__doc__
            assert operator.__doc__[-1].isalnum()
        drape = next(part for part in operators if part.bl_idname == "napfold.drape")
        assert drape.bl_options == {"UNDO"}

    def test_properties_have_tooltips_labels_and_bounds(self, parts: list[type]) -> None:
        seen = 0
        for part in parts:
            if not issubclass(part, bpy.types.PropertyGroup):
                continue
            for name in part.__annotations__:
                entry = part.bl_rna.properties[name]
                if entry.type == "POINTER":
                    continue
                seen += 1
                assert entry.description, name
                assert entry.description[-1] != ".", name
                words = set(entry.name.split()) - SMALL_WORDS
                assert all(word[0].isupper() for word in words), entry.name
                if entry.type == "FLOAT":
                    assert entry.hard_max < 1e7, name
                    assert entry.hard_min <= entry.soft_min < entry.soft_max <= entry.hard_max, name
                    units = {"ANGLE", "DISTANCE", "FACTOR", "COLOR_GAMMA", "NONE"}
                    assert entry.subtype in units, name
        assert seen >= 60

    def test_disable_and_enable_leave_nothing_behind_and_bring_everything_back(
        self, scene: bpy.types.Scene, extension: Extension
    ) -> None:
        scene.napfold.cut.length = 1.2
        before = handlers()
        bpy.ops.preferences.addon_disable(module=extension("").__name__)
        assert not hasattr(bpy.types.Scene, "napfold")
        assert not hasattr(bpy.types.WindowManager, "napfold")
        left = [name for name in dir(bpy.types) if name.lower().startswith("napfold")]
        assert left == []
        bpy.ops.preferences.addon_enable(module=extension("").__name__)
        assert bpy.context.scene.napfold.cut.length == pytest.approx(1.2)
        assert handlers() == before
