# SPDX-License-Identifier: GPL-3.0-or-later
"""The wearer's tape, and the rest of the body estimated from it.

A maker knows three to eight numbers. The others follow from the joint normal distribution of
body measures in two public surveys (``body_survey.json``, which holds its provenance): the
estimate of a missing measure is its mean conditioned on the given ones, with the standard
deviation that remains. Given values are never changed.
"""

import json
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from .arrays import FloatArray, IntArray
from .errors import InputError
from .phrases import phrase
from .units import Quantity, RangeError, require_range

__all__ = ["Measure", "Measures", "Tape", "complete", "measure_names", "measure_quantity"]

SEXES = ("female", "male", "unstated")
SYNONYMS = MappingProxyType(
    {
        "stature": "height",
        "chest_girth": "bust_girth",
        "bust_chest_girth": "bust_girth",
        "natural_waist_girth": "waist_girth",
        "seat_girth": "hip_girth",
        "crotch_height": "inside_leg_height",
        "weight": "body_mass",
    }
)
# Measures that are not lengths
MEASURE_QUANTITIES: Mapping[str, Quantity] = MappingProxyType(
    {"body_mass": "mass", "shoulder_slope": "angle"}
)
# Allowed values as a multiple of the smaller survey mean (low) and of the larger (high): wide
# enough for children and for the largest bodies, narrow enough to catch a wrong unit.
ALLOWED_SHARE = (0.4, 2.6)
ALLOWED_RANGES_M = MappingProxyType(
    {"height": (0.8, 2.5), "bust_girth": (0.4, 2.2), "waist_girth": (0.35, 2.3)}
)
SHOULDER_SLOPE_RANGE = (math.radians(16.0), math.radians(34.0))
WARN_DEVIATIONS = 3.3
REFUSE_DEVIATIONS = 30.0
CHILD_HEIGHT_M = 1.40
# Large bodies: the survey of soldiers overstates the arm from about this hip girth on.
LARGE_HIP_M = (1.18, 1.28)
# Relaxed girth half way down the upper arm in NHANES 2017-2020, adults (cm, kg): constant,
# height, mass, SD; and constant, height, navel waist, hip, SD. The girth at the armpit is about
# 15 mm larger.
CIVIL_ARM_BY_MASS = {
    "female": (36.423, -0.1451, 0.2522, 2.18),
    "male": (31.518, -0.0925, 0.2139, 2.06),
}
CIVIL_ARM_BY_GIRTHS = {
    "female": (0.513, -0.0045, 0.1089, 0.2033, 2.65),
    "male": (-2.012, 0.0227, 0.0553, 0.2561, 2.6),
}
ARMPIT_OVER_MIDDLE_M = 0.015


