# SPDX-License-Identifier: GPL-3.0-or-later
"""The installed extension in bpy: its interface, its one operator, its manners."""

import inspect
from collections.abc import Callable
from types import ModuleType

import bpy
import numpy as np
import pytest

pytestmark = pytest.mark.addon

Extension = Callable[[str], ModuleType]

COARSE_M = 0.05


def snapshot() -> dict[str, object]:
    """All that a drape could change in a file, down to the bits of the meshes."""
    meshes = {}
    for mesh in bpy.data.meshes:
        positions = np.zeros(3 * len(mesh.vertices), dtype=np.float32)
        mesh.attributes["position"].data.foreach_get("vector", positions)
        meshes[mesh.name] = positions.tobytes()
    return {
        "meshes": meshes,
        "objects": {
            thing.name: (thing.hide_viewport, thing.data.name) for thing in bpy.data.objects
        },
        "collections": {one.name: sorted(one.objects.keys()) for one in bpy.data.collections},
        "materials": sorted(bpy.data.materials.keys()),
        "findings": bpy.context.scene.napfold.findings,
    }


def handlers() -> dict[str, list[object]]:
    """Everything that is called by Blender on its own."""
    names = [name for name in dir(bpy.app.handlers) if not name.startswith("_")]
    entries = {name: getattr(bpy.app.handlers, name) for name in names}
    return {name: list(entry) for name, entry in entries.items() if isinstance(entry, list)}


def positions_m(name: str) -> np.ndarray:
    thing = bpy.data.objects[name]
    values = np.zeros(3 * len(thing.data.vertices), dtype=np.float32)
    thing.data.attributes["position"].data.foreach_get("vector", values)
    return values.reshape(-1, 3) * bpy.context.scene.unit_settings.scale_length


def step_until_shown(session: object) -> None:
    while "Napfold Draping" not in bpy.data.objects:
        session.step()
        session.show()


@pytest.fixture(scope="module")
def session_module(extension: Extension) -> ModuleType:
    return extension("blender_addon.session")


@pytest.fixture(scope="module")
def settings(extension: Extension) -> ModuleType:
    return extension("blender_addon.settings")


@pytest.fixture(scope="module")
def draped_file(extension: Extension, tmp_path_factory: pytest.TempPathFactory) -> str:
    """A file with one coarse drape."""
    bpy.ops.wm.read_homefile(app_template="", use_empty=True)
    bpy.context.scene.napfold.edge_length = COARSE_M
    assert bpy.ops.napfold.drape() == {"FINISHED"}
    path = str(tmp_path_factory.mktemp("draped") / "draped.blend")
    bpy.ops.wm.save_as_mainfile(filepath=path)
    return path


@pytest.fixture
def draped(draped_file: str) -> bpy.types.Scene:
    """The scene of that file, opened anew."""
    bpy.ops.wm.open_mainfile(filepath=draped_file)
    return bpy.context.scene


class TestDrape:
    def test_puts_a_dressed_mannequin_into_the_scene(self, draped: bpy.types.Scene) -> None:
        assert set(bpy.data.objects.keys()) == {
            "Napfold Mannequin",
            "Napfold Outer Cloth",
            "Napfold Lining",
        }
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
        draped.unit_settings.scale_length = 0.01
        assert draped.napfold.cut.length == pytest.approx(137.16)
        session = session_module.DrapeSession(draped, session_module.WITHOUT_PAUSE_S)
        session.step()
        session.keep()
        np.testing.assert_allclose(positions_m("Napfold Outer Cloth"), metric, atol=2e-6)
        after = snapshot()
        assert before.pop("meshes").keys() == after.pop("meshes").keys()
        assert after == before

        drape, outcome = session.result
        np.testing.assert_allclose(positions_m("Napfold Outer Cloth"), drape.outer, atol=1e-6)
        np.testing.assert_allclose(positions_m("Napfold Lining"), drape.lining, atol=1e-6)
        np.testing.assert_allclose(positions_m("Napfold Mannequin"), drape.body.vertices, atol=1e-6)
        # cloth mass times the area of the flat pattern, told to two decimals
        told = next(line for line in draped.napfold.findings.splitlines() if "Weight" in line)
        area_m2 = outcome.fit.mass.layer_area_m2
        assert float(told.split()[1]) == pytest.approx(area_m2 * (0.850 + 0.260), abs=0.006)

    def test_the_next_drape_in_the_scene_goes_on_from_the_last(
        self,
        scene: bpy.types.Scene,
        session_module: ModuleType,
        monkeypatch: pytest.MonkeyPatch,
    ) -> None:
        usual, starts = session_module.settle, []

        def noted(*choices: object, earlier: object) -> object:
            starts.append(earlier)
            return usual(*choices, earlier=earlier)

        monkeypatch.setattr(session_module, "settle", noted)
        scene.napfold.edge_length = COARSE_M
        for _ in range(2):
            session = session_module.DrapeSession(scene, session_module.WITHOUT_PAUSE_S)
            session.step()
            session.keep()
        assert starts[0] is None
        assert starts[1] is not None
        assert session_module.DrapeSession.latest == (scene.session_uid, session.result[0])

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
        assert bpy.data.objects["Napfold Lining"].hide_viewport
        session.cancel()
        assert snapshot() == before

    def test_the_cloth_on_its_way_survives_deletion_and_undo(
        self, scene: bpy.types.Scene, session_module: ModuleType
    ) -> None:
        scene.napfold.edge_length = COARSE_M
        bpy.ops.ed.undo_push(message="before")
        session = session_module.DrapeSession(scene, budget_s=0.0)
        step_until_shown(session)
        bpy.data.objects.remove(bpy.data.objects["Napfold Draping"])
        session.show()
        assert "Napfold Draping" in bpy.data.objects
        bpy.ops.ed.undo_push(message="a step of the user")
        bpy.ops.ed.undo()
        session.step()
        session.show()
        session.cancel()
        assert list(bpy.data.objects) == []

    def test_stop_keeps_the_cloth_as_it_hangs(
        self, draped: bpy.types.Scene, session_module: ModuleType
    ) -> None:
        session = session_module.DrapeSession(draped, budget_s=0.0)
        step_until_shown(session)
        session.step()
        session.show()
        shown = positions_m("Napfold Draping")
        session.stop()
        assert list(bpy.data.objects.keys()) == ["Napfold Outer Cloth"]
        np.testing.assert_array_equal(positions_m("Napfold Outer Cloth"), shown)
        assert "nothing was measured" in draped.napfold.findings
        assert session.finished

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


