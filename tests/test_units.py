"""What is read, what is refused and how, what is shown.

Expected values follow from the exact definitions of NIST SP 811 (2008), Appendix B.8 (from memory
of the document; held against scipy.constants below): inch 25.4 mm, foot 12 in, yard 36 in, pound
0.453 592 37 kg, ounce 1/16 lb, US gallon 231 in3, standard gravity 9.806 65 m/s2. Other expected
values say beside them where they come from.
"""

from __future__ import annotations

import math
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants

from panelwright import provenance, units
from panelwright.errors import Problem, UnitError
from panelwright.units import (
    DIMENSIONS,
    UNIT_NAMES,
    Quantity,
    factor,
    parse,
    parse_span,
    show,
    show_range,
    to_si,
)

INCH = 0.0254
FOOT = 12 * INCH
YARD = 36 * INCH
POUND = 0.45359237
OUNCE = POUND / 16
GALLON = 231 * INCH**3
PSI = POUND * 9.80665 / INCH**2
SIGMAS = 1.6448536269514722  # 95 % point of the normal distribution, any table of it
EXACT = 1e-14


Read = Callable[[object, str], Quantity]


def problem_of(text: object, dimension: str, read: Read = parse) -> Problem:
    with pytest.raises(UnitError) as caught:
        read(text, dimension)
    (problem,) = caught.value.problems
    return problem


# --- Reading -------------------------------------------------------------------------------------

READ = [
    # Lengths.
    ("1/2 in", "thickness", 0.5 * INCH),
    ("1 1/2 in", "thickness", 1.5 * INCH),
    ('½"', "thickness", 0.5 * INCH),
    ("1½ in", "thickness", 1.5 * INCH),
    ("1 ½ in", "thickness", 1.5 * INCH),
    ('1-1/2"', "thickness", 1.5 * INCH),
    ('3/16"', "thickness", 0.1875 * INCH),
    ("3/16″", "thickness", 0.1875 * INCH),
    ("3/16''", "thickness", 0.1875 * INCH),
    ("1⁄4 in", "thickness", 0.25 * INCH),
    *((f"{s} in", "thickness", n / 8 * INCH) for s, n in zip("⅛¼⅜½⅝¾⅞", range(1, 8), strict=True)),
    ("1/3 in", "thickness", INCH / 3),
    ("-1 1/2 in", "thickness", -1.5 * INCH),
    ("−8 mm", "thickness", -0.008),
    ("+8 mm", "thickness", 0.008),
    ("8mm", "thickness", 0.008),
    (".5 mm", "thickness", 0.0005),
    ("5. mm", "thickness", 0.005),
    ("0.3 mm", "thickness", 0.0003),
    ("2.5e-1 mm", "thickness", 0.00025),
    ("250 µm", "thickness", 0.00025),  # U+00B5
    ("250 μm", "thickness", 0.00025),  # U+03BC
    ("5 thou", "thickness", 0.005 * INCH),
    ("8\u2009mm", "thickness", 0.008),
    ("1\u2009100/200 in", "thickness", 1.5 * INCH),
    ("12\u2009345 mm", "length", 12.345),
    ("12\u202f345.5 mm", "length", 12.3455),
    ("5 ft 6 in", "length", 66 * INCH),
    ("5' 6\"", "length", 66 * INCH),
    ("5'6\"", "length", 66 * INCH),
    ("5′ 6½″", "length", 66.5 * INCH),
    ("5 ft 6 1/2 in", "length", 66.5 * INCH),
    ("-5 ft 6 in", "length", -66 * INCH),
    ("2 yards", "length", 2 * YARD),
    ("3.4 metres", "length", 3.4),
    # Masses over area, and over volume. Mat is sold by the square foot, cloth by the square yard.
    ("12 oz/yd2", "cloth_mass", 12 * OUNCE / YARD**2),
    ("12 oz/yd^2", "cloth_mass", 12 * OUNCE / YARD**2),
    ("12 oz/yd²", "cloth_mass", 12 * OUNCE / YARD**2),
    ("12 oz yd⁻²", "cloth_mass", 12 * OUNCE / YARD**2),
    ("12 oz per sq yd", "cloth_mass", 12 * OUNCE / YARD**2),
    ("0.75 oz/ft^2", "cloth_mass", 0.75 * OUNCE / FOOT**2),
    ("300 gsm", "cloth_mass", 0.3),
    ("300 g/m²", "cloth_mass", 0.3),
    ("300g/m2", "cloth_mass", 0.3),
    ("300 g / m ^ 2", "cloth_mass", 0.3),
    ("4.1 kg/m2", "areal_mass", 4.1),
    ("8 lb/ft3", "density", 8 * POUND / FOOT**3),
    ("1.2 g/cm3", "density", 1200.0),
    ("0.4 kg/m", "linear_mass", 0.4),
    # Stresses.
    ("2 ksi", "stress", 2000 * PSI),
    ("1.6 Msi", "modulus", 1.6e6 * PSI),
    ("11 GPa", "modulus", 11e9),
    ("3 N/mm2", "stress", 3e6),
    ("40 lbf/in2", "stress", 40 * PSI),
    ("10 psf", "pressure", 10 * PSI / 144),
    ("0.9 bar", "pressure", 9e4),
    # Conventional mercury, 13 595.1 kg/m3 (NIST SP 811 footnote, from memory).
    ("25 inHg", "pressure", 25 * INCH * 13595.1 * 9.80665),
    ("760 mmHg", "pressure", 0.760 * 13595.1 * 9.80665),
    # Temperatures.
    ("20 degC", "temperature", 293.15),
    ("20 °C", "temperature", 293.15),
    ("20 ℃", "temperature", 293.15),
    ("20 ºC", "temperature", 293.15),
    ("20 C", "temperature", 293.15),
    ("68 degF", "temperature", 293.15),
    ("-40 °F", "temperature", 233.15),
    ("293.15 K", "temperature", 293.15),
    ("27 degF", "temperature_change", 15.0),
    ("15 °C", "temperature_change", 15.0),
    # Plain numbers and angles.
    ("12 %", "fraction", 0.12),
    ("0.45", "fraction", 0.45),
    (0.45, "fraction", 0.45),
    (1, "fraction", 1.0),
    ("120 %", "fraction", 1.2),
    ("1.25", "ratio", 1.25),
    (-0.3, "ratio", -0.3),
    ("45", "angle", 45.0),
    (45, "angle", 45.0),
    (-22.5, "angle", -22.5),
    ("45 deg", "angle", 45.0),
    ("45°", "angle", 45.0),
    ("0.785 rad", "angle", math.degrees(0.785)),
    # The rest.
    ("2.5 kg", "mass", 2.5),
    ("5 lb 8 oz", "mass", 5.5 * POUND),
    ("9 oz", "resin_mass", 9 * OUNCE),
    ("32 sq ft", "area", 32 * FOOT**2),
    ("0.4 gal", "volume", 0.4 * GALLON),
    ("1.5 L", "volume", 0.0015),
    ("500 ml", "volume", 0.0005),
    ("25 min", "time", 1500.0),
    ("1 h 30 min", "time", 5400.0),
    ("180 lbf", "force", 180 * POUND * 9.80665),
    ("11 lbf/in", "line_load", 11 * POUND * 9.80665 / INCH),
    ("37 lbf ft", "moment", 37 * POUND * 9.80665 * FOOT),
    ("50 N·m", "moment", 50.0),
    ("600 cP", "viscosity", 0.6),
    ("600 mPa s", "viscosity", 0.6),
    ("120 Hz", "frequency", 120.0),
    ("6 ppm/K", "expansion", 6e-6),
    ("6e-6/K", "expansion", 6e-6),
    ("6e-6 1/K", "expansion", 6e-6),
]


