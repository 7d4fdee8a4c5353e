# SPDX-License-Identifier: GPL-3.0-or-later
"""A job with all that its sheets are drawn from."""

from collections.abc import Mapping
from dataclasses import dataclass

from ..checks import Check, checks
from ..cloth import Cloth
from ..cut_line import cut_line_of
from ..job import Job
from ..lay import Extra, Kind, Lay, Order, lay_orders, widest_cut_m
from ..making import Making, making, turning
from ..pattern import Front
from ..purchasing import DrapedWish
from ..tape import Measures, complete
from ..telling import Telling
from .garment import Garment
from .making_words import LONG_PILE_M, WORDS

__all__ = ["SheetJob", "sheet_job"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetJob:
    """A job with all that its sheets are drawn from."""

    job: Job
    order: Order
    measures: Measures
    lay: Lay
    tell: Telling
    garment: Garment
    draped: DrapedWish | None = None

    @property
    def extras(self) -> tuple[Extra, ...]:
        """The small pieces of one garment, their sizes filled in."""
        return self.order.choice.extras

    def has(self, kind: Kind) -> bool:
        """Whether there is a small piece of a kind."""
        return any(extra.kind is kind for extra in self.extras)

    @property
    def longest_pile(self) -> Cloth:
        """The cloth whose pile decides how both are handled."""
        return max(
            (self.job.outer_cloth, self.job.lining_cloth), key=lambda cloth: cloth.pile_height_m
        )

    @property
    def sewn(self) -> Making:
        """What both cloths together mean at the sewing table."""
        return making(self.job.cut, self.job.outer_cloth, self.job.lining_cloth)

    @property
    def checks(self) -> tuple[Check, ...]:
        """What a workroom would check before it cuts."""
        job = self.job
        return checks(
            self.measures,
            job.cut,
            job.allowances,
            job.outer_cloth,
            job.lining_cloth,
            self.tell,
            widest_cut_m(self.order),
            self.extras,
        )

    @property
    def hem_gap_m(self) -> float:
        """What of the back hem stays open for turning, metres; 0 where a sleeve end will do."""
        return _hem_gap_m(self.job, self.tell)

    @property
    def handling(self) -> Mapping[str, str]:
        """Needle, stitch and how to hold the pile, in words."""
        sewing = self.sewn.sewing
        least, most = (self.tell.small(value_m) for value_m in sewing.pins_m)
        pins = WORDS["between"].format(least=least, most=most)
        return {
            "needle": sewing.needle,
            "stitch": WORDS["stitch"].format(stitch=sewing.stitch, length=sewing.stitch_length),
            "holding": WORDS["pins"].format(distance=pins),
        }

    @property
    def long_pile(self) -> bool:
        return self.longest_pile.pile_height_m >= LONG_PILE_M


def sheet_job(job: Job, *, text_mm: float = 3.0) -> SheetJob:
    """Lay a job and make ready to draw it.

    Raises
    ------
    InputError
        The cloth is too narrow, or an allowance does not suit the cut.
    """
    tell = Telling(job.units)
    line = cut_line_of(job.cut, job.allowances, _hem_gap_m(job, tell))
    measures, _ = complete(job.tape)
    order = job.order
    return SheetJob(
        job=job,
        order=order,
        measures=measures,
        lay=lay_orders([order], job.units),
        tell=tell,
        garment=Garment(job.cut, job.allowances, line, tell, text_mm=text_mm),
    )


def _hem_gap_m(job: Job, tell: Telling) -> float:
    through = turning(job.cut, job.outer_cloth, job.lining_cloth)
    if job.cut.front is Front.CLOSED or through.goes != "not":
        return 0.0
    return tell.halvable_m(through.gap_m)
