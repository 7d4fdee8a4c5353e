# SPDX-License-Identifier: GPL-3.0-or-later
"""Units as people write them: read and written here, and only here.

Inside Napfold every quantity is SI. A unit system (``"cm"`` or ``"in"``) decides how quantities
are told to people. Text is read with exact fractions and rounded once, so the same length written
in two units is the same number.

Exact by definition: 1 in = 25.4 mm, 1 yd = 0.9144 m and 1 lb = 0.45359237 kg (international yard
and pound agreement, 1959), hence 1 oz = 28.349523125 g.
"""

import math
import re
from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction
from functools import lru_cache
from types import MappingProxyType
from typing import Literal, get_args

from .errors import InputError

__all__ = [
    "UNIT_SYSTEMS",
    "Quantity",
    "RangeError",
    "UnitSystem",
    "format_fine",
    "format_quantity",
    "parse_pair",
    "parse_quantity",
    "require_range",
    "write_quantity",
]

UnitSystem = Literal["cm", "in"]
UNIT_SYSTEMS: tuple[UnitSystem, ...] = get_args(UnitSystem)

Quantity = Literal[
    "length",
    "area",
    "mass",
    "mass per area",
    "angle",
    "share",
    "price per length",
    "bending rigidity",
    "bending moment",
    "force per length",
    "number",
]

_INCH, _OUNCE = Fraction("0.0254"), Fraction("0.028349523125")
_SQUARE_YARD = (36 * _INCH) ** 2

# Every way to write a unit, with its size in SI
_UNITS: Mapping[Quantity, Mapping[str, Fraction]] = MappingProxyType(
    {
        "length": {
            "m": Fraction(1),
            "cm": Fraction(1, 100),
            "mm": Fraction(1, 1000),
            "in": _INCH,
            "inch": _INCH,
            "inches": _INCH,
            '"': _INCH,
            "ft": 12 * _INCH,
            "foot": 12 * _INCH,
            "feet": 12 * _INCH,
            "'": 12 * _INCH,
            "yd": 36 * _INCH,
            "yard": 36 * _INCH,
            "yards": 36 * _INCH,
        },
        "area": {"m2": Fraction(1), "cm2": Fraction(1, 10_000), "in2": _INCH**2},
        "mass": {
            "kg": Fraction(1),
            "g": Fraction(1, 1000),
            "oz": _OUNCE,
            "lb": 16 * _OUNCE,
            "lbs": 16 * _OUNCE,
        },
        "mass per area": {
            "g/m2": Fraction(1, 1000),
            "gsm": Fraction(1, 1000),
            "kg/m2": Fraction(1),
            "oz/yd2": _OUNCE / _SQUARE_YARD,
        },
        "angle": {
            "rad": Fraction(1),
            "deg": Fraction(math.pi) / 180,
            "degrees": Fraction(math.pi) / 180,
            "°": Fraction(math.pi) / 180,
        },
        "share": {"%": Fraction(1, 100), "percent": Fraction(1, 100), "whole": Fraction(1)},
        "price per length": {"/m": Fraction(1), "/yd": 1 / (36 * _INCH)},
    }
)

# Units tried in this order when a quantity is written for a unit system
_WRITTEN: Mapping[Quantity, Mapping[UnitSystem, tuple[str, ...]]] = MappingProxyType(
    {
        "length": {"cm": ("cm", "mm", "in"), "in": ("in", "cm", "mm")},
        "area": {"cm": ("cm2", "m2", "in2"), "in": ("in2", "cm2", "m2")},
        "mass": {"cm": ("kg", "g", "lb", "oz"), "in": ("lb", "oz", "kg", "g")},
        "mass per area": {"cm": ("g/m2", "oz/yd2"), "in": ("oz/yd2", "g/m2")},
        "angle": {"cm": ("deg",), "in": ("deg",)},
        "share": {"cm": ("%",), "in": ("%",)},
        "price per length": {"cm": ("/m", "/yd"), "in": ("/yd", "/m")},
    }
)

