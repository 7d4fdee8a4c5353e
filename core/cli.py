# SPDX-License-Identifier: GPL-3.0-or-later
"""The command ``napfold``.

Exit status: 0 everything was made; 2 the input is wrong (nothing was made); 3 a step failed.
"""

import argparse
import logging
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Protocol, TypeVar

from .buying import Wish
from .cli_arguments import parser
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
from .telling import Telling
from .units import parse_quantity
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
    options = parser().parse_args(arguments)
    return _VERBS[options.verb](options)


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
            in_a_row=options.verb == "sweep",
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
    if options.verb == "sweep":
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


_VERBS: Mapping[str, Callable[[argparse.Namespace], int]] = MappingProxyType(
    {
        "preview": _preview,
        "sweep": _preview,
        "pictures": _pictures,
        "model": _model,
        "swatch": _swatch,
        "sheets": _sheets,
        "options": _options,
        "swatch-sheet": _swatch_sheet,
    }
)


if __name__ == "__main__":
    sys.exit(main())
