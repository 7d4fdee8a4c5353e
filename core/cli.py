# SPDX-License-Identifier: GPL-3.0-or-later
"""The command ``napfold``.

Exit status: 0 everything was made; 2 the input is wrong (nothing was made); 3 a step failed.
"""

import argparse
import logging
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Protocol, TypeVar

from .buying import Wish
from .comparison import Telling
from .drape import EDGE_LENGTH_M
from .errors import FileError, InputError, NapfoldError
from .job import Job, load_job
from .making_files import write_making_sheets
from .mannequin.own_body import OwnBody
from .model_set import ModelSet, make_model_set
from .option_page import write_options
from .picture_set import PictureSet, make_pictures
from .picture_words import IN_A_LISTING
from .preview import Preview, preview
from .progress_lines import ProgressLines
from .report import verdict
from .swatch_report import swatch_lines
from .swatch_sheet_files import write_swatch_sheet
from .units import UNIT_SYSTEMS, parse_quantity
from .variants import Variant

__all__ = ["FINE", "STEP_FAILED", "WRONG_INPUT", "main"]

FINE, WRONG_INPUT, STEP_FAILED = 0, 2, 3
EXTRAS = ("ranges", "advice", "reach")


class _Result(Protocol):
    """What a verb that drapes made."""

    @property
    def failed(self) -> str:
        """What failed while the rest went on, or nothing."""


Made = TypeVar("Made", bound=_Result)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command; ``arguments`` are those of the process unless given."""
    logging.basicConfig(level=logging.WARNING, format="%(levelname)s: %(message)s")
    options = _parser().parse_args(arguments)
    run: Callable[[argparse.Namespace], int] = options.run
    return run(options)


def _swatch_sheet(options: argparse.Namespace) -> int:
    """Write the swatch sheet."""
    try:
        written = write_swatch_sheet(options.out)
    except NapfoldError as error:
        return _complain(error, STEP_FAILED)
    sys.stdout.write("Print at 100 %, one of these:\n")
    for path in written:
        if path.suffix == ".pdf":
            sys.stdout.write(f"  {path}\n")
    return FINE


def _swatch(options: argparse.Namespace) -> int:
    """Tell what is known of a job's cloths."""
    try:
        job = load_job(options.job)
    except (InputError, FileError) as error:
        return _complain(error, WRONG_INPUT)
    for line in swatch_lines(job):
        sys.stdout.write(f"{line}\n")
    return FINE


def _sheets(options: argparse.Namespace) -> int:
    """Write what the maker prints."""
    progress = ProgressLines(sys.stderr)
    doubts: list[str] = []
    try:
        job = load_job(options.job)
        if options.drape:
            job = replace(job, wish=replace(job.wish or Wish(), draped=True))
        made = write_making_sheets(
            job,
            options.out,
            large=options.large,
            together=options.together,
            tell=progress,
            warn=doubts.append,
        )
    except InputError as error:
        progress.close()
        return _complain(error, WRONG_INPUT)
    except NapfoldError as error:
        progress.close()
        return _complain(error, STEP_FAILED)
    progress.close()
    for words in doubts:
        sys.stderr.write(f"{words}\n")
    for path in made:
        sys.stdout.write(f"{path}\n")
    return FINE


def _options(options: argparse.Namespace) -> int:
    """Write the page of options."""
    try:
        page = write_options(options.out, options.units)
    except FileError as error:
        return _complain(error, STEP_FAILED)
    sys.stdout.write(f"{page}\n")
    return FINE


def _preview(options: argparse.Namespace) -> int:
    """Drape, measure and photograph a job."""

    def work(asked: _Asked, progress: ProgressLines) -> Preview:
        return preview(
            asked.job,
            options.out,
            asked.edge_length_m,
            say=progress,
            own=asked.own,
            pictures=options.pictures,
            in_a_row=options.number is not None,
        )

    def told(made: Preview) -> Iterator[str]:
        tell = Telling(made.report.units)
        for outcome in made.report.outcomes:
            yield f"\n{outcome.heading}"
            for about, words in verdict(outcome, tell).items():
                yield f"  {about}: {words}"
            for reason in outcome.reasons:
                yield f"    {tell.sentence(reason)}"
        yield f"\nReport: {made.page}"

    return _carry_out(options, work, told, "What was finished so far is kept.")


