"""The one door for quantities: shop text to SI and back.

:func:`parse` reads what a builder types and :func:`show` writes what a builder reads; inside,
every number is a float in SI. Two exceptions are deliberate: an angle stays in degrees, and a
fraction is 0 to 1, not percent. Nothing typed reaches the unit library's own expression reader,
which takes ``1 1/2 in`` for half an inch: this grammar is all there is. ::

    quantity = term [ "+/-" spread | "sd" spread | "(" term "to" term ")" [unit] ]
    span     = term "to" term                                    (parse_span only)
    term     = number [unit] | feet inches | pounds ounces | hours minutes
    number   = 8 | 0.45 | 1.2e-3 | 3/16 | 1 1/2 | 1-1/2 | 1½
    unit     = names of UNIT_NAMES with powers 1 to 4, joined by blanks, "*", "/" or "per"

``a +/- b``: b is the half-width of the 90 % range. ``a sd s``: s is one standard deviation, so the
90 % range reaches 1.645 s to each side. A spread in percent is a share of the middle, except
where the quantity is itself a percentage: there it is points. Numbers are kept as exact fractions
until the end, so ``0.3 mm`` is the float 0.0003.

Definitions: NIST SP 811 (2008), Appendix B: inch 25.4 mm, pound 0.453 592 37 kg, US gallon
231 in3.
"""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import cache, lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, NoReturn

from panelwright.errors import Problem, UnitError

if TYPE_CHECKING:
    import pint

LONGEST_TEXT = 200
LARGEST_EXPONENT = 30
# Half-width of the 90 % range in standard deviations. `provenance` holds the same figure; the
# import rules keep the two modules apart, and a test holds them equal.
_SIGMAS_OF_90 = 1.6448536269514722


# --- Dimensions: what a place in a panel file asks for ------------------------------------------


@dataclass(frozen=True)
class Dimension:
    """What a place asks for: its unit in SI, the units it is shown in, and an example.

    ``metric_large`` and ``imperial_large`` take over from 1 of themselves upwards.
    ``unitless_ok`` says that a bare number within ``bare_limits`` is allowed; ``own_zero`` that
    the shown units count from a zero of their own, as temperatures do.
    """

    name: str
    si: str
    metric: str
    imperial: str
    example: str
    unitless_ok: bool = False
    metric_large: str = ""
    imperial_large: str = ""
    bare_limits: tuple[float, float] = (-math.inf, math.inf)
    own_zero: bool = False

    @property
    def words(self) -> str:
        """The name with its article: ``a density``, ``an areal mass``."""
        return ("an " if self.name[0] in "aeiou" else "a ") + self.name.replace("_", " ")

    @property
    def units(self) -> tuple[str, ...]:
        """The units likely here, metric first."""
        shown = (self.metric, self.metric_large, self.imperial, self.imperial_large)
        return tuple(dict.fromkeys(unit for unit in shown if unit))

    @property
    def allowed(self) -> str:
        """The whole of what may be written here, for messages."""
        units = f" with {_either(self.units)}" if self.units else ""
        return f"{self.words}{units}, such as {self.example}"


def _dimension(row: str) -> Dimension:
    """One row of the table below; of two units in a cell the second is the large one."""
    name, si, metric, imperial, example = (cell.strip() for cell in row.split("|"))
    (small, large), (small_imperial, large_imperial) = (
        (*units.split(", "), "")[:2] for units in (metric, imperial)
    )
    bare = _BARE.get(name)
    return Dimension(
        name=name,
        si=si,
        metric=small,
        imperial=small_imperial,
        example=example,
        unitless_ok=bare is not None,
        metric_large=large,
        imperial_large=large_imperial,
        bare_limits=bare or (-math.inf, math.inf),
        own_zero=name == "temperature",
    )


