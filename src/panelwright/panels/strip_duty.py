"""A strip of the panel as a beam: three and four points, cantilevers, even loads."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from panelwright.mechanics import beam, lamina, laminate
from panelwright.mechanics.arrays import Array, array
from panelwright.panels import faces, strength
from panelwright.panels.bearing import Found
from panelwright.panels.duties import Duty
from panelwright.panels.duty import (
    DIMPLES,
    IN_PLANE,
    IN_SHEAR,
    WRINKLES,
    Borne,
    Field,
    Panel,
    Reserve,
    along_fibre,
)
from panelwright.panels.strength import Weakest

#: Words of a duty and of ``beam.STRIPS``; which sides a load inwards stretches, 1 the outside;
#: where the moment and the deflection are largest, as shares of the span.
_HELD: dict[str, tuple[str, tuple[int, ...], float, float]] = {
    "three points": ("three points", (-1,), 0.5, 0.5),
    "simply supported, even load": ("simply supported, uniform", (-1,), 0.5, 0.5),
    "clamped, even load": ("clamped, uniform", (-1, 1), 0.0, 0.5),
    "clamped, load in the middle": ("clamped, in the middle", (-1, 1), 0.0, 0.5),
    "cantilever, load at the end": ("cantilever, at the end", (1,), 0.0, 1.0),
    "cantilever, even load": ("cantilever, uniform", (1,), 0.0, 1.0),
}
#: Bending along the strip: place in ``strength.LOADS``.
BENDING = 3


def _shares(duty: Duty, span: float) -> tuple[beam.Strip, tuple[int, ...], float, float]:
    """How a strip answers its load, which sides are stretched, and where it is worst."""
    if duty.strip != "four points":
        name, signs, bends_at, gives_at = _HELD[str(duty.strip)]
        return beam.STRIPS[name], signs, bends_at, gives_at
    arm = span / 3.0 if duty.arm is None else duty.arm.value
    by_arm = float(beam.four_point_arm(arm, span))
    strip = beam.Strip(float(beam.four_point_bending(arm, span)), by_arm, by_arm, 0.5)
    return strip, (-1,), 0.5, 0.5


def _bends(of: Panel) -> Array:
    """EI along the strip per width, without the error of the model: that is put to the answer."""
    return laminate.strip_stiffness(laminate.bending_compliance(of.made.compliance))[..., 0]


def bear_strip(middle: Panel, drawn: Panel, duty: Duty, field: Field) -> Borne:
    """Bend a panel and its draws as a strip along its length, all of its load per width."""
    shares, signs, bends_at, gives_at = _shares(duty, field.length)
    load, span = field.force / field.width, field.length
    moment = float(beam.strip_moment(load, span, shares.moment))
    force = float(beam.strip_shear_force(load, shares.force))
    signs = tuple(sign if load > 0.0 else -sign for sign in signs)

    def deflection(of: Panel) -> Array:
        return -beam.strip_deflection(
            load,
            span,
            _bends(of),
            of.made.shear[..., 0, 0],
            shares.bending,
            shares.shear,
        )

    def strains(of: Panel) -> Array:
        """Along fibre or grain at the outer and inner face of each layer."""
        unit = of.made.compliance[..., BENDING] * abs(moment)
        faces_of = laminate.face_strains(unit, of.made.heights, of.build.layer_thickness)
        return along_fibre(lamina.own_strains(faces_of, of.stack.angle[..., None]), of.stack)

    own = strains(middle)
    layer, face = np.unravel_index(np.argmax(own), own.shape)
    middle_of = field.width / 2.0
    at, gives = (bends_at * span, middle_of), (gives_at * span, middle_of)
    ends = list(_ends(middle, drawn, signs, abs(moment), abs(force), at))
    return Borne(
        str(duty.strip),
        None,
        Found(float(deflection(middle)), 0.0, *gives),
        deflection(drawn),
        Found(float(np.max(own)), 0.0, *at),
        array(np.max(strains(drawn), axis=(-1, -2))),
        (int(layer), int(face)),
        tuple(one for level, one in ends if level == "first"),
        tuple(one for level, one in ends if level == "end"),
        None,
    )


def _ends(
    middle: Panel,
    drawn: Panel,
    signs: tuple[int, ...],
    moment: float,
    force: float,
    at: tuple[float, float],
) -> Iterator[tuple[str, Reserve]]:
    """Every end of a strip, at first damage and in the end."""

    def reserve(how: str, one: Weakest, many: Weakest, load: float) -> Iterator[Reserve]:
        place = (0.0, at[1]) if how == IN_SHEAR else at  # shear is largest at an end
        value = float(one.load) / load if load else np.inf
        if np.isfinite(value):
            draws = np.where(np.isfinite(many.load), many.load, one.load) / load
            where = int(one.layer), int(one.place), int(one.mode)
            yield Reserve(how, Found(value, 0.0, *place), *where, draws)

    for sign in signs:
        pair = [
            strength.in_plane(of.states, of.stack, of.build, BENDING)[0 if sign > 0 else 1]
            for of in (middle, drawn)
        ]
        for level, name in (("first", "first"), ("end", "ultimate")):
            weak = getattr(pair[0], name), getattr(pair[1], name)
            yield from ((level, one) for one in reserve(IN_PLANE, *weak, moment))
        for how, fails in ((WRINKLES, faces.wrinkling), (DIMPLES, faces.dimpling)):
            weak = (
                fails(middle.skins, middle.build, middle.made, BENDING, sign),
                fails(drawn.skins, drawn.build, drawn.made, BENDING, sign),
            )
            yield from (("end", one) for one in reserve(how, *weak, moment))
    sheared = [strength.in_shear(of.states, of.stack, of.build, 0) for of in (middle, drawn)]
    for level, name in (("first", "first"), ("end", "ultimate")):
        weak = getattr(sheared[0], name), getattr(sheared[1], name)
        yield from ((level, one) for one in reserve(IN_SHEAR, *weak, force))