@pytest.mark.parametrize(("text", "dimension", "si"), READ)
def test_reads(text: object, dimension: str, si: float) -> None:
    quantity = parse(text, dimension)
    assert quantity.value == pytest.approx(si, rel=EXACT)
    assert quantity == Quantity(quantity.value, quantity.value, quantity.value, str(text), False)


def test_decimals_are_read_to_the_last_bit() -> None:
    assert [parse(f"{tenths / 10} mm", "thickness").value for tenths in (1, 3, 7, 11)] == [
        0.0001,
        0.0003,
        0.0007,
        0.0011,
    ]
    assert parse("68 degF", "temperature").value == 293.15


@pytest.mark.parametrize(
    ("text", "g_m2"),
    [("12 oz/yd2", 406.87), ("0.75 oz/ft2", 228.86), ("1 oz/yd2", 33.906), ("1 oz/ft2", 305.15)],
)
def test_cloth_by_the_yard_and_mat_by_the_foot(text: str, g_m2: float) -> None:
    """Common figures of the trade, to as many digits as it prints."""
    digits = len(str(g_m2).partition(".")[2])
    assert parse(text, "cloth_mass").value * 1000 == pytest.approx(g_m2, abs=0.5 * 10**-digits)


RANGES = [
    ("0.45 +/- 0.03", "fraction", 0.45, 0.42, 0.48),
    ("0.45 +- 0.03", "fraction", 0.45, 0.42, 0.48),
    ("12.2 ± 0.3 mm", "thickness", 0.0122, 0.0119, 0.0125),
    ("8 mm +/- 0.3 mm", "thickness", 0.008, 0.0077, 0.0083),
    ("8 mm +/- 0.3", "thickness", 0.008, 0.0077, 0.0083),
    ("8 mm +/- 1/32 in", "thickness", 0.008, 0.008 - INCH / 32, 0.008 + INCH / 32),
    ("8 mm +/- 5 %", "thickness", 0.008, 0.0076, 0.0084),
    ("8 mm +/- 0 mm", "thickness", 0.008, 0.008, 0.008),
    ("-8 mm +/- 5 %", "thickness", -0.008, -0.0084, -0.0076),
    ("12 % +/- 2 %", "fraction", 0.12, 0.10, 0.14),  # points, as a builder means them
    ("12 +/- 2 %", "fraction", 0.12, 0.10, 0.14),
    ("12 % +/- 2", "fraction", 0.12, 0.10, 0.14),
    ("0.3 +/- 10 %", "ratio", 0.3, 0.27, 0.33),
    ("45 +/- 2", "angle", 45, 43, 47),
    ("45 +/- 2 deg", "angle", 45, 43, 47),
    ("20 degC +/- 3 degC", "temperature", 293.15, 290.15, 296.15),
    ("20 ± 3 °C", "temperature", 293.15, 290.15, 296.15),
    ("20 °C ± 9 °F", "temperature", 293.15, 288.15, 298.15),
    ("20 degC +/- 3 K", "temperature", 293.15, 290.15, 296.15),
    ("0.45 sd 0.02", "fraction", 0.45, 0.45 - SIGMAS * 0.02, 0.45 + SIGMAS * 0.02),
    ("300 g/m2 sd 3 %", "cloth_mass", 0.3, 0.3 - SIGMAS * 0.009, 0.3 + SIGMAS * 0.009),
    ("300 sd 9 g/m2", "cloth_mass", 0.3, 0.3 - SIGMAS * 0.009, 0.3 + SIGMAS * 0.009),
    ("0.45 (0.40 to 0.48)", "fraction", 0.45, 0.40, 0.48),
    ("40 (35 to 48) %", "fraction", 0.40, 0.35, 0.48),
    ("40 % (35 to 48 %)", "fraction", 0.40, 0.35, 0.48),
    ("10 mm (9.5 mm to 10.2 mm)", "thickness", 0.010, 0.0095, 0.0102),
    ("10 mm (9.5 to 10.2)", "thickness", 0.010, 0.0095, 0.0102),
    ("10 mm (9.5 to 10.2 mm)", "thickness", 0.010, 0.0095, 0.0102),
    ("10 (9.5 to 10.2 mm)", "thickness", 0.010, 0.0095, 0.0102),
    ("10 mm (3/8 to 7/16 in)", "thickness", 0.010, 3 / 8 * INCH, 7 / 16 * INCH),
    ("20 (15 to 30) degC", "temperature", 293.15, 288.15, 303.15),
    ("10 mm (10 mm to 10 mm)", "thickness", 0.010, 0.010, 0.010),
]