# Where a number needs no unit, and from where to where.
_BARE = {"fraction": (0.0, 1.0), "ratio": (-math.inf, math.inf), "angle": (-math.inf, math.inf)}
_DIMENSION_TABLE = """
thickness          | m     | mm       | in         | "8 mm" or "5/16 in"
length             | m     | m        | ft         | "3.4 m" or "5 ft 6 in"
cloth_mass         | kg/m2 | g/m2     | oz/yd2     | "300 g/m2" or "12 oz/yd2"
areal_mass         | kg/m2 | kg/m2    | lb/ft2     | "4.1 kg/m2" or "0.84 lb/ft2"
density            | kg/m3 | kg/m3    | lb/ft3     | "80 kg/m3" or "5 lb/ft3"
stress             | Pa    | MPa      | psi, ksi   | "45 MPa" or "6.5 ksi"
modulus            | Pa    | MPa, GPa | ksi, Msi   | "11 GPa" or "1.6 Msi"
pressure           | Pa    | kPa      | psi        | "5 kPa" or "0.7 psi"
temperature        | K     | degC     | degF       | "20 degC" or "68 degF"
temperature_change | K     | K        | degF       | "15 K" or "27 degF"
fraction           | 1     | %        | %          | "45 %" or 0.45
ratio              | 1     |          |            | 0.3 or 1.25
angle              | deg   | deg      | deg        | 45 or "45 deg"
mass               | kg    | kg       | lb         | "2.5 kg" or "5 lb 8 oz"
resin_mass         | kg    | g, kg    | oz, lb     | "250 g" or "9 oz"
linear_mass        | kg/m  | kg/m     | lb/ft      | "0.4 kg/m" or "0.27 lb/ft"
area               | m2    | m2       | ft2        | "3 m2" or "32 ft2"
volume             | m3    | L        | gal        | "1.5 L" or "0.4 gal" (US gallons)
time               | s     | min, h   | min, h     | "25 min" or "1 h 30 min"
frequency          | Hz    | Hz       | Hz         | "120 Hz"
force              | N     | N, kN    | lbf        | "800 N" or "180 lbf"
line_load          | N/m   | N/mm     | lbf/in     | "2 N/mm" or "11 lbf/in"
moment             | N m   | N m      | lbf ft     | "50 N m" or "37 lbf ft"
viscosity          | Pa s  | mPa s    | cP         | "600 mPa s" or "600 cP"
laying_rate        | m2/s  | m2/h       | ft2/h      | "6 m2/h" or "65 ft2/h"
heating_rate       | K/s   | K/h        | degF/h     | "10 degC/h" or "18 degF/h"
expansion          | 1/K   | ppm/K    | ppm/degF   | "6 ppm/K" or "3.3 ppm/degF"
insulation         | m2 K/W | m2 K/W  | m2 K/W     | "0.8 m2 K/W"
"""
DIMENSIONS: Mapping[str, Dimension] = MappingProxyType(
    {row.split(" ", 1)[0]: _dimension(row) for row in _DIMENSION_TABLE.strip().splitlines()}
)


@dataclass(frozen=True)
class Quantity:
    """What was read: the middle and the 5 and 95 % points in SI, and the text as typed."""

    value: float
    low: float
    high: float
    text: str
    has_range: bool


# --- Units: a closed list of names, converted by pint -------------------------------------------

# The unit library's name, then the names read here. Where two differ only in case, the first
# is the one offered (MPa for mpa). Gallon, quart and pint are the US ones.
_UNIT_TABLE = """
meter                  m metre metres meter meters
millimeter             mm millimetre millimetres millimeter millimeters
centimeter             cm centimetre centimetres centimeter centimeters
micrometer             um
kilometer              km
inch                   in " inch inches
foot                   ft ' foot feet
yard                   yd yard yards
thou                   thou
kilogram               kg kilogram kilograms
gram                   g gram grams
milligram              mg
metric_ton             t tonne tonnes
pound                  lb lbs pound pounds
ounce                  oz ounce ounces
gram/meter**2          gsm
liter                  L l litre litres liter liters
milliliter             mL ml
gallon                 gal gallon gallons
quart                  qt quart quarts
pint                   pt pint pints
pascal                 Pa
kilopascal             kPa
megapascal             MPa
gigapascal             GPa
millipascal            mPa
psi                    psi
kilopsi                ksi
megapsi                Msi
force_pound/foot**2    psf
bar                    bar
millibar               mbar
inHg                   inHg
mmHg                   mmHg
newton                 N
kilonewton             kN
meganewton             MN
force_pound            lbf
kilogram_force         kgf
joule                  J
kilojoule              kJ
watt                   W
centipoise             cP
kelvin                 K
delta_degree_Celsius   degC °C C
delta_degree_Fahrenheit degF °F F
second                 s sec second seconds
minute                 min minute minutes
hour                   h hr hrs hour hours
day                    day days
hertz                  Hz
kilohertz              kHz
shop_degree            deg ° degree degrees
shop_radian            rad radian radians
percent                % percent
ppm                    ppm
"""
UNIT_NAMES: Mapping[str, str] = MappingProxyType(
    {
        name: definition
        for definition, *names in map(str.split, _UNIT_TABLE.strip().splitlines())
        for name in names
    }
)
_SCALES_WITH_ZERO = {
    "delta_degree_Celsius": "degree_Celsius",
    "delta_degree_Fahrenheit": "degree_Fahrenheit",
}
_PAIRS = {("foot", "inch"), ("pound", "ounce"), ("hour", "minute")}

_Dims = frozenset[tuple[str, Fraction]]


@dataclass(frozen=True)
class _Unit:
    """SI value = number * factor + zero; ``zero`` matters for temperatures alone."""

    factor: Fraction
    zero: Fraction
    dims: _Dims


class _UnknownUnit(Exception):
    """A unit outside the list; ``fix`` is the same unit as it should be written, if known."""

    def __init__(self, what: str, fix: str = "") -> None:
        self.fix = fix
        super().__init__(what)

    def problem(self) -> Problem:
        """The same for a reader."""
        return Problem(f"{self}.", hint=f'"{self.fix}"' if self.fix else "")


def _load(cache_folder: str | None) -> pint.UnitRegistry[Any]:
    import pint

    return pint.UnitRegistry(cache_folder=cache_folder, non_int_type=Fraction)


