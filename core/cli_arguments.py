# SPDX-License-Identifier: GPL-3.0-or-later
"""What the command ``napfold`` can be asked for: its verbs, their options and their help."""

import argparse
from pathlib import Path

from .drape import EDGE_LENGTH_M
from .units import UNIT_SYSTEMS

__all__ = ["parser"]

_Parser = argparse.ArgumentParser


def parser() -> argparse.ArgumentParser:
    """Reads the arguments of the command; ``verb`` is the name of the verb."""
    whole = _Parser(
        prog="napfold",
        description="Preview how a fold-over, two-layer pile wrap will hang, before it is cut.",
    )
    verbs = whole.add_subparsers(dest="verb", required=True, metavar="VERB")

    def verb(name: str, help_line: str, description: str = "") -> argparse.ArgumentParser:
        """A verb with its line in the list of all; described in that line unless more is to be said."""
        told = description or f"{help_line[:1].upper()}{help_line[1:]}."
        return verbs.add_parser(name, help=help_line, description=told)

    _preview(
        verb("preview", "drape, measure and photograph every variant of a job, and write a report")
    )
    _sweep(
        verb(
            "sweep",
            "the same with one number changed in steps: a plot of hem or sleeve room against it",
            "Drape, measure and photograph the job with one number changed in steps, each drape going "
            "on from the last. The report plots hem, sleeve room and ease against it and marks where "
            "the word for one changes. The job's own variants are left out.",
        )
    )
    _pictures(
        verb(
            "pictures",
            "take the product pictures of every variant of a job, or go on with them",
            "Take the product pictures that a job's table [pictures] asks for, of every variant, with "
            "a list of them (manifest.json, manifest.csv). Run again it makes only what is missing or "
            "changed.",
        )
    )
    _model(
        verb(
            "model",
            "write every variant of a job in 3D for a product page: GLB, USDZ and OBJ",
            "Write every variant of a job in 3D, at true size, for a product page: GLB, USDZ and OBJ, "
            "each in a folder of its own.",
        )
    )
    _job(
        verb(
            "swatch",
            "tell what is known of a job's cloths, and which swatch test to make next",
            "Tell what is known of each cloth of a job, how well, what it means, and which swatch "
            "test to make next.",
        )
    )
    _sheets(
        verb(
            "sheets",
            "write cutting plan, sewing order and templates of every variant of a job",
            "Write cutting plan, sewing order and templates of every variant of a job, for A4 and for "
            "letter paper: as PDF, SVG and DXF, and one HTML page.",
        )
    )
    _options(
        verb(
            "options",
            "write a page with every option of the cut: its key, its limits and a drawing",
            "Write options.html: every option of the cut with its key, its limits and a drawing.",
        )
    )
    _out(
        verb(
            "swatch-sheet",
            "write the sheet for testing a piece of cloth, to be printed",
            "Write the swatch-test sheet, for A4 and for letter paper, as PDF and SVG.",
        ),
        "the sheet's files",
    )
    return whole


def _preview(one: _Parser) -> None:
    _job(one)
    _out(one, "report and results")
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


def _sweep(one: _Parser) -> None:
    _preview(one)
    one.add_argument(
        "--number",
        required=True,
        metavar="KEY",
        help='what to change, as the job file has it, such as "cut.sleeve_drop"',
    )
    one.add_argument(
        "--values",
        required=True,
        metavar="LIST",
        help='its values, commas or semicolons between them, such as "6 in, 7 in, 8 in"',
    )


def _pictures(one: _Parser) -> None:
    _job(one)
    _out(one, "the pictures")
    one.add_argument("--quick", action="store_true", help="coarser pictures for a first look")
    _edge_length(one)


def _model(one: _Parser) -> None:
    _job(one)
    _out(one, "the models")
    one.add_argument("--mannequin", action="store_true", help="with the mannequin that wears it")
    _edge_length(one)


def _sheets(one: _Parser) -> None:
    _job(one)
    _out(one, "the sheets")
    one.add_argument("--large", action="store_true", help="large type")
    one.add_argument(
        "--together", action="store_true", help="also lay all variants on the same cloths: a batch"
    )
    one.add_argument(
        "--drape",
        action="store_true",
        help="grant the job's wish on drapes instead of by flat measures (a minute or two)",
    )


def _options(one: _Parser) -> None:
    _out(one, "the page")
    one.add_argument("--units", choices=UNIT_SYSTEMS, default="cm", help="units to tell lengths in")


def _job(one: _Parser) -> None:
    one.add_argument("job", type=Path, metavar="JOB.toml", help="the job file")


def _out(one: _Parser, what: str) -> None:
    one.add_argument("--out", type=Path, required=True, metavar="DIR", help=f"folder for {what}")


def _edge_length(one: _Parser) -> None:
    one.add_argument(
        "--edge-length",
        default=f"{EDGE_LENGTH_M * 1000:g} mm",
        metavar="LENGTH",
        help='edge length of the cloth\'s mesh ("%(default)s" unless given); finer is slower',
    )