# The unit that can write any value: its size is 1, so no digit is lost
_EXACT_UNIT: Mapping[Quantity, str] = MappingProxyType(
    {
        "length": "m",
        "area": "m2",
        "mass": "kg",
        "mass per area": "kg/m2",
        "angle": "rad",
        "share": "whole",
        "price per length": "/m",
    }
)

_EXAMPLES: Mapping[Quantity, str] = MappingProxyType(
    {
        "length": '"150 cm", "60 in", "1 1/2 yd" or "5 ft 6 in"',
        "area": '"410 cm2" or "64 in2"',
        "mass": '"62 kg", "640 g" or "137 lb"',
        "mass per area": '"280 g/m2" or "9 oz/yd2"',
        "angle": '"24 deg"',
        "share": '"3 %"',
        "price per length": '"14.50 /m" or "12 per yd"',
    }
)

_MOST_CHARACTERS = 60
# The exponent is for tiny values that a file was written with; people write decimals or fractions
_NUMBER = r"(?:\d+ +)?\d+ */ *\d+|(?:\d+(?:[.,]\d+)?|[.,]\d+)(?:e-\d{1,3})?"
_MINUS = ("-", "\N{MINUS SIGN}")
_TERM = re.compile(rf"\s*({_NUMBER})\s*([A-Za-z\"'/°%]+2?)")
_SPELLINGS = str.maketrans(
    {"²": "2", "″": '"', "”": '"', "′": "'", "’": "'", "⁄": "/"}
    | {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅓": " 1/3", "⅔": " 2/3"}
    | {"⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8"}
)


class RangeError(InputError):
    """A quantity outside its range; it keeps the numbers, so that other units can tell them.

    Attributes
    ----------
    quantity
        What kind of quantity it is.
    value_si, low_si, high_si
        The value and its range, in SI.
    """

    def __init__(
        self,
        key: str,
        value_si: float,
        low_si: float,
        high_si: float,
        remedy: str,
        *,
        quantity: Quantity,
        units: UnitSystem = "cm",
        written: str | None = None,
    ) -> None:
        low = _format_bound(quantity, low_si, units, math.ceil)
        high = _format_bound(quantity, high_si, units, math.floor)
        allowed = f"{low} to {high}" if low_si <= high_si else "no value, as the others stand"
        value = written or format_quantity(quantity, value_si, units)
        super().__init__(key, value, allowed, remedy)
        self.quantity = quantity
        self.value_si, self.low_si, self.high_si = value_si, low_si, high_si

    def retold(self, key: str, units: UnitSystem, written: str | None) -> "RangeError":
        """The same error under the user's key, in the user's units and the user's own writing."""
        return RangeError(
            key,
            self.value_si,
            self.low_si,
            self.high_si,
            self.remedy,
            quantity=self.quantity,
            units=units,
            written=written,
        )


def require_range(
    key: str, value_si: float, low_si: float, high_si: float, remedy: str, *, quantity: Quantity
) -> None:
    """Refuse a value outside its range; a nanometre's worth of rounding is forgiven.

    Raises
    ------
    RangeError
        The value is not a finite number from low to high.
    """
    slack = 1e-9 * max(abs(low_si), abs(high_si))
    if not low_si - slack <= value_si <= high_si + slack:
        raise RangeError(key, value_si, low_si, high_si, remedy, quantity=quantity)


@lru_cache(maxsize=1024)
def parse_quantity(quantity: Quantity, key: str, text: str) -> float:
    """Read a quantity as people write it, for example ``"1 1/2 yd"``, in SI.

    A comma is read as a decimal point unless three digits follow it, which could mean thousands.

    Raises
    ------
    InputError
        The text is not such a quantity, or carries no unit; the message is about ``key``.
    """
    allowed = f"a number with a unit, such as {_EXAMPLES[quantity]}"
    if len(text) > _MOST_CHARACTERS:
        raise InputError(key, f"{len(text)} characters long", allowed, "write it shorter")
    shown = _shown(text)
    plain = re.sub(r"\bper +", "/", text.translate(_SPELLINGS))
    if re.search(r"\d,\d{3}(?!\d)", plain):
        raise InputError(
            key, shown, allowed, "write it without a comma, which could mean two things"
        )
    if re.fullmatch(rf"\s*({_NUMBER})\s*", plain):
        raise InputError(key, shown, allowed, "add the unit that you mean")
    if re.match(r"\s*-\s*[\d.]", plain):
        raise InputError(key, shown, f"{allowed}, not below 0", "write it without the minus")
    total, size = Fraction(0), Fraction(10**9)
    for number, unit_size in _terms(plain.rstrip(), _UNITS[quantity]):
        # each unit once, from large to small: 5 ft 6 in
        if number is None or unit_size >= size:
            raise InputError(key, shown, allowed, "write it as in the examples")
        total, size = total + number * unit_size, unit_size
    return float(total)


def parse_pair(
    key: str, text: str, between: tuple[str, ...], *, signed: bool = False
) -> tuple[float, float]:
    """Read two lengths with a word between them, such as ``"20 cm x 20 cm"``, in metres.

    The unit may stand once, behind the second: ``"20 x 20 cm"``. Where lengths are ``signed``, a minus
    may stand before each.

    Raises
    ------
    InputError
        The text is not two lengths.
    """
    parts = [part.strip() for part in re.split("|".join(map(re.escape, between)), text)]
    if len(text) > _MOST_CHARACTERS or len(parts) != 2:
        allowed = f'two lengths, such as "20 cm {between[0]} 20 cm"'
        raise InputError(key, _shown(text[:_MOST_CHARACTERS]), allowed, "write both")
    signs = [signed and part[:1] in _MINUS for part in parts]
    first, second = (
        part[1:].lstrip() if minus else part for part, minus in zip(parts, signs, strict=True)
    )
    if re.fullmatch(rf"\s*({_NUMBER})\s*", first):
        unit = re.search(r"[^\d\s.,/]+$", second)
        first = f"{first} {unit[0]}" if unit else first
    try:
        across, along = (parse_quantity("length", key, part) for part in (first, second))
    except InputError as error:
        # a part may be nothing but its minus: what was written is shown whole
        raise InputError(key, _shown(text), error.allowed, error.remedy) from error
    return -across if signs[0] else across, -along if signs[1] else along


def _shown(text: str) -> str:
    return f'"{text}"' if text.isprintable() else ascii(text)


def _terms(text: str, units: Mapping[str, Fraction]) -> Iterator[tuple[Fraction | None, Fraction]]:
    """Number and unit size of each term; no number where the text cannot be read."""
    place = 0
    while place < len(text) or place == 0:
        term = _TERM.match(text, place)
        size = units.get(term[2]) or units.get(term[2].lower()) if term else None
        number = _read_number(term[1]) if term else None
        if term is None or size is None or number is None:
            yield None, Fraction(0)
            return
        yield number, size
        place = term.end()


def _read_number(text: str) -> Fraction | None:
    """A decimal, fraction or mixed number; None when it divides by zero."""
    parts = re.fullmatch(r"(?:(\d+) +)?(\d+) */ *(\d+)", text)
    if parts is None:
        return Fraction(text.replace(",", "."))
    if int(parts[3]) == 0:
        return None
    return int(parts[1] or 0) + Fraction(int(parts[2]), int(parts[3]))


def format_quantity(quantity: Quantity, value_si: float, units: UnitSystem) -> str:
    """Tell a quantity to people, rounded: lengths to 1 mm or 1/8 in.

    ``"97.2 cm"`` or ``"38 1/4 in"``, ``"640 g"``, ``"1.46 kg"``, ``"9.5 oz"`` or ``"3.2 lb"``;
    ``"280 g/m²"`` or ``"8.3 oz/yd²"``; ``"14.50 /m"`` or ``"13.26 /yd"``; other quantities are
    alike in both systems.
    """
    if not math.isfinite(value_si):
        return "not a number"
    return _format(quantity, value_si, units, round)


def format_fine(value_m: float, units: UnitSystem) -> str:
    """Tell a small length: ``"36.2 mm"``, or ``"1.43 in"``."""
    return f"{value_m / float(_INCH):.2f} in" if units == "in" else f"{1000 * value_m:.1f} mm"


def _format_bound(
    quantity: Quantity, value_si: float, units: UnitSystem, whole: Callable[[float], int]
) -> str:
    """A bound rounded towards the allowed side, so that the value shown is itself allowed."""
    # the forgiven rounding of require_range, so that 0.1 m stays 10.0 cm
    return _format(quantity, value_si, units, lambda steps: whole(round(steps, 6)))


def _format(
    quantity: Quantity, value_si: float, units: UnitSystem, whole: Callable[[float], int]
) -> str:
    """Tell a quantity in steps made whole by a rounding function."""

    def steps(size: Fraction, per_unit: int) -> Fraction:
        return Fraction(whole(value_si / float(size) * per_unit), per_unit)

    def decimal(size: Fraction, places: int, unit: str) -> str:
        return f"{float(steps(size, 10**places)):.{places}f} {unit}"

    inch = units == "in"
    unit = _UNITS.get(quantity, {})
    match quantity:
        case "length" if inch:
            return f"{_mixed(steps(_INCH, 8))} in"
        case "length":
            return decimal(unit["cm"], 1, "cm")
        case "area" if inch:
            return decimal(unit["in2"], 1, "in²")
        case "area":
            return decimal(unit["cm2"], 0, "cm²")
        case "mass" if inch:
            pounds = abs(value_si) >= unit["lb"]
            return decimal(unit["lb"], 1, "lb") if pounds else decimal(_OUNCE, 1, "oz")
        case "mass":
            heavy = abs(value_si) >= 1
            return decimal(unit["kg"], 2, "kg") if heavy else decimal(unit["g"], 0, "g")
        case "mass per area" if inch:
            return decimal(unit["oz/yd2"], 1, "oz/yd²")
        case "mass per area":
            return decimal(unit["g/m2"], 0, "g/m²")
        case "angle":
            return decimal(unit["deg"], 0, "degrees")
        case "share":
            return decimal(unit["%"], 1, "%")
        case "price per length":
            return decimal(unit["/yd"], 2, "/yd") if inch else decimal(unit["/m"], 2, "/m")
        case "bending moment":
            return f"{_figures(value_si * 1e3)} mN"
        case "bending rigidity":
            return f"{_figures(value_si * 1e6)} µN·m"
        case "force per length":
            return f"{_figures(value_si)} N/m"
        case "number":
            return _figures(value_si)


def _figures(value: float) -> str:
    """Rounded to two figures: what no home test knows better than to a few parts in a hundred."""
    return f"{float(f'{value:.2g}'):g}"


def _mixed(value: Fraction) -> str:
    """A mixed number: ``"38 1/4"``, ``"-1/8"``, ``"0"``."""
    whole, rest = divmod(abs(value), 1)
    parts = [str(whole)] if whole or not rest else []
    parts += [f"{rest.numerator}/{rest.denominator}"] if rest else []
    return ("-" if value < 0 else "") + " ".join(parts)


def write_quantity(quantity: Quantity, value_si: float, units: UnitSystem) -> str:
    """Write a quantity so that :func:`parse_quantity` reads the same number back, to the last bit.

    The shortest of the system's own units is chosen that does so, else SI with all digits.
    """
    exact = Fraction(value_si)
    for unit in _WRITTEN[quantity][units]:
        share = exact / _UNITS[quantity][unit]
        numbers = [f"{float(share):.{places}f}" for places in range(4)]
        if unit == "in":
            numbers.insert(1, _mixed(share.limit_denominator(16)))
        for number in numbers:
            text = f"{number} {unit}"
            if parse_quantity(quantity, quantity, text) == value_si:
                return text
    return f"{float(value_si)!r} {_EXACT_UNIT[quantity]}"