def _pictures(options: argparse.Namespace) -> int:
    """Take the set of product pictures of a job."""

    def work(asked: _Asked, progress: ProgressLines) -> PictureSet:
        return make_pictures(
            asked.job,
            options.out,
            asked.edge_length_m,
            say=progress,
            own=asked.own,
            quick=options.quick,
        )

    def told(made: PictureSet) -> Iterator[str]:
        for one in made.left_out:
            who = f" of {one.variant}" if one.variant else ""
            yield f"No {one.shot} picture{who}: {one.why}."
        yield f"{len(made.pictures)} pictures, {made.new} of them new: {options.out}"
        yield IN_A_LISTING

    kept = "What was finished is kept; the same command goes on from there."
    return _carry_out(options, work, told, kept)


def _model(options: argparse.Namespace) -> int:
    """Write each variant of a job as a model to turn about."""

    def work(asked: _Asked, progress: ProgressLines) -> ModelSet:
        return make_model_set(
            asked.job,
            options.out,
            asked.edge_length_m,
            say=progress,
            own=asked.own,
            mannequin=options.mannequin,
        )

    def told(made: ModelSet) -> Iterator[str]:
        yield from (str(folder) for folder in made.folders)
        yield IN_A_LISTING

    return _carry_out(options, work, told, "Drapes that were finished are kept.")


@dataclass(frozen=True, slots=True)
class _Asked:
    """What is draped: the job, the wearer's own body if it has one, and how finely."""

    job: Job
    own: OwnBody | None
    edge_length_m: float


def _asked(options: argparse.Namespace) -> _Asked:
    """What a verb that drapes asks for; `preview` and `sweep` ask for more than the others.

    Raises
    ------
    InputError, FileError
        It cannot be read or used.
    """
    job, more = load_job(options.job), vars(options)
    asked = {name: getattr(job, name) or more.get(name, False) for name in EXTRAS}
    job = replace(job, **asked)
    if more.get("number") is not None:
        job = _swept(job, options.number, options.values)
    own = None if job.body is None else job.body.load(job.tape.sex)
    return _Asked(job, own, parse_quantity("length", "--edge-length", options.edge_length))


def _carry_out(
    options: argparse.Namespace,
    work: Callable[[_Asked, ProgressLines], Made],
    told: Callable[[Made], Iterable[str]],
    kept: str,
) -> int:
    """Do the work of a verb that drapes and tell what it made; gives the exit status.

    ``kept`` is what is said of the results where the user stops it.
    """
    try:
        asked = _asked(options)
    except (InputError, FileError) as error:
        return _complain(error, WRONG_INPUT)
    progress = ProgressLines(sys.stdout)
    try:
        try:
            made = work(asked, progress)
        finally:
            progress.close()
    except NapfoldError as error:
        return _complain(error, WRONG_INPUT if isinstance(error, InputError) else STEP_FAILED)
    except KeyboardInterrupt:
        sys.stderr.write(f"Stopped. {kept}\n")
        return STEP_FAILED
    sys.stdout.writelines(f"{line}\n" for line in told(made))
    if made.failed:
        sys.stderr.write(f"{made.failed}\n")
    return STEP_FAILED if made.failed else FINE


def _swept(job: Job, number: str, values: str) -> Job:
    """The job itself with one number changed: a variant for each value."""
    told = [value.strip() for value in values.split(";" if ";" in values else ",")]
    words = number.rsplit(".", 1)[-1].replace("_", " ")
    return replace(
        job,
        variants=tuple(
            Variant(name=f"{words} {value}", changes={number: value}) for value in told if value
        ),
    )