@pytest.mark.parametrize(("text", "dimension", "value", "low", "high"), RANGES)
def test_reads_ranges(text: str, dimension: str, value: float, low: float, high: float) -> None:
    quantity = parse(text, dimension)
    assert (quantity.value, quantity.low, quantity.high) == pytest.approx(
        (value, low, high), rel=EXACT
    )
    assert quantity.has_range
    assert quantity.text == text


def test_standard_deviation_and_provenance_agree() -> None:
    quantity = parse("100 mm sd 1 mm", "thickness")
    assert quantity.high - quantity.value == pytest.approx(
        provenance.SIGMAS_OF_90 * 0.001, rel=1e-12
    )
    assert units._SIGMAS_OF_90 == provenance.SIGMAS_OF_90


SPANS = [
    ("-5 to 50 degC", "temperature", 268.15, 323.15),
    ("−5 … 50 °C", "temperature", 268.15, 323.15),
    ("40 to 90 %", "fraction", 0.4, 0.9),
    ("0.4 to 0.9", "fraction", 0.4, 0.9),
    ("5 mm to 1/4 in", "thickness", 0.005, 0.25 * INCH),
    ("5 mm to 6", "thickness", 0.005, 0.006),
    ("20 to 20 degC", "temperature", 293.15, 293.15),
]


@pytest.mark.parametrize(("text", "dimension", "low", "high"), SPANS)
def test_reads_spans(text: str, dimension: str, low: float, high: float) -> None:
    span = parse_span(text, dimension)
    assert (span.low, span.value, span.high) == pytest.approx(
        (low, (low + high) / 2, high), rel=EXACT
    )
    assert span.has_range
    assert span.text == text


def test_a_span_may_be_a_plain_quantity() -> None:
    assert parse_span("20 degC", "temperature") == parse("20 degC", "temperature")
    assert parse_span("8 mm +/- 1 mm", "thickness") == parse("8 mm +/- 1 mm", "thickness")


# --- Refusing ------------------------------------------------------------------------------------