class Measure(NamedTuple):
    """One measure of the body: metres (``body_mass``: kg; ``shoulder_slope``: radians)."""

    value_m: float
    sd_m: float
    given: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Tape:
    """What the maker measured.

    Parameters
    ----------
    sex
        ``female``, ``male`` or ``unstated`` (an estimate between both).
    given
        Measure name (ISO 8559-1 words, snake case) to metres; ``body_mass`` in kg and
        ``shoulder_slope`` in radians. ``waist_girth`` is the natural waist; the girth at the
        navel is ``navel_waist_girth``. Synonyms such as ``chest_girth`` are understood.

    Raises
    ------
    InputError
        An unknown sex or measure, a value that is not a number or outside the allowed range.
    """

    sex: str = "unstated"
    given: Mapping[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if self.sex not in SEXES:
            raise InputError("tape.sex", self.sex, ", ".join(SEXES), "choose one of these words")
        values: dict[str, float] = {}
        for written, value in self.given.items():
            name = SYNONYMS.get(written, written)
            if name in values:
                raise InputError(
                    f"tape.{written}",
                    value,
                    "one value a measure",
                    f"leave out one of the two, since {name} is given twice",
                )
            require_range(
                f"tape.{written}",
                value,
                *_allowed_range(name, written),
                "measure again and check the unit",
                quantity=measure_quantity(name),
            )
            values[name] = float(value)
        object.__setattr__(self, "given", MappingProxyType(values))


@dataclass(frozen=True, slots=True)
class Measures(Mapping[str, Measure]):
    """The completed tape: every measure of the survey, given or estimated.

    ``female_share`` is the probability of a female body that the numbers point to: 1 or 0 when
    the sex is stated, between when it is not.
    """

    by_name: Mapping[str, Measure]
    female_share: float

    def __getitem__(self, name: str) -> Measure:
        return self.by_name[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self.by_name)

    def __len__(self) -> int:
        return len(self.by_name)

    def value(self, name: str) -> float:
        """The measure in metres (``body_mass`` in kg, ``shoulder_slope`` in radians)."""
        return self.by_name[name].value_m

    @property
    def largest_girth_m(self) -> float:
        """The largest of bust, waist and hip girth, which a wrap has to go round, metres."""
        return max(self.value(f"{level}_girth") for level in ("bust", "waist", "hip"))


class _Moments(NamedTuple):
    mean: FloatArray
    covariance: FloatArray


@lru_cache(maxsize=1)
def _survey() -> tuple[tuple[str, ...], dict[str, _Moments]]:
    """Names, and mean and covariance a sex, in metres (``body_mass`` in kg)."""
    content = json.loads(Path(__file__).with_name("body_survey.json").read_text(encoding="utf-8"))
    names = tuple(content["names"])
    scale = np.array([1.0 if name == "body_mass" else 1e-3 for name in names])
    moments = {}
    for sex in ("female", "male"):
        lower = np.zeros((len(names), len(names)))
        for row, numbers in enumerate(content[sex]["covariance_lower"]):
            lower[row, : row + 1] = numbers
        covariance = lower + np.tril(lower, -1).T
        moments[sex] = _Moments(
            np.array(content[sex]["mean"]) * scale, covariance * np.outer(scale, scale)
        )
    return names, moments


def measure_names() -> tuple[str, ...]:
    """All names that a tape may use (synonyms apart)."""
    return (*_survey()[0], "shoulder_slope")


def measure_quantity(name: str) -> Quantity:
    """What kind of quantity a measure is, by its name or a synonym."""
    return MEASURE_QUANTITIES.get(SYNONYMS.get(name, name), "length")


def complete(tape: Tape) -> tuple[Measures, tuple[str, ...]]:
    """Estimate what the tape does not say.

    Returns
    -------
    tuple
        The measures, and warnings for the user: values that do not go together (with their
        distance in standard deviations), a body outside the survey, a child's size. They name
        no lengths, so that they read alike in all units.

    Raises
    ------
    InputError
        A value that cannot belong to one body together with the others.
    """
    sexes = ("female", "male") if tape.sex == "unstated" else (tape.sex,)
    known = {name: value for name, value in tape.given.items() if name != "shoulder_slope"}
    results = [_condition(sex, known) for sex in sexes]
    likelihood = np.array([result.log_likelihood for result in results])
    share = np.exp(likelihood - likelihood.max())
    share /= share.sum()
    mean = sum(s * result.mean for s, result in zip(share, results, strict=True))
    # law of total variance for the mixture of both sexes
    variance = sum(
        s * (result.variance + (result.mean - mean) ** 2)
        for s, result in zip(share, results, strict=True)
    )
    female_share = float(share[0]) if tape.sex != "male" else 0.0
    by_name: dict[str, Measure] = {}
    for index, name in enumerate(_survey()[0]):
        if name in known:
            by_name[name] = Measure(known[name], 0.0, True)
        else:
            by_name[name] = Measure(float(mean[index]), float(np.sqrt(variance[index])), False)
    _set_shoulder_slope(by_name, tape.given.get("shoulder_slope"))
    warnings = _contradictions(tape, [result.given for result in results])
    if known.get("height", CHILD_HEIGHT_M) < CHILD_HEIGHT_M:
        warnings.append(
            phrase(
                "The height is a child's size: the survey behind the estimates holds adults only, "
                "so measure every length yourself, and keep the cautions for children's wear in "
                "mind (loose cloth, cords, fire, sleep)."
            )
        )
    return Measures(MappingProxyType(by_name), female_share), tuple(warnings)


class _Conditioned(NamedTuple):
    mean: FloatArray
    variance: FloatArray
    log_likelihood: float
    given: dict[str, "_Expected"]


class _Expected(NamedTuple):
    """What the other given values lead to expect of one: its mean, SD, and the value's distance."""

    mean: float
    sd: float
    deviations: float


def _condition(sex: str, known: Mapping[str, float]) -> _Conditioned:
    names, moments = _survey()
    prior = moments[sex]
    rows = np.array([names.index(name) for name in known], dtype=np.int64)
    values = np.array(list(known.values()))
    posterior, log_likelihood, deviations, sds = _update(prior, rows, values, np.zeros(len(rows)))
    arm = names.index("upper_arm_girth")
    hip = posterior.mean[names.index("hip_girth")]
    weight = float(np.clip((hip - LARGE_HIP_M[0]) / (LARGE_HIP_M[1] - LARGE_HIP_M[0]), 0.0, 1.0))
    if weight > 0.0 and "upper_arm_girth" not in known:
        value, sd = _civil_arm(sex, dict(zip(names, posterior.mean, strict=True)), known)
        blended = (1.0 - weight) * posterior.mean[arm] + weight * value
        # as if measured, without noise, so that the other girths of the arm follow it
        spread = posterior.covariance[arm, arm]
        posterior, *_ = _update(posterior, np.array([arm]), np.array([blended]), np.zeros(1))
        posterior.covariance[arm, arm] = max(spread, (weight * sd) ** 2)
    variance = np.maximum(np.diag(posterior.covariance), 0.0)
    return _Conditioned(
        posterior.mean,
        variance,
        log_likelihood,
        {
            name: _Expected(*row)
            for name, *row in zip(
                known,
                (values - deviations * sds).tolist(),
                sds.tolist(),
                deviations.tolist(),
                strict=True,
            )
        },
    )


def _update(
    prior: _Moments, rows: IntArray, values: FloatArray, noise: FloatArray
) -> tuple[_Moments, float, FloatArray, FloatArray]:
    """Condition a normal distribution on ``values`` of the components ``rows``.

    Also gives the log likelihood of the values, each value's distance, in standard deviations,
    from its expectation given the other values, and those standard deviations.
    """
    if rows.size == 0:
        return _Moments(prior.mean.copy(), prior.covariance.copy()), 0.0, np.zeros(0), np.zeros(0)
    inner = prior.covariance[np.ix_(rows, rows)] + np.diag(noise)
    precision = np.linalg.inv(inner)
    surprise = values - prior.mean[rows]
    gain = prior.covariance[:, rows] @ precision
    posterior = _Moments(
        prior.mean + gain @ surprise, prior.covariance - gain @ prior.covariance[rows]
    )
    _, log_determinant = np.linalg.slogdet(inner)
    log_likelihood = -0.5 * float(surprise @ precision @ surprise + log_determinant)
    # partial regression: the diagonal of the precision holds the inverse conditional variances
    sds: FloatArray = 1.0 / np.sqrt(np.diag(precision))
    deviations: FloatArray = (precision @ surprise) * sds
    return posterior, log_likelihood, deviations, sds


def _civil_arm(
    sex: str, mean: Mapping[str, float], known: Mapping[str, float]
) -> tuple[float, float]:
    """Girth of the upper arm at the armpit and its SD from the survey of civilians (m)."""
    height_cm = mean["height"] * 100.0
    if "body_mass" in known:
        constant, per_height, per_mass, sd = CIVIL_ARM_BY_MASS[sex]
        middle_cm = constant + per_height * height_cm + per_mass * known["body_mass"]
    else:
        constant, per_height, per_waist, per_hip, sd = CIVIL_ARM_BY_GIRTHS[sex]
        middle_cm = (
            constant
            + per_height * height_cm
            + per_waist * mean["navel_waist_girth"] * 100.0
            + per_hip * mean["hip_girth"] * 100.0
        )
    return middle_cm / 100.0 + ARMPIT_OVER_MIDDLE_M, sd / 100.0


def _set_shoulder_slope(by_name: dict[str, Measure], given: float | None) -> None:
    """Make slope, shoulder length and the heights of side neck and shoulder point agree."""
    length = by_name["shoulder_length"].value_m
    side_neck = by_name["side_neck_point_height"].value_m
    if given is not None:
        by_name["shoulder_slope"] = Measure(given, 0.0, True)
        if not by_name["shoulder_point_height"].given:
            height = side_neck - length * math.sin(given)
            by_name["shoulder_point_height"] = Measure(height, 0.008, False)
        return
    drop = side_neck - by_name["shoulder_point_height"].value_m
    slope = math.asin(min(max(drop / length, 0.0), 0.9))
    # spread of the slope in the survey of 1988: 3.9 degrees, nearly independent of size
    by_name["shoulder_slope"] = Measure(
        min(max(slope, SHOULDER_SLOPE_RANGE[0]), SHOULDER_SLOPE_RANGE[1]), math.radians(3.9), False
    )


def _contradictions(tape: Tape, expected: list[dict[str, _Expected]]) -> list[str]:
    warnings: list[str] = []
    for name in (name for name in tape.given if name != "shoulder_slope"):
        mean, sd, distance = min(
            (found[name] for found in expected), key=lambda one: abs(one.deviations)
        )
        if abs(distance) > REFUSE_DEVIATIONS:
            low, high = _allowed_range(name, name)
            raise RangeError(
                f"tape.{name}",
                tape.given[name],
                max(low, mean - REFUSE_DEVIATIONS * sd),
                min(high, mean + REFUSE_DEVIATIONS * sd),
                "measure again, and check that no two measures are exchanged: this one cannot "
                "belong to one body together with the others",
                quantity=measure_quantity(name),
            )
        if abs(distance) > WARN_DEVIATIONS:
            more = "more" if distance > 0 else "less"
            than = "the other measures lead" if len(tape.given) > 1 else "the survey leads one"
            warnings.append(
                phrase(
                    "The {measure} is {number} standard deviations {more} than {than} to expect: "
                    "measure it again. It is used as given.",
                    measure=name.replace("_", " "),
                    more=phrase(more),
                    than=phrase(than),
                    number=f"{abs(distance):.1f}",
                )
            )
    return warnings


def _allowed_range(name: str, written: str) -> tuple[float, float]:
    if name == "shoulder_slope":
        return SHOULDER_SLOPE_RANGE
    names, moments = _survey()
    if name not in names:
        raise InputError(
            f"tape.{written}",
            "not a measure that is known",
            ", ".join(measure_names()),
            "use one of these names",
        )
    if name in ALLOWED_RANGES_M:
        return ALLOWED_RANGES_M[name]
    index = names.index(name)
    means = [moments[sex].mean[index] for sex in ("female", "male")]
    low, high = ALLOWED_SHARE
    if name == "body_mass":
        low, high = 0.15, 3.5  # mass goes with the cube of size
    return float(low * min(means)), float(high * max(means))