@cache
def _registry() -> pint.UnitRegistry[Any]:
    """The unit library, loaded at the first unit that is read; cached on disc where possible."""
    try:
        registry = _load(cache_folder=":auto:")
    except OSError:  # no place to write: slower, not worse
        registry = _load(cache_folder=None)
    # The library counts an angle as a plain number, and would take 45 deg for a fraction.
    registry.define("shop_degree = [shop_angle]")
    registry.define(f"shop_radian = {math.degrees(1.0)!r} * shop_degree")
    return registry


_POWER = r"(?: ?(?:\^|\*\*) ?(?P<power>-?[1-4])|(?P<digit>[1-4]))?"
_PART = re.compile(rf"(?:(?P<lead>sq|square|cu|cubic)\.? )?(?P<name>°?[A-Za-z]+|[°%'\"]){_POWER}")
_JOIN = re.compile(r" ?(?P<over>/) ?| (?P<per>per) | ?\* ?| ")
_LEADS = {"sq": 2, "square": 2, "cu": 3, "cubic": 3}


def _powers(text: str) -> dict[str, int]:
    """``lb/ft3`` -> {"lb": 1, "ft": -3}: the names as typed, with their powers."""
    powers: dict[str, int] = {}
    place, sign = 0, 1
    if text.startswith(("/", "1/")):  # a reciprocal: 1/K
        place, sign = text.index("/") + 1, -1
    while True:
        part = _PART.match(text, place)
        if part is None:
            raise _UnknownUnit(f'"{_short(text)}" is not a unit')
        name = part["name"]
        if name in powers:
            raise _UnknownUnit(f'"{name}" stands twice in "{_short(text)}"')
        powers[name] = sign * int(part["power"] or part["digit"] or _LEADS.get(part["lead"], 1))
        if part.end() == len(text):
            return powers
        join = _JOIN.match(text, part.end())
        if join is None:
            raise _UnknownUnit(f'"{_short(text)}" is not a unit')
        if not (join["over"] or join["per"]) and sign < 0:
            raise _UnknownUnit(f'"{_short(text)}" leaves open what stands below the line')
        place, sign = join.end(), -1 if join["over"] or join["per"] else 1


def _check_names(names: Iterable[str], text: str) -> None:
    """Refuse names outside the list, offering the right case or the nearest that there are."""
    wrong = [name for name in names if name not in UNIT_NAMES]
    if not wrong:
        return
    right = {name: _in_right_case(name) for name in wrong}
    if all(right.values()):
        name = wrong[0]
        what = f'"{name}" is not a unit; capitals count: "{right[name]}" is'
        raise _UnknownUnit(what, re.sub("[A-Za-z°]+", lambda m: right.get(m[0], m[0]), text))
    name = next(name for name in wrong if not right[name])
    near = difflib.get_close_matches(name, UNIT_NAMES, n=2, cutoff=0.7)
    what = f'"{_short(name)}" is not a unit known here'
    raise _UnknownUnit(f"{what}; nearest: {_either(near)}" if near else what)


def _in_right_case(name: str) -> str:
    """The known name that differs in case alone; empty where there is none."""
    return next((known for known in UNIT_NAMES if known.casefold() == name.casefold()), "")


@lru_cache(maxsize=512)
def _unit(text: str) -> _Unit:
    """The unit that a text names; ``1`` is a plain number."""
    powers = {} if text == "1" else _powers(text)
    _check_names(powers, text)
    registry = _registry()
    size: Any = registry.Quantity(Fraction(1))
    for name, power in powers.items():
        size = size * registry.Quantity(Fraction(1), UNIT_NAMES[name]) ** power
    zero = Fraction(0)
    if scale := _SCALES_WITH_ZERO.get(UNIT_NAMES.get(text, "")):
        zero = _magnitude(registry.Quantity(Fraction(0), scale))
    dims = frozenset((str(base), Fraction(power)) for base, power in size.dimensionality.items())
    return _Unit(_magnitude(size), zero, dims)


def _magnitude(quantity: Any) -> Fraction:
    return Fraction(quantity.to_base_units().magnitude)


def _fits(unit: str, dimension: Dimension) -> bool:
    """Whether a unit can be read and measures what is wanted."""
    try:
        return _unit(unit).dims == _unit(dimension.si).dims
    except _UnknownUnit:
        return False


@lru_cache(maxsize=512)
def _unit_of_table(unit: str) -> _Unit:
    try:
        return _unit(_tidy(unit))
    except _UnknownUnit as unknown:
        raise UnitError(replace(unknown.problem(), given=_short(unit))) from None


def factor(unit: str) -> float:
    """SI value of one ``unit``, for the columns of a data table.

    unit : text, such as ``g/m^2``; ``1`` for a plain number.
    Returns the multiplier [SI unit / unit]; angles count in degrees.
    Raises UnitError for an unknown unit, and for a temperature whose zero lies elsewhere.
    """
    found = _unit_of_table(unit)
    if found.zero:
        what = f'"{unit}" has a zero of its own, so no factor leads to kelvin.'
        raise UnitError(Problem(what, given=unit, hint="to_si(value, unit)"))
    return float(found.factor)


def to_si(value: float, unit: str) -> float:
    """``value`` [unit] in SI; temperatures in kelvin, angles in degrees."""
    found = _unit_of_table(unit)
    return value * float(found.factor) + float(found.zero)