# text, dimension, a part of what is wrong, the whole of what to try
REFUSED = [
    # One word, two meanings.
    ("5 mil", "thickness", '"mil" is a thousandth of an inch to one', '"0.005 in"'),
    ("2 1/2 mils", "thickness", '"mil" is a thousandth of an inch to one', '"0.0025 in"'),
    ("8 mm +/- 12 mil", "thickness", '"mil" is a thousandth', '"0.012 in"'),
    ("1,5 mm", "thickness", "A comma can be a decimal point", '"1.5 mm"'),
    ("0,45 (0,40 to 0,48)", "fraction", "A comma can be", '"0.45 (0.40 to 0.48)"'),
    ("1,500 mm", "length", "A comma can be", '"1500 mm" or "1.500 mm"'),
    ("1,234.5 mm", "length", "A comma can be", '"1234.5 mm"'),
    ("1,234,567 mm", "length", "A comma can be", '"1234567 mm"'),
    ("0,500 mm", "length", "A comma can be", '"0.500 mm"'),
    # Capitals.
    ("3 MM", "thickness", '"MM" is not a unit; capitals count: "mm" is', '"3 mm"'),
    ("5 Mm", "thickness", 'capitals count: "mm" is', '"5 mm"'),
    ("20 DegC", "temperature", 'capitals count: "degC" is', '"20 degC"'),
    ("2 KG", "mass", 'capitals count: "kg" is', '"2 kg"'),
    ("12 OZ/YD2", "cloth_mass", 'capitals count: "oz" is', '"12 oz/yd2"'),
    ("300 G/m2", "cloth_mass", 'capitals count: "g" is', '"300 g/m2"'),
    ("5 FT 6 IN", "length", 'capitals count: "ft" is', '"5 ft 6 in"'),
    ("2 PSI", "stress", 'capitals count: "psi" is', '"2 psi"'),
    ("2 mpa", "stress", 'capitals count: "MPa" is', '"2 MPa"'),
    ("2 mPa", "stress", "mPa is a thousandth of a pascal", '"2 MPa"'),
    ("11 mPa", "modulus", "mPa is a thousandth of a pascal", '"11 MPa"'),
    # Another kind of quantity.
    ("5 kg", "thickness", "5 kg is a mass; here a thickness is wanted", ""),
    ("45 deg", "fraction", "45 deg is an angle; here a fraction is wanted", ""),
    ("12 %", "angle", "12 % is a plain share; here an angle is wanted", ""),
    ("12 %", "thickness", "12 % is a plain share; here a thickness is wanted", ""),
    ("5 kg m2", "mass", "5 kg m2 is of another kind; here a mass is wanted", ""),
    (
        "12 oz",
        "areal_mass",
        "12 oz is a mass; here an areal mass is wanted",
        '"12 oz/yd2" for cloth, "12 oz/ft2" for mat',
    ),
    (
        "1 1/2 ounces",
        "cloth_mass",
        "is a mass; here a cloth mass is wanted",
        '"1 1/2 oz/yd2" for cloth, "1 1/2 oz/ft2" for mat',
    ),
    ("12 oz/yd", "cloth_mass", "12 oz/yd is a mass over length", '"12 oz/yd2"'),
    ("300 g", "cloth_mass", "300 g is a mass", '"300 g/m2"'),
    ("4 kg", "areal_mass", "4 kg is a mass", '"4 kg/m2"'),
    ("5 lb", "density", "5 lb is a mass", '"5 lb/ft3"'),
    ("80 kg/m2", "density", "80 kg/m2 is a mass over area", ""),
    ("8 lb/ft", "density", "8 lb/ft is a mass over length", '"8 lb/ft3"'),
    ("5 ft", "area", "5 ft is a length", '"5 ft2"'),
    ("180 lb", "force", "180 lb is a mass; here a force is wanted", '"180 lbf"'),
    ("40 lb/in2", "stress", "40 lb/in2 is a mass over area", '"40 lbf/in2"'),
    # Units outside the list.
    ("5 furlong", "length", '"furlong" is not a unit known here', ""),
    ("5 metress", "length", '"metress" is not a unit known here; nearest: metres or metre', ""),
    ("1 m^999999999", "length", '"m^999999999" is not a unit', ""),
    ("1 m^22", "length", '"m^22" is not a unit', ""),
    ("1 mm * 2", "thickness", '"mm * 2" is not a unit', ""),
    ("10² mm", "thickness", '"^2 mm" is not a unit', ""),
    ("5 mm mm", "area", '"mm" stands twice', ""),
    ("5 N/m kg", "force", "leaves open what stands below the line", ""),
    ("2 × 3 mm", "thickness", '"× 3 mm" is not a unit', ""),
    ("2 x 3 mm", "thickness", '"x" is not a unit known here', ""),
    ("5 mm (4 to 6", "thickness", '"mm (4 to 6" is not a unit', ""),
    # No unit.
    ("8", "thickness", "8 has no unit", '"8 mm" or "8 in"'),
    ("8 +/- 5 %", "thickness", "8 has no unit", '"8 mm" or "8 in"'),
    (8, "thickness", "A number with a dimension is text with a unit", '"8 mm" or "8 in"'),
    (0.3, "cloth_mass", "is text with a unit", '"0.3 g/m2" or "0.3 oz/yd2"'),
    ("12", "fraction", "12 without a unit is not between 0 and 1", '"12 %"'),
    (45, "fraction", "45 without a unit is not between 0 and 1", '"45 %"'),
    (-0.1, "fraction", "-0.1 without a unit is not between 0 and 1", '"-0.1 %"'),
    # No number, or not one number.
    ("", "thickness", "There is nothing written here", ""),
    (" \t\u2009 ", "thickness", "There is nothing written here", ""),
    ("mm", "thickness", "There is a unit but no number", ""),
    ("mm mm", "thickness", "There is no number at the start", ""),
    ("__import__('os')", "thickness", "There is no number at the start", ""),
    ("thick", "thickness", "There is no number at the start", ""),
    ("inf mm", "thickness", "The number must be finite", ""),
    ("-inf", "angle", "The number must be finite", ""),
    ("NaN", "fraction", "The number must be finite", ""),
    (math.inf, "angle", "The number must be finite", ""),
    (math.nan, "thickness", "The number must be finite", ""),
    (10**400, "angle", "The number must be finite", ""),
    ("1e999 mm", "thickness", "beyond anything that can be built", ""),
    ("1e-999 mm", "thickness", "beyond anything that can be built", ""),
    ("1e999999999999 mm", "thickness", "beyond anything that can be built", ""),
    ("9" * 150 + " mm", "thickness", "beyond anything that can be built", ""),
    (
        "5 6 mm",
        "thickness",
        "Two numbers with nothing between",
        "one number, or a middle and its range",
    ),
    (
        "12 345 mm",
        "thickness",
        "Two numbers with nothing between",
        "one number, or a middle and its range",
    ),
    ("5 mm 3 in", "length", "Two numbers with nothing between", "one number with one unit"),
    ("5 ft 14 in", "length", "14 in is 1 ft or more", ""),
    ("5 ft 12 in", "length", "12 in is 1 ft or more", ""),
    ("--5 mm", "thickness", "The number has two signs", ""),
    ("+-5 mm", "thickness", 'A figure stands in front of "+/-"', ""),
    ("1/0 in", "thickness", "cannot have 0 below the line", ""),
    ("1 3/2 in", "thickness", "the fraction is less than 1, not 3/2", ""),
    ("40-90 %", "fraction", 'a range is written with "to"', ""),
    # Ranges.
    ("±45", "angle", "plus and minus are two layers", '"45" for one and "-45" for the other'),
    ("0.45 (0.5 to 0.4)", "fraction", "The range runs backwards", ""),
    ("0.45 (0.5 to 0.6)", "fraction", "The middle lies outside its range", ""),
    ("12 (10 to 14 %)", "fraction", "12 without a unit is not between 0 and 1", '"12 %"'),
    ("8 mm +/- -0.3 mm", "thickness", 'The figure after "+/-" has no sign', ""),
    ("0.45 sd +0.02", "fraction", 'The figure after "sd" has no sign', ""),
    ("8 mm +/- 1 kg", "thickness", "1 kg is a mass", ""),
    ("20 degC +/- 5 %", "temperature", "A share of a temperature means nothing", ""),
    (
        "0.45 +/- 3 %",
        "fraction",
        "0.45 is a plain number and 3 % is not",
        '"45 % +/- 3 %" or "0.45 +/- 0.03"',
    ),
    (
        "-5 to 50 degC",
        "temperature",
        "A range alone has no middle",
        '"22.5 degC (-5 to 50 degC)"',
    ),
    ("1 mm to 1 in", "thickness", "A range alone has no middle", ""),
    # Nature.
    ("-300 degC", "temperature", "colder than absolute zero", ""),
    ("-1 K", "temperature", "colder than absolute zero", ""),
    ("20 degC +/- 300 K", "temperature", "colder than absolute zero", ""),
    # Not text at all.
    ([8, "mm"], "thickness", "This is not a quantity", '"8 mm" or "5/16 in"'),
    ({"value": 8}, "thickness", "This is not a quantity", '"8 mm" or "5/16 in"'),
    (None, "thickness", "This is not a quantity", '"8 mm" or "5/16 in"'),
    (True, "angle", "This is not a quantity", '45 or "45 deg"'),
    (b"8 mm", "thickness", "This is not a quantity", '"8 mm" or "5/16 in"'),
    ("8 mm" + " " * 200, "thickness", "204 characters long; 200 is the most", ""),
]