class TestSettings:
    @pytest.mark.parametrize("scale_length", [1.0, 0.01, 0.001, 0.3048])
    def test_entered_in_any_scale_the_job_is_the_same(
        self, scene: bpy.types.Scene, settings: ModuleType, scale_length: float
    ) -> None:
        expected = settings.job_of(scene)
        scene.unit_settings.scale_length = scale_length
        for group, names in (
            (scene.napfold.cut, settings.CUT_LENGTHS),
            (scene.napfold.wearer, settings.TAPE_LENGTHS),
        ):
            for name in names:
                setattr(group, name, getattr(group, name))
        assert settings.job_of(scene) == expected
        scene.napfold.cut.length = 1.0 / scale_length
        assert settings.job_of(scene).cut.length_m == 1.0

    def test_a_measure_of_nought_is_estimated(
        self, scene: bpy.types.Scene, settings: ModuleType
    ) -> None:
        assert set(settings.job_of(scene).tape.given) == {"height", "bust_girth"}
        scene.napfold.wearer.hip_girth = 1.04
        assert settings.job_of(scene).tape.given["hip_girth"] == 1.04
        scene.napfold.wearer.hip_girth = 0.0
        assert set(settings.job_of(scene).tape.given) == {"height", "bust_girth"}

    def test_the_pose_is_draped_in(self, scene: bpy.types.Scene, settings: ModuleType) -> None:
        assert settings.job_of(scene).poses == ("standing",)
        scene.napfold.pose = "reading in bed"
        assert settings.job_of(scene).poses == ("reading in bed",)

    def test_complaints_speak_the_scenes_units(
        self, scene: bpy.types.Scene, settings: ModuleType, extension: Extension
    ) -> None:
        errors = extension("core.errors")
        scene.napfold.cut.sleeve_drop = 1.0
        with pytest.raises(errors.InputError, match=r"100\.0 cm"):
            settings.job_of(scene)
        scene.unit_settings.system = "IMPERIAL"
        with pytest.raises(errors.InputError, match=r"39 .*in"):
            settings.job_of(scene)

    def test_settings_are_saved_with_the_file(
        self, scene: bpy.types.Scene, tmp_path: object
    ) -> None:
        scene.napfold.cut.length = 1.25
        scene.napfold.outer = "microfleece"
        path = str(tmp_path / "scene.blend")
        bpy.ops.wm.save_as_mainfile(filepath=path)
        bpy.ops.wm.read_homefile(app_template="")
        assert bpy.context.scene.napfold.cut.length == pytest.approx(1.3716)
        bpy.ops.wm.open_mainfile(filepath=path)
        assert bpy.context.scene.napfold.cut.length == pytest.approx(1.25)
        assert bpy.context.scene.napfold.outer == "microfleece"


class TestManners:
    @pytest.fixture
    def parts(self, extension: Extension) -> list[type]:
        """All classes that the extension registers."""
        modules = ("settings", "operators.drape", "panels.sidebar")
        return [
            part
            for inside in modules
            for part in vars(extension(f"blender_addon.{inside}")).values()
            if inspect.isclass(part) and part.__name__.startswith(("Napfold", "NAPFOLD"))
        ]

    def test_operators_are_told_as_blender_tells_its_own(self, parts: list[type]) -> None:
        operators = {part for part in parts if issubclass(part, bpy.types.Operator)}
        assert {part.bl_idname for part in operators} == {
            "napfold.drape",
            "napfold.stop",
            "napfold.cancel",
        }
        for operator in operators:
            assert operator.bl_label == operator.bl_label.title()
            assert operator.__doc__
            assert "\n" not in operator.__doc__
            assert operator.__doc__[-1].isalnum()
        drape = next(part for part in operators if part.bl_idname == "napfold.drape")
        assert drape.bl_options == {"REGISTER", "UNDO"}

    def test_properties_have_tooltips_labels_and_bounds(self, parts: list[type]) -> None:
        small_words = {"in", "or", "to"}
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
                words = set(entry.name.split()) - small_words
                assert all(word[0].isupper() for word in words), entry.name
                if entry.type == "FLOAT":
                    assert entry.hard_max < 1e7, name
                    assert entry.hard_min <= entry.soft_min < entry.soft_max <= entry.hard_max, name
                    assert entry.subtype in {"DISTANCE", "FACTOR"}, name
        assert seen >= 20

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