# --- Reading: text ------------------------------------------------------------------------------

_SAME_SIGNS = {
    "-": "−﹣－",
    '"': "″“”",
    "'": "′’‘",
    "°": "º˚",
    "u": "µμ",
    "*": "·⋅",
    "/": "⁄",
    "+/-": "±",
    "°C": "℃",
    "°F": "℉",
    " to ": "…",
    " 1/2 ": "½",
    " 1/4 ": "¼",
    " 3/4 ": "¾",
    " 1/8 ": "⅛",
    " 3/8 ": "⅜",
    " 5/8 ": "⅝",
    " 7/8 ": "⅞",
    " 1/3 ": "⅓",
    " 2/3 ": "⅔",
    "^1": "¹",
    "^2": "²",
    "^3": "³",
    "^4": "⁴",
}
_ONE_SIGN = str.maketrans({sign: plain for plain, signs in _SAME_SIGNS.items() for sign in signs})
_THIN_THOUSANDS = re.compile(r"(?<![0-9.])[0-9]{1,3}(?:[\u2009\u202f][0-9]{3})+(?![0-9/])")
_ABOUT = re.compile(r"\(≈ [0-9 /]+\)$")  # the nearest 1/32 that `show` adds to inches


def _tidy(text: str) -> str:
    """One spelling for signs that mean the same, single blanks, no thin thousands."""
    joined = _THIN_THOUSANDS.sub(lambda m: re.sub(r"[\u2009\u202f]", "", m[0]), text)
    plain = joined.replace("⁻", "^-").translate(_ONE_SIGN).replace("^-^", "^-")
    plain = " ".join(plain.replace("+-", "+/-").replace("''", '"').split())
    return _ABOUT.sub("", plain).rstrip()


@dataclass(frozen=True)
class _Term:
    """A number and its unit, both as typed (after :func:`_tidy`)."""

    number: Fraction
    words: str
    unit: str

    def with_unit(self, unit: str) -> _Term:
        """The same number; its own unit if it has one."""
        return self if self.unit else replace(self, unit=unit)


_DECIMAL = r"(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?"
_NUMBER = rf"(?:[0-9]+(?: ?- ?| )[0-9]+ ?/ ?[0-9]+|[0-9]+ ?/ ?[0-9]+|{_DECIMAL})"
_TERM = re.compile(rf"(?P<number>[+-]? ?{_NUMBER}) ?(?P<unit>.*)")
_TWO_PARTS = re.compile(
    rf"(?P<number>[+-]? ?{_NUMBER}) ?(?![eE][+-]?[0-9])(?P<unit>[A-Za-z]+|') ?"
    rf"(?P<part>{_NUMBER}) ?(?P<part_unit>[A-Za-z]+|\")"
)


def _refuse(what: str, hint: str = "") -> NoReturn:
    """Refuse; what was given and what is allowed are filled in at the door."""
    raise UnitError(Problem(what, hint=hint))


_BEYOND = "The number is beyond anything that can be built."


def _number(words: str) -> Fraction:
    """A number as typed, exactly."""
    sign = -1 if words.startswith("-") else 1
    whole, upper, lower = "0", words.lstrip("+- "), "1"
    if "/" in upper:
        *wholes, upper, lower = re.findall("[0-9]+", upper)
        if not int(lower):
            _refuse("A fraction cannot have 0 below the line.")
        if wholes and int(upper) >= int(lower):
            _refuse(f"After a whole number the fraction is less than 1, not {upper}/{lower}.")
        whole = wholes[0] if wholes else "0"
    exponent = upper.lower().partition("e")[2] or "0"
    if abs(int(exponent)) > LARGEST_EXPONENT:  # before it can fill the memory
        _refuse(_BEYOND)
    size = int(whole) + Fraction(upper) / int(lower)
    if size > 10**LARGEST_EXPONENT:
        _refuse(_BEYOND)
    return sign * size


def _term(text: str) -> _Term:
    """Read ``number [unit]``, or two parts such as ``5 ft 6 in``."""
    if two := _TWO_PARTS.fullmatch(text):
        return _term_of_two_parts(two)
    one = _TERM.fullmatch(text)
    if one is None:
        _refuse_no_number(text)
    number, unit = one["number"], one["unit"]
    if unit[:1].isdigit() and not unit.startswith("1/"):
        _refuse("Two numbers with nothing between them.", "one number, or a middle and its range")
    if re.match(r"- ?[.0-9]", unit):
        _refuse('A dash between two numbers can be a minus; a range is written with "to".')
    return _Term(_number(number), number, unit)


def _term_of_two_parts(match: re.Match[str]) -> _Term:
    """``5 ft 6 in`` in feet."""
    _check_names((match["unit"], match["part_unit"]), match[0])
    large, small = UNIT_NAMES[match["unit"]], UNIT_NAMES[match["part_unit"]]
    if (large, small) not in _PAIRS:
        _refuse("Two numbers with nothing between them.", "one number with one unit")
    whole, part = _number(match["number"]), _number(match["part"])
    part *= _unit(match["part_unit"]).factor / _unit(match["unit"]).factor
    if part >= 1:
        _refuse(f"{match['part']} {match['part_unit']} is 1 {match['unit']} or more.")
    sign = -1 if match["number"].startswith("-") else 1
    return _Term(whole + sign * part, f"{float(whole + sign * part):.6g}", match["unit"])


