# SPDX-License-Identifier: GPL-3.0-or-later
"""Numbers in the panel and the core's job: the same in every unit, typed or dragged, either way."""

from pathlib import Path
from types import ModuleType

import bpy
import numpy as np
import pytest

from .installed import Extension

pytestmark = pytest.mark.addon

ROOT = Path(__file__).resolve().parents[2]
JOBS = sorted(ROOT.joinpath("sample_avatars/jobs").glob("*.toml"))


@pytest.fixture(scope="module")
def jobs(extension: Extension) -> ModuleType:
    return extension("blender_addon.jobs")


@pytest.mark.parametrize("scale_length", [1.0, 0.01, 0.001, 0.3048])
def test_entered_in_any_scale_the_job_is_the_same(
    scene: bpy.types.Scene, jobs: ModuleType, scale_length: float
) -> None:
    expected = jobs.job_of(scene)
    scene.unit_settings.scale_length = scale_length
    for group, names in (
        (scene.napfold.cut, jobs.CUT),
        (scene.napfold.wearer, jobs.TAPE),
    ):
        for name in names:
            setattr(group, name, getattr(group, name))
    assert jobs.job_of(scene) == expected
    scene.napfold.cut.length = 1.0 / scale_length
    assert jobs.job_of(scene).cut.length_m == 1.0


def test_a_measure_of_nought_is_estimated(scene: bpy.types.Scene, jobs: ModuleType) -> None:
    assert set(jobs.job_of(scene).tape.given) == {"height", "bust_girth"}
    scene.napfold.wearer.hip_girth = 1.04
    assert jobs.job_of(scene).tape.given["hip_girth"] == 1.04
    scene.napfold.wearer.hip_girth = 0.0
    assert set(jobs.job_of(scene).tape.given) == {"height", "bust_girth"}


def test_the_pose_is_draped_in(scene: bpy.types.Scene, jobs: ModuleType) -> None:
    assert jobs.job_of(scene).poses == ("standing",)
    scene.napfold.pose = "reading in bed"
    assert jobs.job_of(scene).poses == ("reading in bed",)


def test_complaints_speak_the_scenes_units(
    scene: bpy.types.Scene, jobs: ModuleType, extension: Extension
) -> None:
    errors = extension("core.errors")
    scene.napfold.cut.sleeve_drop = 1.0
    with pytest.raises(errors.InputError, match=r"100\.0 cm"):
        jobs.job_of(scene)
    scene.unit_settings.system = "IMPERIAL"
    with pytest.raises(errors.InputError, match=r"39 .*in"):
        jobs.job_of(scene)


def test_settings_are_saved_with_the_file(scene: bpy.types.Scene, tmp_path: object) -> None:
    scene.napfold.cut.length = 1.25
    scene.napfold.outer.kind = "microfleece"
    path = str(tmp_path / "scene.blend")
    bpy.ops.wm.save_as_mainfile(filepath=path)
    bpy.ops.wm.read_homefile(app_template="")
    assert bpy.context.scene.napfold.cut.length == pytest.approx(1.3716)
    bpy.ops.wm.open_mainfile(filepath=path)
    assert bpy.context.scene.napfold.cut.length == pytest.approx(1.25)
    assert bpy.context.scene.napfold.outer.kind == "microfleece"


@pytest.mark.parametrize(
    ("text", "expected_m"),
    [("1 1/2 yd", 1.3716), ("60 in", 1.524), ("5 ft 6 in", 1.6764), ("150 cm", 1.5), ("150", 1.5)],
)
def test_lengths_are_typed_as_they_are_said(
    scene: bpy.types.Scene, jobs: ModuleType, text: str, expected_m: float
) -> None:
    scene.unit_settings.scale_length = 0.001
    scene.napfold.cut.length_words = text
    assert scene.napfold.complaint == ""
    assert jobs.job_of(scene).cut.length_m == pytest.approx(expected_m, abs=1e-9)
    scene.unit_settings.system = "IMPERIAL"
    scene.napfold.cut.length_words = "60"
    assert scene.napfold.cut.length_words == "60 in"


def test_what_cannot_be_read_is_told_and_changes_nothing(
    scene: bpy.types.Scene, jobs: ModuleType
) -> None:
    before = jobs.job_of(scene)
    scene.napfold.cut.length_words = "a long one"
    assert "Bought Length" in scene.napfold.complaint
    assert jobs.job_of(scene) == before
    scene.napfold.cut.length_words = "1 yd"
    assert scene.napfold.complaint == ""