@pytest.mark.parametrize(("text", "dimension", "what", "hint"), REFUSED)
def test_refuses_and_says_why(text: object, dimension: str, what: str, hint: str) -> None:
    problem = problem_of(text, dimension)
    assert what in problem.what
    assert problem.hint == hint
    assert problem.given
    assert problem.allowed == DIMENSIONS[dimension].allowed


@pytest.mark.parametrize(
    ("text", "dimension"),
    [(text, kind) for text, kind, _, hint in REFUSED if '"' in hint],
)
def test_what_is_offered_can_be_read(text: object, dimension: str) -> None:
    for offer in problem_of(text, dimension).hint.split('"')[1::2]:
        assert math.isfinite(parse(offer, dimension).value)


def test_a_whole_message() -> None:
    with pytest.raises(UnitError) as caught:
        parse("5 mil", "thickness")
    assert str(caught.value) == (
        '"mil" is a thousandth of an inch to one and a millimetre to the next. Given: 5 mil. '
        'Allowed: a thickness with mm or in, such as "8 mm" or "5/16 in". Try: "0.005 in".'
    )


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ([8], "a list"),
        ({}, "a table"),
        (None, "nothing"),
        (False, "a yes or no"),
        (10**4000, "a number of very many digits"),
        (b"8 mm", "a bytes"),
        (12345, "12345"),
        (0.1, "0.1"),
        ("", "an empty text"),
        ("8\n  mn", "8 mn"),
        ("x" * 500, "x" * 59 + "…"),
    ],
)
def test_says_what_was_given(given: object, said: str) -> None:
    assert problem_of(given, "thickness").given == said


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("50 to -5 degC", "The range runs backwards"),
        ("5 mm to 6 kg", "6 kg is a mass"),
        ("5 to 6", "5 has no unit"),
        ("5 mm to 6 mm to 7 mm", "is not a unit"),
        (" to ", "There is no number"),
        (8, "is text with a unit"),
    ],
)
def test_refuses_spans(text: object, what: str) -> None:
    dimension = "temperature" if "deg" in str(text) else "thickness"
    assert what in problem_of(text, dimension, parse_span).what


def test_an_unknown_dimension_is_a_programming_error() -> None:
    for call in (lambda: parse("8 mm", "girth"), lambda: show(1.0, "girth")):
        with pytest.raises(KeyError, match="girth"):
            call()


# --- Tables of data -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("unit", "si"),
    [
        ("in", constants.inch),
        ("ft", constants.foot),
        ("yd", constants.yard),
        ("lb", constants.pound),
        ("oz", constants.ounce),
        ("psi", constants.psi),
        ("ksi", 1000 * constants.psi),
        ("Msi", 1e6 * constants.psi),
        ("psf", constants.psi / 144),
        ("lbf", constants.pound_force),
        ("kgf", constants.kilogram_force),
        ("bar", constants.bar),
        ("gal", constants.gallon_US),
        ("qt", constants.gallon_US / 4),
        ("pt", constants.gallon_US / 8),
        ("L", constants.liter),
        ("t", constants.metric_ton),
        ("h", constants.hour),
        ("day", constants.day),
        ("rad", 1 / constants.degree),  # angles count in degrees
        ("thou", constants.mil),
        ("ppm/degF", 1e-6 / constants.degree_Fahrenheit),
        ("oz/yd2", constants.ounce / constants.yard**2),
        ("lb/ft3", constants.pound / constants.foot**3),
    ],
)
def test_factors_against_scipy(unit: str, si: float) -> None:
    assert factor(unit) == pytest.approx(si, rel=EXACT)