def _refuse_no_number(text: str) -> NoReturn:
    bare = text.lstrip("+- ").lower()
    if re.match(r"(inf|infinity|nan)\b", bare):
        _refuse("The number must be finite.")
    if re.match(r"[+-] ?[+-]", text):
        _refuse("The number has two signs.")
    try:
        _unit(text)
    except _UnknownUnit:
        _refuse("There is no number at the start.")
    _refuse("There is a unit but no number.")


# --- Reading: a number and its unit to SI -------------------------------------------------------

_KINDS = {
    "kg": "a mass",
    "m": "a length",
    "m2": "an area",
    "m3": "a volume",
    "kg/m": "a mass over length",
    "kg/m2": "a mass over area",
    "kg/m3": "a density",
    "Pa": "a stress or pressure",
    "N": "a force",
    "N/m": "a force over length",
    "N m": "a moment",
    "K": "a temperature",
    "1/K": "an expansion",
    "1": "a plain share",
    "deg": "an angle",
    "s": "a time",
    "Hz": "a frequency",
    "Pa s": "a viscosity",
}
# What is meant where a unit of another kind is typed, by the SI unit of what is wanted.
_MEANT = {
    ("ounce", "kg/m2"): (("oz/yd2", " for cloth"), ("oz/ft2", " for mat")),
    ("pound", "kg/m2"): (("lb/ft2", ""),),
    ("gram", "kg/m2"): (("g/m2", ""),),
    ("kilogram", "kg/m2"): (("kg/m2", ""),),
    ("pound", "kg/m3"): (("lb/ft3", ""),),
    ("kilogram", "kg/m3"): (("kg/m3", ""),),
    ("pound", "N"): (("lbf", ""),),
    ("kilogram", "N"): (("kgf", ""),),
}


def _measure(term: _Term, dimension: Dimension, *, zero: bool = True) -> Fraction:
    """A term in SI, exactly; ``zero`` off for the difference of two temperatures."""
    if not term.unit:
        return _bare(term, dimension)
    unit = _unit_wanted(term, dimension)
    return term.number * unit.factor + (unit.zero if zero and dimension.own_zero else 0)


def _bare(term: _Term, dimension: Dimension) -> Fraction:
    offers = _offers(term.words, dimension.units)
    if not dimension.unitless_ok:
        _refuse(f"{term.words} has no unit.", offers)
    least, most = dimension.bare_limits
    if not least <= term.number <= most:
        _refuse(f"{term.words} without a unit is not between {least:g} and {most:g}.", offers)
    return term.number


def _unit_wanted(term: _Term, dimension: Dimension) -> _Unit:
    """The unit of a term, held to what is wanted; each usual slip has its own sentence."""
    if term.unit in ("mil", "mils"):
        what = '"mil" is a thousandth of an inch to one and a millimetre to the next.'
        _refuse(what, f'"{float(term.number) / 1000:.6g} in"')
    if term.unit == "mPa" and _fits("Pa", dimension):
        _refuse("mPa is a thousandth of a pascal.", _offers(term.words, ("MPa",)))
    try:
        unit = _unit(term.unit)
    except _UnknownUnit as unknown:
        fix = (unknown.fix,) if _fits(unknown.fix, dimension) else ()
        _refuse(f"{unknown}.", _offers(term.words, fix))
    if unit.dims != _unit(dimension.si).dims:
        _refuse_kind(term, unit, dimension)
    return unit


def _refuse_kind(term: _Term, unit: _Unit, dimension: Dimension) -> NoReturn:
    kinds = (kind for si, kind in _KINDS.items() if _unit(si).dims == unit.dims)
    kind = next(kinds, "of another kind")
    what = f"{term.words} {term.unit} is {kind}; here {dimension.words} is wanted."
    meant = _MEANT.get((UNIT_NAMES.get(term.unit, ""), dimension.si))
    if meant:
        _refuse(what, ", ".join(f'"{term.words} {right}"{use}' for right, use in meant))
    if kind == "a mass over area" and dimension.si == "Pa" and "lb" in term.unit:
        _refuse(what, _offers(term.words, (term.unit.replace("lbs", "lb").replace("lb", "lbf"),)))
    # A power left out, as in oz/yd for oz/yd2.
    powered = (f"{term.unit}{power}" for power in "23" if term.unit[-1].isalpha())
    _refuse(what, _offers(term.words, [fix for fix in powered if _fits(fix, dimension)]))


def _offers(words: str, units: Iterable[str]) -> str:
    return " or ".join(f'"{words} {unit}"' for unit in units)


# --- Reading: whole quantities ------------------------------------------------------------------

_MIDDLE_AND_RANGE = re.compile(
    r"(?P<middle>[^()]+) ?\((?P<low>.+?) to (?P<high>.+?)\) ?(?P<unit>.*)"
)
_MIDDLE_AND_SPREAD = re.compile(r"(?P<middle>.+?) ?(?P<sign>\+/-| sd (?=.)) ?(?P<spread>.+)")
_SPAN = re.compile(r"(?P<low>[^()]+?) to (?P<high>[^()]+)")

