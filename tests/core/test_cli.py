# SPDX-License-Identifier: GPL-3.0-or-later
"""The command, with a stand-in for the settling: cloth bent round the body instead of draped."""

import json
import os
from collections.abc import Callable, Generator
from pathlib import Path

import numpy as np
import pytest
from napfold.core import blender_process
from napfold.core import wearer as wearer_module
from napfold.core import workshop as workshop_module
from napfold.core.cli import FINE, STEP_FAILED, WRONG_INPUT, main
from napfold.core.cloth import library
from napfold.core.drape import Drape, Progress, load_drape
from napfold.core.errors import SolverError
from napfold.core.files import slug
from napfold.core.job import load_job
from napfold.core.mannequin import Mannequin, build_mannequin
from napfold.core.preview import singles
from napfold.core.tape import Tape

from .bent_round import JOB, bent_round, command


@pytest.fixture
def job_file(tmp_path: Path) -> Path:
    path = tmp_path / "wrap.toml"
    path.write_text(JOB, encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def mannequin() -> Mannequin:
    return build_mannequin(Tape(given={"height": 1.68, "bust_girth": 0.96}))


@pytest.fixture
def bent(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(workshop_module, "settle", bent_round)


@pytest.fixture
def stand_in(bent: None, monkeypatch: pytest.MonkeyPatch, mannequin: Mannequin) -> None:
    # the same body for all tests, since it takes a second to build
    monkeypatch.setattr(wearer_module, "build_mannequin", lambda tape: mannequin)


@pytest.fixture
def camera(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[str], None]:
    """Put a photographer of our own in the place of Blender's: a module with these lines."""

    def install(lines: str) -> None:
        (tmp_path / "camera.py").write_text(lines, encoding="utf-8")
        path = os.pathsep.join([str(tmp_path), *filter(None, [os.environ.get("PYTHONPATH")])])
        monkeypatch.setenv("PYTHONPATH", path)
        monkeypatch.setattr(blender_process, "PICTURES_MODULE", "camera")
        monkeypatch.setattr(blender_process.importlib.util, "find_spec", lambda name: object())

    return install


@pytest.mark.usefixtures("stand_in")
def test_preview_writes_every_drape_and_one_report(
    job_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    assert command(job_file, out, "--no-pictures") == FINE
    assert sorted(path.name for path in out.iterdir()) == [
        "fit.json",
        "long",
        "measures.csv",
        "report.html",
        "short",
    ]
    lengths = {}
    for folder in ("short", "long"):
        assert sorted(path.name for path in (out / folder).iterdir()) == ["drape.npz", "job.toml"]
        lengths[folder] = load_job(out / folder / "job.toml").cut.length_m
        drape = load_drape(out / folder / "drape.npz")
        # half an inch is turned in at each hem
        sewn_m = lengths[folder] - 2 * 0.0127
        assert np.ptp(drape.panel.flat[:, 1]) == pytest.approx(sewn_m)
    assert lengths == {"short": 1.0, "long": 1.4}
    fits = json.loads((out / "fit.json").read_text(encoding="utf-8"))["variants"]
    heights = [one["fit"]["hem"]["centre_back"]["height_m"] for one in fits]
    # half of 40 cm hangs behind
    assert heights[0] - heights[1] == pytest.approx(0.2, abs=1e-6)
    told = capsys.readouterr()
    assert told.err == ""
    for step in (
        "Short: building the mannequin",
        "Short: bending",
        "Long!: measuring",
        "Writing fit.json",
    ):
        assert step in told.out
    # the drape's own complaint reaches the terminal
    assert told.out.count("this is a stand-in") == 2
    assert "Pictures were not asked for." in (out / "report.html").read_text(encoding="utf-8")


@pytest.mark.usefixtures("stand_in")
def test_a_sweep_drapes_one_number_in_steps_and_plots_it(job_file: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    number = ("--number", "cut.length", "--values", "100 cm, 120 cm, 140 cm")
    options = ("--out", str(out), "--edge-length", "30 mm", "--no-pictures")
    assert main(["sweep", str(job_file), *options, *number]) == FINE
    found = json.loads((out / "fit.json").read_text(encoding="utf-8"))["variants"]
    assert [one["name"] for one in found] == ["length 100 cm", "length 120 cm", "length 140 cm"]
    heights = [one["fit"]["hem"]["centre_back"]["height_m"] for one in found]
    # half of each 20 cm hangs behind
    assert np.diff(heights) == pytest.approx([-0.1, -0.1], abs=1e-6)
    page = (out / "report.html").read_text(encoding="utf-8")
    assert "Hem at the centre back over the floor against length" in page
    bad = ("--number", "cut.length", "--values", "long")
    assert main(["sweep", str(job_file), *options, *bad]) == WRONG_INPUT


@pytest.mark.usefixtures("stand_in")
def test_advice_and_reach_are_tried_on_drapes(job_file: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    job_file.write_text(f'{JOB}\n[wish]\nhem = "60 cm"\n', encoding="utf-8")
    assert command(job_file, out, "--no-pictures", "--advice", "--reach") == FINE
    for one in json.loads((out / "fit.json").read_text(encoding="utf-8"))["variants"]:
        held = {check["name"]: check["holds"] for check in one["checks"]}
        assert not held["hem as wished"]
        tried = {advice["mends"]: advice for advice in one["advice"]}
        longer = tried["hem as wished"]
        # the stand-in hangs straight: half of what is added hangs behind, and lands as wished
        assert longer["changes"] == "cut.length"
        assert longer["mended"]
        assert longer["fit"]["hem"]["centre_back"]["height_m"] == pytest.approx(0.60, abs=0.01)
        below_m = one["fit"]["hem"]["centre_back"]["height_m"] - 0.60
        assert longer["to_m"] - one["cut"]["length_m"] == pytest.approx(2 * below_m, abs=0.01)
        assert longer["more_cloth_m"] > 0
        # it hangs alike whatever the arms do
        assert one["reach"]["degrees"] is None
        assert len(one["reach"]["tried"]) == 4
    page = (out / "report.html").read_text(encoding="utf-8")
    assert "Tried on a drape, least cloth first" in page


@pytest.mark.usefixtures("stand_in")
def test_ranges_drape_the_cloth_at_its_ends(job_file: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert command(job_file, out, "--no-pictures", "--ranges") == FINE
    assert load_job(out / "short" / "job.toml").ranges
    told = json.loads((out / "fit.json").read_text(encoding="utf-8"))["variants"][0]["range"]
    assert told["draped"]
    draped = [cause for cause in told["causes"] if cause["draped"]]
    assert 1 <= len(draped) <= 3
    # the stand-in lengthens by thickness alone
    cloth = library()["long pile"]
    moves = {cause["doubt"]["figure"]: cause["hem_m"] for cause in draped}
    expected = [cloth.thickness_m - end for end in cloth.range_of("thickness_m")]
    assert moves.pop("thickness_m") == pytest.approx(expected)
    assert np.abs(list(moves.values())).max() < 1e-9
    page = (out / "report.html").read_text(encoding="utf-8")
    assert "19 of 20 cloths" in page


@pytest.mark.usefixtures("stand_in")
def test_an_end_that_cannot_be_draped_is_estimated(
    job_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def thin_only(*given: object, **more: object) -> Generator[Progress, None, Drape]:
        if given[1].thickness_m > library()["long pile"].thickness_m:
            raise SolverError("The stand-in is too thick.")
        return (yield from bent_round(*given, **more))

    monkeypatch.setattr(workshop_module, "settle", thin_only)
    out = tmp_path / "out"
    assert command(job_file, out, "--no-pictures", "--ranges") == FINE
    told = json.loads((out / "fit.json").read_text(encoding="utf-8"))["variants"][0]["range"]
    by_thickness = told["causes"][0]
    assert (by_thickness["doubt"]["figure"], by_thickness["draped"]) == ("thickness_m", False)
    # the stand-in hangs higher at the low end; at the high end the estimate stands
    cloth = library()["long pile"]
    low_m = cloth.thickness_m - cloth.range_of("thickness_m")[0]
    assert by_thickness["hem_m"] == pytest.approx([low_m, by_thickness["doubt"]["hem_m"]])
    assert by_thickness["doubt"]["hem_m"] > 0


@pytest.mark.slow
def test_real_cloth_hangs_lower_by_half_of_what_is_added(job_file: Path, tmp_path: Path) -> None:
    assert command(job_file, tmp_path / "out", "--no-pictures", "--edge-length", "55 mm") == FINE
    fits = json.loads((tmp_path / "out" / "fit.json").read_text(encoding="utf-8"))["variants"]
    short, long = (one["fit"] for one in fits)
    for place in ("left_side", "right_side"):
        longer_m = short["hem"][place]["height_m"] - long["hem"][place]["height_m"]
        # half of 40 cm hangs in front and half behind; the hem may flare on the hip
        assert longer_m == pytest.approx(0.20, abs=0.05)
    for fit in (short, long):
        # seams and cloth hold: the hung length is the flat one within the cloth's stretch
        assert fit["back"]["along_cloth_m"] == pytest.approx(fit["back"]["flat_m"], rel=0.05)
        assert fit["back"]["drop_m"] <= fit["back"]["along_cloth_m"]
        elbow = fit["sleeves"]["left"]["room"]["elbow"]
        # no sleeve can be wider inside than twice its drop
        assert 0 < elbow["extra_girth_m"] < 2 * 0.22 - elbow["arm_girth_m"]


@pytest.mark.usefixtures("stand_in")
def test_pictures_are_taken_in_a_process_of_their_own(
    job_file: Path,
    tmp_path: Path,
    camera: Callable[[str], None],
    capsys: pytest.CaptureFixture[str],
) -> None:
    camera(
        "import pathlib, sys\n"
        "for folder in map(pathlib.Path, sys.argv[1:]):\n"
        "    assert (folder / 'drape.npz').is_file() and (folder / 'job.toml').is_file()\n"
        "    print('front of', folder.name, flush=True)\n"
        "    (folder / 'front.png').write_bytes(b'picture')\n"
    )
    assert command(job_file, tmp_path / "out") == FINE
    page = (tmp_path / "out" / "report.html").read_text(encoding="utf-8")
    assert page.count("data:image/png;base64,cGljdHVyZQ==") == 2
    assert "Taking pictures: front of long" in capsys.readouterr().out


@pytest.mark.usefixtures("stand_in")
def test_failed_pictures_leave_the_report_and_a_status(
    job_file: Path,
    tmp_path: Path,
    camera: Callable[[str], None],
    capsys: pytest.CaptureFixture[str],
) -> None:
    camera("import sys\nsys.exit('no light in the hut')\n")
    assert command(job_file, tmp_path / "out") == STEP_FAILED
    sentence = "Not all pictures could be made: no light in the hut"
    assert sentence in capsys.readouterr().err
    assert sentence in (tmp_path / "out" / "report.html").read_text(encoding="utf-8")


@pytest.mark.usefixtures("stand_in")
def test_without_blender_the_report_says_so(
    job_file: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(blender_process.importlib.util, "find_spec", lambda name: None)
    assert command(job_file, tmp_path / "out") == STEP_FAILED
    assert blender_process.NO_BLENDER in capsys.readouterr().err
    assert (tmp_path / "out" / "report.html").is_file()


@pytest.mark.usefixtures("stand_in")
def test_a_drape_that_fails_is_named_and_leaves_no_old_result(
    job_file: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    def tears(*chosen: object) -> Generator[Progress, None, Drape]:
        yield Progress(0.1, "tearing", None)
        raise SolverError("The cloth tore. Use a shorter edge length.")

    out = tmp_path / "out"
    (out / "short").mkdir(parents=True)
    for stale in ("report.html", "fit.json", "short/drape.npz", "short/front.png"):
        (out / stale).write_text("of yesterday")
    monkeypatch.setattr(workshop_module, "settle", tears)
    assert command(job_file, out) == STEP_FAILED
    message = "Short could not be draped. The cloth tore. Use a shorter edge length.\n"
    assert capsys.readouterr().err == message
    assert [path for path in out.rglob("*") if path.is_file()] == []


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ('sleeve_drop = "80 cm"', "cut.sleeve_drop"),
        ("sleeve_drop = 22", "cut.sleeve_drop"),
        ('sleeve_drip = "22 cm"', "sleeve_drop"),
        ("sleeve_drop = ", "not a TOML file"),
    ],
)
def test_a_wrong_job_is_told_in_one_message(
    job_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], wrong: str, told: str
) -> None:
    job_file.write_text(JOB.replace('sleeve_drop = "22 cm"', wrong), encoding="utf-8")
    assert command(job_file, tmp_path / "out") == WRONG_INPUT
    message = capsys.readouterr().err
    assert told in message
    assert "Traceback" not in message
    assert message.count("\n") == 1
    assert not (tmp_path / "out").exists()


@pytest.mark.usefixtures("stand_in")
def test_a_missing_job_and_a_wrong_edge_length_are_wrong_input(
    job_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert command(tmp_path / "nowhere.toml", tmp_path / "out") == WRONG_INPUT
    assert "nowhere.toml" in capsys.readouterr().err
    assert command(job_file, tmp_path / "out", "--edge-length", "15") == WRONG_INPUT
    assert "--edge-length" in capsys.readouterr().err
    assert command(job_file, tmp_path / "out", "--edge-length", "15 m") == WRONG_INPUT
    assert "edge length" in capsys.readouterr().err


@pytest.mark.usefixtures("stand_in")
def test_a_folder_that_cannot_be_made_is_wrong_input(
    job_file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    # a file stands where the folder should be
    assert command(job_file, job_file, "--no-pictures") == WRONG_INPUT
    assert "Choose another" in capsys.readouterr().err


def test_folder_names_are_plain_and_do_not_clash(job_file: Path) -> None:
    text = JOB.replace('"Long!"', '"short?"').replace(
        "[cut]", '[drape]\nposes = ["standing", "reaching up"]\n[cut]'
    )
    job_file.write_text(text, encoding="utf-8")
    found = list(singles(load_job(job_file)))
    assert [one.slug for one in found] == [
        "short-standing",
        "short-reaching-up",
        "short-standing-2",
        "short-reaching-up-2",
    ]
    assert [one.job.poses for one in found] == [("standing",), ("reaching up",)] * 2
    assert slug("Größe Nr. 1 – ½ yd") == "gr-e-nr-1-yd"
    assert slug("…") == "variant"
    assert len(slug("long name " * 20)) <= 60


def test_help_names_the_verb(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["--help"])
    assert stopped.value.code == 0
    assert "preview" in capsys.readouterr().out