@pytest.mark.parametrize(
    ("unit", "si"),
    [
        ("g/m^2", 0.001),
        ("g/m2", 0.001),
        ("gsm", 0.001),
        ("kg/m3", 1.0),
        ("g/cm3", 1000.0),
        ("MPa", 1e6),
        ("GPa", 1e9),
        ("1/GPa", 1e-9),
        ("N/mm", 1000.0),
        ("N mm2", 1e-6),
        ("W/m/K", 1.0),
        ("kJ", 1000.0),
        ("um", 1e-6),
        ("%", 0.01),
        ("ppm/K", 1e-6),
        ("deg", 1.0),
        ("mPa s", 0.001),
        ("1", 1.0),
    ],
)
def test_decimal_factors_are_exact(unit: str, si: float) -> None:
    assert factor(unit) == si


def test_temperature_columns_go_through_to_si() -> None:
    assert to_si(20.0, "degC") == 293.15
    assert to_si(68.0, "degF") == pytest.approx(293.15, rel=EXACT)
    assert to_si(15.0, "K") == 15.0
    assert to_si(300.0, "g/m2") == pytest.approx(0.3, rel=EXACT)
    with pytest.raises(UnitError, match=r'"degC" has a zero of its own.*Try: to_si\(value, unit\)'):
        factor("degC")


@pytest.mark.parametrize("call", [factor, lambda unit: to_si(1.0, unit)])
def test_an_unknown_unit_in_a_table(call: Callable[[str], float]) -> None:
    with pytest.raises(UnitError, match=r'"GPA" is not a unit; .* Given: GPA. Try: "GPa"'):
        call("GPA")
    with pytest.raises(UnitError, match='"bogus" is not a unit known here'):
        call("bogus")
    with pytest.raises(UnitError, match='"" is not a unit'):
        call("")


def test_every_listed_unit_is_known_to_the_library() -> None:
    for name in UNIT_NAMES:
        assert to_si(1.0, name) > 0


@pytest.mark.parametrize("dimension", DIMENSIONS.values(), ids=lambda d: d.name)
def test_the_examples_in_messages_can_be_read(dimension: units.Dimension) -> None:
    examples = dimension.example.replace(" (US gallons)", "").split(" or ")
    for example in examples:
        assert math.isfinite(parse(example.strip('"'), dimension.name).value)
    assert dimension.words.startswith("an " if dimension.name[0] in "aeiou" else "a ")


# --- Showing --------------------------------------------------------------------------------------

SHOWN = [
    (0.00896, "thickness", "si", "8.96 mm"),
    (0.00896, "thickness", "imperial", "0.353 in (≈ 11/32)"),
    (0.00896, "thickness", "both", "8.96 mm (0.353 in, ≈ 11/32)"),
    (0.008, "thickness", "si", "8 mm"),  # as given
    (0.0079996, "thickness", "si", "8.00 mm"),  # computed
    (1.375 * INCH, "thickness", "imperial", "1.375 in (≈ 1 3/8)"),
    (2 * INCH, "thickness", "imperial", "2.000 in (≈ 2)"),
    (12.25 * INCH, "thickness", "imperial", "12.25 in (≈ 12 1/4)"),
    (0.02 * INCH, "thickness", "imperial", "0.020 in"),
    (-0.02 * INCH, "thickness", "imperial", "−0.020 in"),
    (3.456, "length", "si", "3.46 m"),
    (3.456, "length", "imperial", "11.3 ft"),
    (0.3, "cloth_mass", "both", "300 g/m² (8.85 oz/yd²)"),
    (4.0931, "areal_mass", "both", "4.09 kg/m² (0.838 lb/ft²)"),
    (12345.6, "density", "si", "12\u2009300 kg/m³"),
    (1234.5, "density", "si", "1230 kg/m³"),
    (9999.0, "density", "si", "10\u2009000 kg/m³"),
    (80.0, "density", "imperial", "4.99 lb/ft³"),
    (45e6, "stress", "both", "45 MPa (6.53 ksi)"),
    (1e6, "stress", "imperial", "145 psi"),
    (11e9, "modulus", "both", "11 GPa (1.6 Msi)".replace("1.6 ", "1.60 ")),
    (40e6, "modulus", "si", "40 MPa"),
    (5000.0, "pressure", "both", "5 kPa (0.725 psi)"),
    (293.15, "temperature", "both", "20 °C (68 °F)"),
    (268.15, "temperature", "si", "−5 °C"),
    (15.0, "temperature_change", "both", "15 K (27 °F)"),
    (0.45, "fraction", "both", "45 %"),
    (0.12345, "fraction", "si", "12.3 %"),
    (0.3, "ratio", "si", "0.3"),
    (45.0, "angle", "both", "45°"),
    (-45.0, "angle", "si", "−45°"),
    (2.5, "mass", "both", "2.5 kg (5.51 lb)"),
    (0.3, "resin_mass", "both", "300 g (10.6 oz)"),
    (1.2, "resin_mass", "both", "1.2 kg (2.65 lb)"),
    (POUND, "resin_mass", "both", "454 g (1 lb)"),
    (0.0015, "volume", "both", "1.5 L (0.396 gal)"),
    (1500.0, "time", "both", "25 min"),
    (5400.0, "time", "si", "1.5 h"),
    (1500.0, "force", "both", "1.5 kN (337 lbf)"),
    (0.6, "viscosity", "both", "600 mPa·s (600 cP)"),
    (50.0, "moment", "both", "50 N·m (36.9 lbf·ft)"),
    (6e-6, "expansion", "both", "6 ppm/K (3.33 ppm/°F)"),
    (0.0, "mass", "si", "0 kg"),
    (-0.0, "mass", "si", "0 kg"),
    (1e-12, "mass", "si", "1.00e-12 kg"),
    (1.23e15, "mass", "si", "1.23e+15 kg"),
]