_Points = tuple[Fraction, Fraction, Fraction]  # low, middle, high in SI


def _with_range(match: re.Match[str], dimension: Dimension) -> _Points:
    """``10 mm (9.5 to 10.2 mm)``; a unit after the bracket serves all three."""
    middle, low, high = (_term(match[part].strip()) for part in ("middle", "low", "high"))
    if match["unit"]:
        middle, low, high = (term.with_unit(match["unit"]) for term in (middle, low, high))
    elif dimension.unitless_ok:  # 12 (0.1 to 14 %): a bare number is never given a unit from afar
        low = low.with_unit(high.unit)
    else:
        middle = middle.with_unit(high.unit)
        high = high.with_unit(middle.unit)
        low = low.with_unit(high.unit)
    return (_measure(low, dimension), _measure(middle, dimension), _measure(high, dimension))


def _with_spread(match: re.Match[str], dimension: Dimension) -> _Points:
    """``12.2 +/- 0.3 mm`` or ``300 g/m2 sd 3 %``."""
    middle, spread = _term(match["middle"]), _term(match["spread"])
    if spread.number < 0 or match["spread"][0] in "+-":
        _refuse(f'The figure after "{match["sign"].strip()}" has no sign.')
    if _is_share(middle, spread, dimension):
        value = _measure(middle, dimension)
        half = abs(value) * spread.number / 100
    else:
        value = _measure(middle.with_unit(spread.unit), dimension)
        half = _measure(spread.with_unit(middle.unit), dimension, zero=False)
    if match["sign"].strip() == "sd":
        half *= Fraction(_SIGMAS_OF_90)
    return (value - half, value, value + half)


def _is_percent(unit: str) -> bool:
    return UNIT_NAMES.get(unit) == "percent"


def _is_share(middle: _Term, spread: _Term, dimension: Dimension) -> bool:
    """Whether a spread is a share of the middle, not a figure of the same kind."""
    if not _is_percent(spread.unit):
        return False
    if dimension.own_zero:
        _refuse("A share of a temperature means nothing; give the spread in degrees.")
    if _is_percent(middle.unit):
        return False
    if dimension.metric == "%" and abs(middle.number) <= 1:  # a share, points, or 0.45 %?
        words, percent = middle.words, f"{float(middle.number) * 100:.6g}"
        _refuse(
            f"{words} is a plain number and {spread.words} % is not.",
            f'"{percent} % +/- {spread.words} %" or "{words} +/- {float(spread.number) / 100:.6g}"',
        )
    return dimension.metric != "%"


def _points(text: str, dimension: Dimension) -> tuple[_Points, bool]:
    """Low, middle and high in SI, and whether a range was given."""
    if text.startswith("+/-"):
        _refuse_no_middle(text.removeprefix("+/-").strip(), dimension)
    if ranged := _MIDDLE_AND_RANGE.fullmatch(text):
        return _with_range(ranged, dimension), True
    if spread := _MIDDLE_AND_SPREAD.fullmatch(text):
        return _with_spread(spread, dimension), True
    if span := _SPAN.fullmatch(text):
        _refuse_span(span, dimension)
    value = _measure(_term(text), dimension)
    return (value, value, value), False


def _refuse_no_middle(rest: str, dimension: Dimension) -> NoReturn:
    if dimension.si == "deg":
        what = "One layer lies at one angle; plus and minus are two layers."
        _refuse(what, f'"{rest}" for one and "-{rest}" for the other')
    _refuse('A figure stands in front of "+/-": the middle of the range.')


def _refuse_span(match: re.Match[str], dimension: Dimension) -> NoReturn:
    low, high = _span_terms(match)
    _measure(low, dimension)
    hint = ""
    if low.unit == high.unit:
        middle = f"{float(low.number + high.number) / 2:.6g} {low.unit}".strip()
        hint = f'"{middle} ({match[0]})"'
    _refuse("A range alone has no middle.", hint)


def _span_terms(match: re.Match[str]) -> tuple[_Term, _Term]:
    low, high = _term(match["low"]), _term(match["high"])
    return low.with_unit(high.unit), high.with_unit(low.unit)


def _span_points(text: str, dimension: Dimension) -> tuple[_Points, bool]:
    """Low, middle and high of ``-5 to 50 degC``; anything else is read as a quantity."""
    span = _SPAN.fullmatch(text)
    if span is None:
        return _points(text, dimension)
    low, high = (_measure(term, dimension) for term in _span_terms(span))
    return (low, (low + high) / 2, high), True


def _check_points(points: _Points, dimension: Dimension) -> None:
    low, middle, high = points
    if low > high:
        _refuse("The range runs backwards: the smaller figure comes first.")
    if not low <= middle <= high:
        _refuse("The middle lies outside its range.")
    if dimension.own_zero and low < 0:
        _refuse("That is colder than absolute zero (-273.15 degC).")