def without_variants(job: object) -> object:
    import dataclasses

    return dataclasses.replace(job, variants=())


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_a_job_file_goes_through_the_panel_unharmed(
    scene: bpy.types.Scene,
    extension: Extension,
    jobs: ModuleType,
    path: Path,
    tmp_path: Path,
) -> None:
    core_job = extension("core.job")
    read = core_job.load_job(path)
    scene.unit_settings.scale_length = 0.01
    assert bpy.ops.napfold.job_open(filepath=str(path)) == {"FINISHED"}
    shown = jobs.job_of(scene)
    expected = without_variants(read)
    # the panel shows one pose; the numbers are kept to a micrometre
    assert jobs.text_of(shown).splitlines()[:2] == jobs.text_of(expected).splitlines()[:2]
    assert (shown.outer, shown.lining, shown.lay, shown.money) == (
        expected.outer,
        expected.lining,
        expected.lay,
        expected.money,
    )
    assert dict(shown.tape.given) == pytest.approx(dict(expected.tape.given), abs=1e-6)
    assert shown.cut == expected.cut
    assert [one.title for one in scene.napfold.variants] == [one.name for one in read.variants]
    target = tmp_path / "again.toml"
    assert bpy.ops.napfold.job_save(filepath=str(target)) == {"FINISHED"}
    again = core_job.load_job(target)
    for (name, job), (name_again, job_again) in zip(
        read.expand() if read.variants else (),
        again.expand() if again.variants else (),
        strict=True,
    ):
        assert name == name_again
        assert (job.cut, job.outer, job.lining) == (
            job_again.cut,
            job_again.outer,
            job_again.lining,
        )


def test_a_variant_without_what_the_panel_gives_is_saved_as_what_differs(
    scene: bpy.types.Scene, extension: Extension, jobs: ModuleType, tmp_path: Path
) -> None:
    settings = scene.napfold
    plain = jobs.job_of(scene)
    settings.wearer.hip_girth_words, settings.cut.wrist_opening_words = "104 cm", "40 cm"
    settings.outer.mass, settings.outer.colour = 640.0, (1.0, 0.2, 0.0)
    given = jobs.job_of(scene)
    assert given.tape.given["hip_girth"] == 1.04
    item = settings.variants.add()
    item.title, item.number, item.text = "as estimated", 1, jobs.text_of(plain)
    item = settings.variants.add()
    item.title, item.number, item.text = "as given", 2, jobs.text_of(given)
    target = tmp_path / "left_out.toml"
    assert bpy.ops.napfold.job_save(filepath=str(target)) == {"FINISHED"}
    (_, first), (_, second) = extension("core.job").load_job(target).expand()
    assert (first.tape, first.cut, first.outer) == (plain.tape, plain.cut, plain.outer)
    assert (second.tape, second.cut, second.outer) == (given.tape, given.cut, given.outer)


def test_a_bad_job_file_is_told_and_changes_nothing(
    scene: bpy.types.Scene, jobs: ModuleType, tmp_path: Path
) -> None:
    before, bad = jobs.numbers_of(scene), tmp_path / "bad.toml"
    bad.write_text(
        'name = "x"\nunits = "cm"\n[tape]\nheight = "9 m"\nbust_girth = "90 cm"\n', encoding="utf-8"
    )
    with pytest.raises(RuntimeError, match="height is"):
        bpy.ops.napfold.job_open(filepath=str(bad))
    assert jobs.numbers_of(scene) == before


def test_a_colour_is_kept_as_it_was_chosen(scene: bpy.types.Scene, jobs: ModuleType) -> None:
    kind = jobs.job_of(scene)
    assert kind.outer.colour is None
    np.testing.assert_allclose(scene.napfold.outer.colour, kind.outer_cloth.colour, atol=1e-6)
    scene.napfold.outer.colour = (1.0, 0.2, 0.0)
    assert jobs.job_of(scene).outer.colour == "#ff3300"