@pytest.mark.parametrize(("si", "dimension", "system", "text"), SHOWN)
def test_shows(si: float, dimension: str, system: str, text: str) -> None:
    """Figures worked by hand from the definitions at the head of this file."""
    assert show(si, dimension, system) == text


RANGES_SHOWN = [
    (4.0931, 3.8249, 4.4031, "areal_mass", "si", "4.09 kg/m²", "3.82 … 4.41 kg/m²"),
    (4.0931, 3.82, 4.41, "areal_mass", "si", "4.09 kg/m²", "3.82 … 4.41 kg/m²"),
    (8e-3, 7.7e-3, 8.3e-3, "thickness", "si", "8.00 mm", "7.70 … 8.30 mm"),
    (8e-3, 7.7e-3, 8.3e-3, "thickness", "imperial", "0.315 in (≈ 5/16)", "0.303 … 0.327 in"),
    (8e-3, 7.9999e-3, 8.0001e-3, "thickness", "imperial", "0.315 in (≈ 5/16)", "0.314 … 0.315 in"),
    (1234.0, 950.0, 1600.0, "density", "si", "1230 kg/m³", "950 … 1600 kg/m³"),
    (12345.0, 9501.0, 16001.0, "density", "si", "12\u2009300 kg/m³", "9500 … 16\u2009100 kg/m³"),
    (271.0, 267.0, 275.0, "temperature", "si", "−2.2 °C", "−6.2 … 1.9 °C"),
    (-1e-6, -0.01, 0.01, "thickness", "si", "0 mm", "−10 … 10 mm"),
    (0.98, 0.9, 1.1, "resin_mass", "si", "0.98 kg", "0.90 … 1.10 kg"),  # one unit for all three
    (0.98, 0.9, 1.0, "resin_mass", "si", "980 g", "900 … 1000 g"),
    (45.0, 45.0, 45.0, "angle", "si", "45°", "45°"),
    (0.45, 0.4, 0.48, "fraction", "both", "45.0 %", "40.0 … 48.0 %"),
]


@pytest.mark.parametrize(
    ("si", "low", "high", "dimension", "system", "middle", "ends"), RANGES_SHOWN
)
def test_shows_ranges(
    si: float, low: float, high: float, dimension: str, system: str, middle: str, ends: str
) -> None:
    """Half the range to two digits fixes the last place; low is rounded down and high up."""
    assert show(si, dimension, system, low, high) == middle
    assert show_range(low, high, dimension, system) == ends


def test_shows_a_range_in_both_systems() -> None:
    assert show_range(3.82, 4.41, "areal_mass", "both") == (
        "3.82 … 4.41 kg/m² (0.782 … 0.904 lb/ft²)"
    )


def test_digits_end_where_floats_do() -> None:
    """A range no wider than the noise of a float brings twelve digits, not twenty."""
    assert show(5.0, "mass", "si", 5.0, 5.000000000000002) == "5.00000000000 kg"
    assert show(3e11, "mass", "si", 3e11, 3e11 + 1e-4) == ("300\u2009000\u2009000\u2009000 kg")


def test_a_doubtful_range_is_not_shown() -> None:
    with pytest.raises(ValueError, match="together or not at all"):
        show(1.0, "mass", low=0.9)
    with pytest.raises(ValueError, match="lies above high"):
        show_range(2.0, 1.0, "mass")
    for value in (math.nan, math.inf):
        with pytest.raises(ValueError, match="only finite numbers"):
            show(value, "mass")
        with pytest.raises(ValueError, match="only finite numbers"):
            show_range(0.0, value, "mass")
    with pytest.raises(KeyError, match="metric"):
        show(1.0, "mass", "metric")


# --- For any input --------------------------------------------------------------------------------

DIMENSION_NAMES = st.sampled_from(sorted(DIMENSIONS))
SYSTEMS = st.sampled_from(["si", "imperial"])
PIECES = st.sampled_from(
    [
        *"0123456789.,+-/()*^%'\"°²½×−\u2009≈… ",
        *("1/2", "1e9", " to ", " sd ", "+/-", "mm", "in", "oz/yd2", "degC", "mil", "Mm", "kg"),
        *("psi", "inf", "nan", "**", "__", "sq "),
    ]
)
ANYTHING = st.one_of(
    st.text(max_size=250),
    st.lists(PIECES, max_size=40).map("".join),
    st.floats(),
    st.integers(),
    st.none() | st.booleans() | st.lists(st.integers()),
)


def read_or_refusal(read: Read, text: object, dimension: str) -> tuple[Quantity | None, str]:
    try:
        return read(text, dimension), ""
    except UnitError as error:
        return None, str(error)


@given(ANYTHING, DIMENSION_NAMES)
def test_anything_is_read_or_refused(text: object, dimension: str) -> None:
    """Nothing but UnitError comes out, and whatever is read is finite and in order.

    Each example stays within the deadline of hypothesis (0.2 s), so no text is slow to refuse.
    """
    for read in (parse, parse_span):
        quantity, refusal = read_or_refusal(read, text, dimension)
        if quantity:
            assert -math.inf < quantity.low <= quantity.value <= quantity.high < math.inf
        else:
            assert refusal.partition(" Given: ")[0].endswith((".", '"'))
            assert len(refusal) < 900