def _check_text(text: str) -> None:
    if len(text) > LONGEST_TEXT:
        _refuse(f"The text is {len(text)} characters long; {LONGEST_TEXT} is the most.")
    if not text.strip():
        _refuse("There is nothing written here.")
    if re.search("[0-9],[0-9]", text):
        _refuse_comma(text.strip())


def _refuse_comma(text: str) -> NoReturn:
    as_point, without = f'"{text.replace(",", ".")}"', f'"{text.replace(",", "")}"'
    if not re.search(r"(?<![0-9.,])[1-9][0-9]{0,2}(,[0-9]{3})+(?![0-9,])", text):
        hint = as_point
    elif "." in text or text.count(",") > 1:
        hint = without
    else:
        hint = f"{without} or {as_point}"
    _refuse("A comma can be a decimal point or a thousands mark.", hint)


def _check_number(number: float, dimension: Dimension) -> None:
    """Refuse a plain number that is not finite, or where text with a unit is wanted."""
    try:
        finite = math.isfinite(number)
    except OverflowError:  # an integer of hundreds of digits
        finite = False
    if not finite:
        _refuse("The number must be finite.")
    if not dimension.unitless_ok:
        offers = _offers(f"{number:.6g}", dimension.units)
        _refuse("A number with a dimension is text with a unit.", offers)


_Points_of = Callable[[str, Dimension], tuple[_Points, bool]]


def _read(given: object, name: str, points_of: _Points_of) -> Quantity:
    dimension = DIMENSIONS[name]
    try:
        text = _text(given, dimension)
        _check_text(text)
        points, has_range = points_of(_tidy(text), dimension)
        _check_points(points, dimension)
    except UnitError as error:
        (problem,) = error.problems
    except _UnknownUnit as unknown:
        problem = unknown.problem()
    else:
        low, middle, high = points
        return Quantity(float(middle), float(low), float(high), text, has_range)
    raise UnitError(replace(problem, given=_given(given), allowed=dimension.allowed))


def _text(given: object, dimension: Dimension) -> str:
    if isinstance(given, str):
        return given
    if isinstance(given, bool) or not isinstance(given, int | float):
        _refuse("This is not a quantity.", dimension.example)
    _check_number(given, dimension)
    return str(given)


_GIVEN = {
    dict: "a table",
    list: "a list",
    bool: "a yes or no",
    int: "a number of very many digits",
    type(None): "nothing",
}


def _given(given: object) -> str:
    if isinstance(given, str):
        return _short(" ".join(given.split())) or "an empty text"
    if isinstance(given, float):
        return f"{given:.6g}"
    if type(given) is int and abs(given) < 10**LARGEST_EXPONENT:
        return str(given)
    return _GIVEN.get(type(given), f"a {type(given).__name__}")


def parse(text: object, dimension: str) -> Quantity:
    """Read a quantity as a builder types it.

    text : the text, or a plain number where the dimension allows one (angle, fraction, ratio).
    dimension : a key of :data:`DIMENSIONS`.

    Returns the middle and the 5 and 95 % points in the SI unit of the dimension (angles in
    degrees); all three are equal where no range was given.
    Raises UnitError with one Problem for anything else, KeyError for an unknown dimension.
    """
    return _read(text, dimension, _points)


def parse_span(text: object, dimension: str) -> Quantity:
    """Read a span such as ``-5 to 50 degC``: low and high as given, the value half-way.

    A plain quantity is read as :func:`parse` reads it. Raises as :func:`parse` does.
    """
    return _read(text, dimension, _span_points)


# --- Showing ------------------------------------------------------------------------------------

THIN_SPACE, MINUS = "\u2009", "\u2212"
_SYSTEMS = {"si": ("metric",), "imperial": ("imperial",), "both": ("metric", "imperial")}
_FIGURES = 3
_INCH_FIGURES, _INCH_PLACE = 4, -3
_GRADUATION = 32  # the finest mark of a shop rule, in parts of an inch


def _label(unit: str) -> str:
    """A unit as it is printed, with the blank before it; degrees of angle stand close."""
    if unit == "deg":
        return "°"
    printed = unit.replace("deg", "°").replace(" ", "·").replace("2", "²").replace("3", "³")
    return f" {printed}" if printed else ""


def _shown_unit(dimension: Dimension, kind: str, size: float) -> str:
    """The larger unit from 1 of itself upwards, else the ordinary one."""
    unit, large = (
        (dimension.metric, dimension.metric_large)
        if kind == "metric"
        else (dimension.imperial, dimension.imperial_large)
    )
    return large if large and abs(size) >= _unit(large).factor else unit


def _from_si(value: float, unit: str, dimension: Dimension) -> float:
    found = _unit(unit or "1")
    zero = float(found.zero) if dimension.own_zero else 0.0
    return (value - zero) / float(found.factor)


def _exact(value: float) -> Decimal:
    """Twelve digits: what is left after the noise of binary conversion."""
    return Decimal(f"{value:.12g}")


def _place_of_range(low: float, high: float, unit: str) -> int:
    """Half the 90 % range to two digits fixes the last place, as a power of ten."""
    place = int(f"{(high - low) / 2:.1e}".partition("e")[2]) - 1
    return max(place, _INCH_PLACE) if unit == "in" else place