def test_a_print_goes_from_the_sidebar_to_the_job_and_back(
    scene: bpy.types.Scene, jobs: ModuleType, tmp_path: Path
) -> None:
    outer = scene.napfold.outer
    before = jobs.comparable_of(scene)
    outer.print, outer.print_repeat = "fern", 0.24
    outer.print_turn = np.pi / 2
    outer.print_colour = (1.0, 0.0, 0.0)
    motif = jobs.job_of(scene).outer.print
    assert (motif.kind, motif.repeat_m, motif.colours) == ("fern", 0.24, ("#ff0000",))
    assert motif.turn_rad == pytest.approx(np.pi / 2, abs=1e-6)
    assert jobs.job_of(scene).lining.print is None
    assert jobs.comparable_of(scene) == before  # it hangs as before: no drape is out of date
    path = tmp_path / "fern.toml"
    jobs.save_scene_job(scene, path)
    outer.print = "plain"
    assert jobs.job_of(scene).outer.print is None
    jobs.open_job(scene, path)
    assert jobs.job_of(scene).outer.print.kind == "fern"
    assert jobs.job_of(scene).outer.print.repeat_m == 0.24


def test_what_the_sidebar_does_not_show_of_a_print_is_kept(
    scene: bpy.types.Scene, jobs: ModuleType, tmp_path: Path
) -> None:
    path = tmp_path / "job.toml"
    text = (
        JOBS[0]
        .read_text("utf-8")
        .replace(
            "[cloth.lining]",
            '[cloth.outer.print]\nkind = "check"\nrepeat = "3 in"\noffset = "1 in x 2 in"\n'
            'turn = "30 deg"\ncolours = ["#102030", "#405060"]\n[cloth.lining]',
            1,
        )
    )
    path.write_text(text, "utf-8")
    loaded = jobs.open_job(scene, path)
    assert loaded.outer.print is not None
    assert jobs.job_of(scene).outer.print == loaded.outer.print


def test_a_photograph_gives_the_colour_in_the_sidebar(
    scene: bpy.types.Scene, jobs: ModuleType, tmp_path: Path
) -> None:
    path = tmp_path / "moss.png"
    image = bpy.data.images.new("moss", 64, 64)
    image.pixels.foreach_set(np.tile(np.float32([0.4, 0.6, 0.2, 1.0]), 64 * 64))
    image.filepath_raw, image.file_format = str(path), "PNG"
    image.save()
    outer = scene.napfold.outer
    outer.colour = (0.0, 0.0, 0.0)
    outer.photograph, outer.photograph_width = str(path), 0.25
    assert tuple(outer.colour) == pytest.approx((0.4, 0.6, 0.2), abs=0.01)
    choice = jobs.job_of(scene).outer
    assert choice.cloth().colour == pytest.approx((0.4, 0.6, 0.2), abs=0.01)
    assert choice.photograph.width_m == 0.25
    assert choice.cloth().print is None
    outer.photograph_tiled = True
    shown = jobs.job_of(scene).outer.cloth().print
    assert shown.mirrored
    assert shown.repeat_m == 0.25
    outer.photograph = str(tmp_path / "none.png")
    assert "none.png" in scene.napfold.complaint
    assert "none.png" in jobs.complaint_of(scene)[1]


def test_a_print_is_shown_on_the_wrap_in_view(draped_file: str, extension: Extension) -> None:
    bpy.ops.wm.open_mainfile(filepath=draped_file)
    scene = bpy.context.scene
    parts = extension("blender_addon.figures").parts_of(scene, ("outer",))
    (thing,) = parts
    scene.napfold.outer.print, scene.napfold.outer.print_repeat = "stripe", 0.2
    nodes = thing.active_material.node_tree.nodes
    (painted,) = (node for node in nodes if node.type == "TEX_IMAGE")
    assert painted.image.size[:] == (512, 512)
    place = np.zeros(len(thing.data.loops) * 2, dtype=np.float32)
    thing.data.uv_layers["place in the print"].uv.foreach_get("vector", place)
    # a cloth 147.32 cm wide holds so many repeats of 20 cm
    assert np.ptp(place.reshape(-1, 2)[:, 0]) == pytest.approx(1.4732 / 0.2, rel=0.03)
    scene.napfold.outer.print = "plain"
    assert not [node for node in nodes if node.type == "TEX_IMAGE"]
    assert thing.data.uv_layers.get("place in the print") is None


def test_labels_are_written_as_blender_writes_its_own(extension: Extension) -> None:
    titled = extension("blender_addon.language").titled
    assert titled("edge to edge") == "Edge to Edge"
    assert titled("on the fold") == "On the Fold"
    assert titled("V") == "V"