@pytest.mark.parametrize(
    "text",
    [
        "1" * 200,
        "1 " * 100,
        "(" * 100 + ")" * 100,
        "1 mm (" + " to " * 48 + ")",
        "1 " + "+/- " * 49,
        "1 " + "m^4 " * 49,
        "1 " + "m/" * 98,
        "1/" * 100,
        "½" * 200,
        "1e" + "9" * 190,
        "1 m**" + "9" * 190,
        "1 sd" * 50,
        "-" * 200,
    ],
)
def test_hostile_text_is_refused(text: str) -> None:
    for read in (parse, parse_span):
        with pytest.raises(UnitError):
            read(text, "thickness")


STEP = {"degC": 1.0, "degF": 1 / 1.8}
ZERO = {"degC": 273.15, "degF": 273.15 - 32 / 1.8}
NUMBERS = st.floats(-1e5, 1e5).filter(lambda x: x == 0 or abs(x) > 1e-4)


def shown_scale(dimension: str, system: str) -> tuple[str, float, float]:
    """The ordinary unit shown, its size in SI and its zero in SI."""
    kind = DIMENSIONS[dimension]
    unit = kind.metric if system == "si" else kind.imperial
    zero = ZERO.get(unit, 0.0) if dimension == "temperature" else 0.0
    return unit, STEP[unit] if unit in STEP else factor(unit or "1"), zero


@given(NUMBERS, DIMENSION_NAMES, SYSTEMS)
def test_what_is_shown_reads_back_within_rounding(
    number: float, dimension: str, system: str
) -> None:
    """Three figures: half of one in a hundred; inches also to half a thousandth."""
    unit, step, zero = shown_scale(dimension, system)
    si = number * step + zero
    if dimension == "temperature" and si < 2:  # rounding may step below absolute zero
        si = 300.0
    back = parse(show(si, dimension, system), dimension).value
    rounding = 0.005001 * abs(si - zero) + (0.000501 * INCH if unit == "in" else 0.0)
    assert back == pytest.approx(si, abs=rounding + 1e-12 * abs(si))


@given(NUMBERS, st.floats(1e-3, 1e4), DIMENSION_NAMES, SYSTEMS)
def test_a_range_shown_covers_the_range(
    number: float, half: float, dimension: str, system: str
) -> None:
    """Rounded outwards by less than a tenth of its half-width (inches: a thousandth)."""
    unit, step, zero = shown_scale(dimension, system)
    low, high = (number - half) * step + zero, (number + half) * step + zero
    if dimension == "temperature" and low < 0.1 * (high - low):  # may round below absolute zero
        low, high = 250.0, 300.0
    span = parse_span(show_range(low, high, dimension, system), dimension)
    noise = 1e-11 * (abs(low) + abs(high))
    assert low + noise >= span.low
    assert high - noise <= span.high
    slack = max(0.1001 * (high - low) / 2, 0.001 * INCH if unit == "in" else 0.0) + noise
    assert max(low - span.low, span.high - high) <= slack
    middle = parse(show((low + high) / 2, dimension, system, low, high), dimension).value
    assert span.low - noise <= middle <= span.high + noise


@given(st.data())
def test_extra_blanks_change_nothing(data: st.DataObject) -> None:
    typed = [row[:2] for row in [*READ, *RANGES] if isinstance(row[0], str)]
    text, dimension = map(str, data.draw(st.sampled_from(typed)))
    blanks = st.text(" \t\u00a0", min_size=1, max_size=4)
    spaced = "".join(data.draw(blanks) if sign == " " else sign for sign in text)
    spaced = data.draw(blanks) + spaced + data.draw(blanks)
    plain, other = parse(text, dimension), parse(spaced, dimension)
    assert (other.low, other.value, other.high) == (plain.low, plain.value, plain.high)
    assert other.text == spaced


# --- The unit library behind the door ------------------------------------------------------------


def test_importing_loads_neither_pint_nor_numpy() -> None:
    code = "import sys; from panelwright import units; print({'pint', 'numpy'} & set(sys.modules))"
    fresh = [sys.executable, "-W", "error", "-c", code]
    assert subprocess.run(fresh, capture_output=True, text=True, check=True).stdout == "set()\n"


def test_works_where_no_cache_can_be_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    blocked = tmp_path / "not-a-folder"
    blocked.write_text("")
    for home in ("XDG_CACHE_HOME", "LOCALAPPDATA", "HOME"):
        monkeypatch.setenv(home, str(blocked))
    with pytest.raises(OSError, match="not-a-folder"):
        units._load(":auto:")
    registry = units._registry.__wrapped__()
    assert registry.Quantity(1, "shop_radian").to("shop_degree").magnitude == pytest.approx(
        math.degrees(1.0), rel=EXACT
    )


# What the library reads by itself from the same text, measured with pint 0.25: why the door stands.
TRAPS = [
    ("1 1/2 in", "thickness", 1.5 * INCH),  # 0.5 in
    ("300 g/m2", "cloth_mass", 0.3),  # error
    ("12 oz/yd2", "cloth_mass", 12 * OUNCE / YARD**2),  # error
    ("200 gsm", "cloth_mass", 0.2),  # error
    ("3.5 Msi", "modulus", 3.5e6 * PSI),  # error
    ("20 degC", "temperature", 293.15),  # error
    ("1,5 mm", "thickness", None),  # 15 mm
    ("5 mil", "thickness", None),  # an angle
    ("3 MM", "thickness", None),  # megamolar
    ("2 mPa", "stress", None),  # 0.002 Pa
]


@pytest.mark.parametrize(("text", "dimension", "si"), TRAPS)
def test_traps(text: str, dimension: str, si: float | None) -> None:
    if si is None:
        assert problem_of(text, dimension).hint
    else:
        assert parse(text, dimension).value == pytest.approx(si, rel=EXACT)