def _place_of_figures(value: float, unit: str) -> int:
    """The last place of a computed number: three figures; inches four, to a thousandth."""
    leading = int(f"{value:.{_FIGURES - 1}e}".partition("e")[2])
    if unit == "in":
        return max(leading - _INCH_FIGURES + 1, _INCH_PLACE)
    return leading - _FIGURES + 1


def _grouped(digits: str) -> str:
    """Thousands by a thin space from 10 000."""
    whole, point, rest = digits.partition(".")
    return (f"{int(whole):,}".replace(",", THIN_SPACE) if len(whole) > 4 else whole) + point + rest


def _digits(value: float, place: int, rounding: str = ROUND_HALF_UP) -> str:
    exact = _exact(value)
    place = max(place, exact.adjusted() - 11)  # beyond twelve digits there is only noise
    rounded = exact.quantize(Decimal((0, (1,), place)), rounding)
    sign = MINUS if rounded < 0 else ""
    size = abs(rounded)
    if size and not 1e-9 <= size < 1e12:
        return f"{sign}{size:e}"
    return sign + _grouped(f"{size:f}")


def _figures(value: float, unit: str) -> str:
    """A number without a range: as given if that is short, else three figures."""
    text = _digits(value, _place_of_figures(value, unit))
    if unit == "in" or "." not in text or "e" in text:
        return text
    short = text.rstrip("0").rstrip(".")
    return short if Decimal(short.replace(MINUS, "-")) == _exact(value) else text


def _thirty_seconds(inches: float) -> str:
    """``≈ 11/32``: the nearest mark of a rule; empty below its first mark."""
    if inches < 1 / _GRADUATION:
        return ""
    whole, part = divmod(Fraction(round(inches * _GRADUATION), _GRADUATION), 1)
    words = " ".join(str(piece) for piece in (whole, part) if piece)
    return f"≈ {words}"


def _shown(
    value: float, dimension: Dimension, kind: str, low: float, high: float
) -> tuple[str, str]:
    """The number with its unit, and the remark that goes with inches of thickness."""
    unit = _shown_unit(dimension, kind, (low + high) / 2 if high > low else value)
    number = _from_si(value, unit, dimension)
    if high > low:
        bottom, top = (_from_si(end, unit, dimension) for end in (low, high))
        text = _digits(number, _place_of_range(bottom, top, unit))
    else:
        text = _figures(number, unit)
    remark = _thirty_seconds(number) if unit == "in" and dimension.name == "thickness" else ""
    return text + _label(unit), remark


def show(
    value: float,
    dimension: str,
    system: str = "si",
    low: float | None = None,
    high: float | None = None,
) -> str:
    """A number for reading, in the shop's units.

    value : in the SI unit of the dimension.
    system : ``si``, ``imperial``, or ``both`` (metric first).
    low, high : the 90 % range, which fixes the last digit shown; without it three figures.
    Raises ValueError for a number that is not finite or half a range, KeyError for an unknown
    dimension or system.
    """
    if (low is None) != (high is None):
        raise ValueError("low and high are given together or not at all")
    ends = (value, value) if low is None or high is None else (low, high)
    _check_finite(value, *ends)
    kinds = _SYSTEMS[system]
    (shown, remark), *others = (_shown(value, DIMENSIONS[dimension], kind, *ends) for kind in kinds)
    if others and others[0][0] != shown:
        remark = ", ".join(part for part in others[0] if part)
    return f"{shown} ({remark})" if remark else shown


def show_range(low: float, high: float, dimension: str, system: str = "si") -> str:
    """A 90 % range for reading: ``3.82 … 4.41 kg/m²``, low rounded down and high up.

    low, high : in the SI unit of the dimension. Raises as :func:`show` does, and ValueError
    where low lies above high.
    """
    _check_finite(low, high)
    if low > high:
        raise ValueError(f"low {low} lies above high {high}")
    kinds = _SYSTEMS[system]
    first, *others = (_range(low, high, DIMENSIONS[dimension], kind) for kind in kinds)
    return f"{first} ({others[0]})" if others and others[0] != first else first


def _range(low: float, high: float, dimension: Dimension, kind: str) -> str:
    unit = _shown_unit(dimension, kind, (low + high) / 2)
    bottom, top = (_from_si(end, unit, dimension) for end in (low, high))
    if bottom == top:
        return _figures(bottom, unit) + _label(unit)
    place = _place_of_range(bottom, top, unit)
    down, up = _digits(bottom, place, ROUND_FLOOR), _digits(top, place, ROUND_CEILING)
    return f"{down} … {up}{_label(unit)}"


def _check_finite(*values: float) -> None:
    if not all(math.isfinite(value) for value in values):
        raise ValueError(f"only finite numbers can be shown, not {values}")


# --- Words --------------------------------------------------------------------------------------


def _either(names: Iterable[str]) -> str:
    """``a, b or c``."""
    *most, last = names
    return f"{', '.join(most)} or {last}" if most else last


def _short(text: str, most: int = 60) -> str:
    return text if len(text) <= most else f"{text[: most - 1]}…"