def _complain(error: NapfoldError, status: int) -> int:
    sys.stderr.write(f"{error}\n")
    return status


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="napfold",
        description="Preview how a fold-over, two-layer pile wrap will hang, before it is cut.",
    )
    verbs = parser.add_subparsers(required=True, metavar="VERB")
    one = verbs.add_parser(
        "preview",
        help="drape, measure and photograph every variant of a job, and write a report",
        description="Drape, measure and photograph every variant of a job, and write a report.",
    )
    _draping(one)
    one.set_defaults(run=_preview, number=None)
    row = verbs.add_parser(
        "sweep",
        help="the same with one number changed in steps: a plot of hem or sleeve room against it",
        description="Drape, measure and photograph the job with one number changed in steps, each "
        "drape going on from the last. The report plots hem, sleeve room and ease against it and "
        "marks where the word for one changes. The job's own variants are left out.",
    )
    _draping(row)
    row.add_argument(
        "--number",
        required=True,
        metavar="KEY",
        help='what to change, as the job file has it, such as "cut.sleeve_drop"',
    )
    row.add_argument(
        "--values",
        required=True,
        metavar="LIST",
        help='its values, commas or semicolons between them, such as "6 in, 7 in, 8 in"',
    )
    row.set_defaults(run=_preview)
    listing = verbs.add_parser(
        "pictures",
        help="take the product pictures of every variant of a job, or go on with them",
        description="Take the product pictures that a job's table [pictures] asks for, of every "
        "variant, with a list of them (manifest.json, manifest.csv). Run again it makes only what "
        "is missing or changed.",
    )
    listing.add_argument("job", type=Path, metavar="JOB.toml", help="the job file")
    listing.add_argument(
        "--out", type=Path, required=True, metavar="DIR", help="folder for the pictures"
    )
    listing.add_argument("--quick", action="store_true", help="coarser pictures for a first look")
    _edge_length(listing)
    listing.set_defaults(run=_pictures)
    solid = verbs.add_parser(
        "model",
        help="write every variant of a job in 3D for a product page: GLB, USDZ and OBJ",
        description="Write every variant of a job in 3D, at true size, for a product page: GLB, USDZ "
        "and OBJ, each in a folder of its own.",
    )
    solid.add_argument("job", type=Path, metavar="JOB.toml", help="the job file")
    solid.add_argument(
        "--out", type=Path, required=True, metavar="DIR", help="folder for the models"
    )
    solid.add_argument("--mannequin", action="store_true", help="with the mannequin that wears it")
    _edge_length(solid)
    solid.set_defaults(run=_model)
    swatch = verbs.add_parser(
        "swatch",
        help="tell what is known of a job's cloths, and which swatch test to make next",
        description="Tell what is known of each cloth of a job, how well, what it means, and which "
        "swatch test to make next.",
    )
    swatch.add_argument("job", type=Path, metavar="JOB.toml", help="the job file")
    swatch.set_defaults(run=_swatch)
    making = verbs.add_parser(
        "sheets",
        help="write cutting plan, sewing order and templates of every variant of a job",
        description="Write cutting plan, sewing order and templates of every variant of a job, for A4 "
        "and for letter paper: as PDF, SVG and DXF, and one HTML page.",
    )
    making.add_argument("job", type=Path, metavar="JOB.toml", help="the job file")
    making.add_argument(
        "--out", type=Path, required=True, metavar="DIR", help="folder for the sheets"
    )
    making.add_argument("--large", action="store_true", help="large type")
    making.add_argument(
        "--together", action="store_true", help="also lay all variants on the same cloths: a batch"
    )
    making.add_argument(
        "--drape",
        action="store_true",
        help="grant the job's wish on drapes instead of by flat measures (a minute or two)",
    )
    making.set_defaults(run=_sheets)
    cuts = verbs.add_parser(
        "options",
        help="write a page with every option of the cut: its key, its limits and a drawing",
        description="Write options.html: every option of the cut with its key, its limits and a drawing.",
    )
    cuts.add_argument("--out", type=Path, required=True, metavar="DIR", help="folder for the page")
    cuts.add_argument(
        "--units", choices=UNIT_SYSTEMS, default="cm", help="units to tell lengths in"
    )
    cuts.set_defaults(run=_options)
    sheet = verbs.add_parser(
        "swatch-sheet",
        help="write the sheet for testing a piece of cloth, to be printed",
        description="Write the swatch-test sheet, for A4 and for letter paper, as PDF and SVG.",
    )
    sheet.add_argument(
        "--out", type=Path, required=True, metavar="DIR", help="folder for the sheet's files"
    )
    sheet.set_defaults(run=_swatch_sheet)
    return parser


def _draping(one: argparse.ArgumentParser) -> None:
    """What every verb that drapes asks for."""
    one.add_argument("job", type=Path, metavar="JOB.toml", help="the job file")
    one.add_argument(
        "--out", type=Path, required=True, metavar="DIR", help="folder for report and results"
    )
    _edge_length(one)
    one.add_argument(
        "--no-pictures",
        dest="pictures",
        action="store_false",
        help="leave the pictures out, which take most of the time",
    )
    one.add_argument(
        "--ranges",
        action="store_true",
        help="drape also with the cloths at the ends of what is not known of them, and tell hem "
        "and sleeve as ranges: up to six quick drapes more for each variant",
    )
    one.add_argument(
        "--advice",
        action="store_true",
        help="where a check of the fit does not hold, drape up to three changes that would mend it",
    )
    one.add_argument(
        "--reach",
        action="store_true",
        help="find how far the arms can be raised before the wrap is pulled up: five quick drapes "
        "more for each variant that stands",
    )


def _edge_length(one: argparse.ArgumentParser) -> None:
    one.add_argument(
        "--edge-length",
        default=f"{EDGE_LENGTH_M * 1000:g} mm",
        metavar="LENGTH",
        help='edge length of the cloth\'s mesh ("%(default)s" unless given); finer is slower',
    )


if __name__ == "__main__":
    sys.exit(main())
