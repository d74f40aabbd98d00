"""Strip planking: how many strips, what the saw and the plane take, how tight they bend.

Flat strips go round a form of radius R, measured to the face that lies on the form. Their corners
stand ``cover`` apart: what a strip covers, not what it measures over bead and cove.
"""

from __future__ import annotations

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array, ratio
from panelwright.working import formula

#: A count that is over a whole number by less than this is that number.
WHOLE = 1e-6


def _up(count: ArrayLike) -> Array:
    return array(np.ceil(array(count) - WHOLE))


def _down(count: ArrayLike) -> Array:
    return array(np.floor(array(count) + WHOLE))


def _standoff(cover: Array, radius: Array) -> Array:
    """Without the loss of digits of a small difference of two long sides."""
    return array(ratio(0.25 * cover**2, np.hypot(radius, 0.5 * cover) + radius))


# --- How many -------------------------------------------------------------------------------------


@formula(
    symbol="c",
    unit="m",
    equation="c = w − d",
    source="geometry: the bead of one strip lies in the cove of the next",
    inputs={"width": "w [m]", "depth": "d [m]"},
)
def cover_of_strip(width: ArrayLike, depth: ArrayLike) -> Array:
    """Width of surface that one strip covers.

    width : of the strip over all; depth : of the cove, 0 for square edges. Both broadcast; m.
    """
    return array(width) - array(depth)


@formula(
    symbol="g/c",
    unit="-",
    equation="n = g/c",
    source="geometry",
    inputs={"girth": "g [m]", "cover": "c [m]"},
)
def covers_in_girth(girth: ArrayLike, cover: ArrayLike) -> Array:
    """How many covers go into a girth, parts of one included.

    girth : round the surface that is planked; cover : of one strip. Both broadcast.
    """
    return ratio(girth, cover)


@formula(
    symbol="n",
    unit="-",
    equation="n = ⌈g/c⌉",
    source="geometry",
    inputs={"girth": "g [m]", "cover": "c [m]"},
)
def strips_across(girth: ArrayLike, cover: ArrayLike) -> Array:
    """How many whole strips close a girth.

    girth : round the surface that is planked; cover : of one strip. Both broadcast.
    """
    return _up(ratio(girth, cover))


@formula(
    symbol="n_s",
    unit="-",
    equation="n_s = ⌈n (1 + s)⌉",
    source="definition",
    inputs={"count": "n [-]", "spare": "s [-]"},
)
def with_spare(count: ArrayLike, spare: ArrayLike) -> Array:
    """Whole pieces to have, spare ones included.

    spare : share on top. Both broadcast.
    """
    return _up(array(count) * (1.0 + array(spare)))


@formula(
    symbol="ℓ",
    unit="m",
    equation="ℓ = A/c",
    source="geometry",
    inputs={"area": "A [m²]", "cover": "c [m]"},
)
def strip_length_for(area: ArrayLike, cover: ArrayLike) -> Array:
    """Running length of strip that covers an area, without spare.

    Both broadcast; m.
    """
    return ratio(area, cover)


@formula(
    symbol="c_i",
    unit="m",
    equation="c_i = g_i/n",
    source="geometry: every strip runs through and narrows alike",
    inputs={"girth": "g [m]", "count": "n [-]"},
)
def tapered_cover(girth: ArrayLike, count: ArrayLike) -> Array:
    """Cover that is left of each strip at a station where fewer would do.

    girth : at the station; count : strips that run through. Both broadcast; m.
    """
    return ratio(girth, count)


@formula(
    symbol="e",
    unit="-",
    equation="e = n L/ℓ − 1",
    source="definition",
    inputs={"count": "n [-]", "length": "L [m]", "running": "ℓ [m]"},
)
def over_the_area(count: ArrayLike, length: ArrayLike, running: ArrayLike) -> Array:
    """How much more strip full lengths at the widest station make than the area asks for.

    count : strips at the widest station; length : of the shell; running : area over cover. All
    broadcast; a share.
    """
    return ratio(array(count) * array(length), running) - 1.0


@formula(
    symbol="n",
    unit="-",
    equation="n = ⌈n_strips n_stations (1 + s)⌉",
    source="definition: one where each strip crosses each station",
    inputs={"count": "n_strips [-]", "stations": "n_stations [-]", "spoilt": "s [-]"},
)
def staples(count: ArrayLike, stations: ArrayLike, spoilt: ArrayLike) -> Array:
    """Staples, nails or clamps to have for strips on their stations.

    spoilt : share bent or lost. All broadcast.
    """
    return _up(array(count) * array(stations) * (1.0 + array(spoilt)))


# --- Sawing and scarfing --------------------------------------------------------------------------


@formula(
    symbol="n",
    unit="-",
    equation="n = ⌊(B + k)/(t + k)⌋",
    source="geometry: one cut less than strips",
    inputs={"board": "B [m]", "thickness": "t [m]", "kerf": "k [m]"},
)
def strips_from_board(board: ArrayLike, thickness: ArrayLike, kerf: ArrayLike) -> Array:
    """How many strips a board gives, sawn side by side.

    board : its width; thickness : of a strip as sawn; kerf : width of the cut. All broadcast; m.
    """
    return _down(ratio(array(board) + array(kerf), array(thickness) + array(kerf)))


@formula(
    symbol="u",
    unit="-",
    equation="u = 1 − n t/B",
    source="geometry",
    inputs={"count": "n [-]", "thickness": "t [m]", "board": "B [m]"},
)
def sawing_loss(count: ArrayLike, thickness: ArrayLike, board: ArrayLike) -> Array:
    """Share of a board that becomes dust and offcut.

    count : strips from it; thickness : of one. All broadcast.
    """
    return 1.0 - ratio(array(count) * array(thickness), board)


@formula(
    symbol="N",
    unit="-",
    equation="N = ⌈n/n_b⌉",
    source="definition",
    inputs={"count": "n [-]", "per_board": "n_b [-]"},
)
def boards_for(count: ArrayLike, per_board: ArrayLike) -> Array:
    """How many boards give so many pieces.

    Both broadcast.
    """
    return _up(ratio(count, per_board))


@formula(
    symbol="ℓ_s",
    unit="m",
    equation="ℓ_s = s t",
    source="definition of a scarf's slope",
    inputs={"thickness": "t [m]", "slope": "s [-]"},
)
def scarf_length(thickness: ArrayLike, slope: ArrayLike) -> Array:
    """Length of a scarf.

    slope : length over thickness, 8 for "8 to 1". Both broadcast; m.
    """
    return array(thickness) * array(slope)


# --- Flat strips round a form ---------------------------------------------------------------------


@formula(
    symbol="s",
    unit="m",
    equation="s = c²/(8R)",
    source="geometry, c small against R",
    inputs={"cover": "c [m]", "radius": "R of the form [m]"},
    valid="c below R/2: within 2 % of the exact height",
)
def corner_height(cover: ArrayLike, radius: ArrayLike) -> Array:
    """Height of the corners between flat strips over the round that is faired to.

    cover : of a strip; radius : of the bend, 0 for flat. Both broadcast; m.
    """
    return ratio(array(cover) ** 2, 8.0 * array(radius))


@formula(
    symbol="c_max",
    unit="m",
    equation="c_max = √(8 R s)",
    source="geometry, c small against R",
    inputs={"radius": "R of the form [m]", "loss": "s [m]"},
)
def widest_cover(radius: ArrayLike, loss: ArrayLike) -> Array:
    """Widest cover whose corners a plane takes off without taking more than a given loss.

    radius : of the tightest bend; loss : of thickness that may be planed. Both broadcast; m.
    """
    return array(np.sqrt(8.0 * array(radius) * array(loss)))


@formula(
    symbol="s_c",
    unit="m",
    equation="s_c = √(R² + c²/4) − R",
    source="geometry, exact",
    inputs={"cover": "c [m]", "radius": "R of the form [m]"},
    valid="the strip touches the form at mid-width",
)
def corner_standoff(cover: ArrayLike, radius: ArrayLike) -> Array:
    """How far the corners of a flat face stand off a circle that touches it at mid-width.

    Taken at R the gap under a strip's edge; at R + t the height of the joint. All broadcast; m.
    """
    return _standoff(array(cover), array(radius))


@formula(
    symbol="s_m",
    unit="m",
    equation="s_m = R (1 − cos α)",
    source="geometry, exact",
    inputs={"radius": "R of the form [m]", "half_angle": "α [rad]"},
    valid="both corners of the face lie on the form",
)
def sagitta(radius: ArrayLike, half_angle: ArrayLike) -> Array:
    """How far the middle of a flat face stands off a circle on which its corners lie.

    half_angle : half the angle that the strip takes of the round. Both broadcast; m.
    """
    return array(2.0 * array(radius) * np.sin(0.5 * array(half_angle)) ** 2)


@formula(
    symbol="α",
    unit="rad",
    equation="α = atan(c/(2R))",
    source="geometry, exact",
    inputs={"cover": "c [m]", "radius": "R of the form [m]"},
    valid="the strip touches the form at mid-width; the bevel of each edge is the same angle",
)
def half_angle_touching(cover: ArrayLike, radius: ArrayLike) -> Array:
    """Half the angle that a strip takes of the round, and the bevel of each of its edges.

    Both broadcast; rad. One edge alone takes twice the bevel.
    """
    return array(np.arctan(0.5 * ratio(cover, radius)))


@formula(
    symbol="α",
    unit="rad",
    equation="α = asin(c/(2R))",
    source="geometry, exact",
    inputs={"cover": "c [m]", "radius": "R of the form [m]"},
    valid="the corners lie on the form; c up to 2R",
)
def half_angle_on_corners(cover: ArrayLike, radius: ArrayLike) -> Array:
    """Half the angle that a strip takes of the round on which its corners lie.

    Both broadcast; rad. A strip wider than the round is as one that spans it.
    """
    return array(np.arcsin(np.minimum(0.5 * ratio(cover, radius), 1.0)))


@formula(
    symbol="g",
    unit="m",
    equation="g = 2 t sin α",
    source="geometry, exact",
    inputs={"thickness": "t [m]", "half_angle": "α [rad]"},
    valid="square edges; on a hollow it is how far the inner corners would overlap",
)
def gap_of_square_edges(thickness: ArrayLike, half_angle: ArrayLike) -> Array:
    """Width to which a joint of square-edged strips gapes at the outside of a bend.

    Both broadcast; m.
    """
    return 2.0 * array(thickness) * np.sin(array(half_angle))


@formula(
    symbol="A_g",
    unit="m²",
    equation="A_g = t² sin α cos α",
    source="geometry, exact",
    inputs={"thickness": "t [m]", "half_angle": "α [rad]"},
    valid="square edges; the open wedge between two strips",
)
def filler_in_gap(thickness: ArrayLike, half_angle: ArrayLike) -> Array:
    """Section of the wedge that filler takes in one joint of square-edged strips.

    Both broadcast; m2, or m3 for each metre of joint.
    """
    return 0.5 * array(thickness) ** 2 * np.sin(2.0 * array(half_angle))


@formula(
    symbol="c_o",
    unit="m",
    equation="c_o = c (1 + t/R)",
    source="geometry, exact",
    inputs={"cover": "c [m]", "thickness": "t [m]", "radius": "R of the form [m]"},
    valid="bevelled edges that meet over their whole height",
)
def outer_width(cover: ArrayLike, thickness: ArrayLike, radius: ArrayLike) -> Array:
    """Width of the outside face of a strip whose bevelled edges close the joint.

    All broadcast; m.
    """
    return array(cover) * (1.0 + ratio(thickness, radius))


@formula(
    symbol="c_i",
    unit="m",
    equation="c_i = c − 2 t tan α",
    source="geometry, exact",
    inputs={"cover": "c [m]", "thickness": "t [m]", "half_angle": "α [rad]"},
    valid="a hollow: the outer corners lie on the form",
)
def inner_width(cover: ArrayLike, thickness: ArrayLike, half_angle: ArrayLike) -> Array:
    """Width of the inside face of a strip bevelled to lie in a hollow.

    All broadcast; m.
    """
    return array(cover) - 2.0 * array(thickness) * np.tan(array(half_angle))


@formula(
    symbol="n",
    unit="-",
    equation="n = φ/(2α)",
    source="geometry, exact",
    inputs={"angle": "φ [rad]", "half_angle": "α [rad]"},
)
def strips_in_angle(angle: ArrayLike, half_angle: ArrayLike) -> Array:
    """How many strips a round of a given angle takes, parts of one included.

    Both broadcast.
    """
    return ratio(angle, 2.0 * array(half_angle))


@formula(
    symbol="t_f",
    unit="m",
    equation="t_f = t − (√(R² + c²/4) − R), at least 0",
    source="geometry, exact: joints are planed outside, middles of strips inside",
    inputs={"thickness": "t [m]", "cover": "c [m]", "radius": "R of the form [m]"},
    valid="a round outwards; the loss is the same for one face faired or both",
)
def thickness_left(thickness: ArrayLike, cover: ArrayLike, radius: ArrayLike) -> Array:
    """Thickness of flat strips once both faces are faired to a round.

    thickness : before fairing; cover : of a strip; radius : of the bend, 0 for flat. All
    broadcast; m. The joint keeps its height less the corner; mid-strip loses on the inside what
    the joint loses on the outside: the shell is nowhere thinner than this.
    """
    r = array(radius)
    lost = np.where(r > 0.0, _standoff(array(cover), r), 0.0)
    return array(np.maximum(array(thickness) - lost, 0.0))


@formula(
    symbol="κ_θ",
    unit="1/m",
    equation="κ_θ = κ_x cos²θ + κ_y sin²θ",
    source="geometry: Euler's theorem, the length and the girth being the principal directions",
    inputs={"along": "κ_x [1/m]", "round_girth": "κ_y [1/m]", "angle": "θ [rad]"},
)
def curvature_at(along: ArrayLike, round_girth: ArrayLike, angle: ArrayLike) -> Array:
    """Curvature of a shell in a direction.

    along, round_girth : its curvatures along its length and round its girth; angle : of the
    direction from the length, rad. All broadcast; 1/m.
    """
    share: Array = np.sin(array(angle)) ** 2
    return array(along) * (1.0 - share) + array(round_girth) * share


@formula(
    symbol="R",
    unit="m",
    equation="R = 1/κ, 0 for flat",
    source="definition",
    inputs={"curvature": "κ [1/m]"},
)
def radius_of_curvature(curvature: ArrayLike) -> Array:
    """Radius of a bend from its curvature.

    curvature : 1/m, 0 for flat. Gives m.
    """
    return ratio(1.0, curvature)


@formula(
    symbol="W",
    unit="m",
    equation="W = g cos θ + L sin θ",
    source="geometry: a rectangle seen along the strips",
    inputs={"girth": "g [m]", "length": "L [m]", "angle": "θ [rad]"},
    valid="θ from 0, strips along the length, to 90°",
)
def width_to_plank(girth: ArrayLike, length: ArrayLike, angle: ArrayLike) -> Array:
    """What strips lie side by side across: the girth, the length, or between them.

    girth : the largest; length : of the part; angle : of the strips from the length, rad. All
    broadcast; m.
    """
    turn = array(angle)
    return array(girth) * np.cos(turn) + array(length) * np.sin(turn)


@formula(
    symbol="ℓ_1",
    unit="m",
    equation="ℓ_1 = min(L/cos θ, g/sin θ)",
    source="geometry: the longest line across a rectangle in a direction",
    inputs={"girth": "g [m]", "length": "L [m]", "angle": "θ [rad]"},
    valid="θ from 0, strips along the length, to 90°",
)
def longest_strip(girth: ArrayLike, length: ArrayLike, angle: ArrayLike) -> Array:
    """Length of the longest strip of a part.

    girth : the largest; length : of the part; angle : of the strips from the length, rad. All
    broadcast; m.
    """
    turn = array(angle)
    by_length, by_girth = ratio(np.cos(turn), length), ratio(np.sin(turn), girth)
    return ratio(1.0, np.maximum(by_length, by_girth))


@formula(
    symbol="n",
    unit="-",
    equation="n = ⌈ℓ/(b − ℓ_s)⌉",
    source="geometry: each scarf costs its length once",
    inputs={"running": "ℓ [m]", "stock": "b [m]", "scarf": "ℓ_s [m]"},
    valid="stock longer than a scarf; joints may fall anywhere",
)
def pieces_for_running(running: ArrayLike, stock: ArrayLike, scarf: ArrayLike) -> Array:
    """How many pieces of stock give a running length of scarfed strip.

    running : to have, spare included; stock : length of a piece; scarf : its length. All
    broadcast; m.
    """
    return _up(ratio(running, array(stock) - array(scarf)))


# --- Bending --------------------------------------------------------------------------------------


@formula(
    symbol="ε_b",
    unit="-",
    equation="ε_b = σ_b/E",
    source="beam theory; fpl-gtr-190, modulus of rupture and of elasticity of the same test",
    inputs={"strength": "σ_b [Pa]", "modulus": "E [Pa]"},
    valid="elastic to failure: the timber gives way later, so bends a little tighter",
)
def strain_at_rupture(strength: ArrayLike, modulus: ArrayLike) -> Array:
    """Strain of the faces at which a strip breaks in bending.

    Both broadcast; both of one bending test, as the shear in it then falls out.
    """
    return ratio(strength, modulus)


@formula(
    symbol="ε",
    unit="-",
    equation="ε = t/(2R)",
    source="beam theory",
    inputs={"thickness": "t [m]", "radius": "R of the form [m]"},
)
def strain_of_bend(thickness: ArrayLike, radius: ArrayLike) -> Array:
    """Strain of the faces of a strip bent to a radius.

    thickness : of the strip, or its width where it is set edgeways; radius : to its middle. Both
    broadcast.
    """
    return 0.5 * ratio(thickness, radius)


@formula(
    symbol="σ",
    unit="Pa",
    equation="σ = E t/(2R)",
    source="beam theory",
    inputs={"modulus": "E [Pa]", "thickness": "t [m]", "radius": "R of the form [m]"},
)
def stress_of_bend(modulus: ArrayLike, thickness: ArrayLike, radius: ArrayLike) -> Array:
    """Stress in the faces of a strip bent to a radius.

    All broadcast; Pa.
    """
    return 0.5 * array(modulus) * ratio(thickness, radius)


@formula(
    symbol="R_min",
    unit="m",
    equation="R_min = t/(2ε)",
    source="beam theory",
    inputs={"thickness": "t [m]", "strain": "ε [-]"},
    valid="to the middle of the strip",
)
def tightest_bend(thickness: ArrayLike, strain: ArrayLike) -> Array:
    """Radius to which a strip bends before its faces reach a strain.

    thickness : of the strip, or its width where it is set edgeways. Both broadcast; m.
    """
    return 0.5 * ratio(thickness, strain)


@formula(
    symbol="R_i",
    unit="m",
    equation="R_i = R − t/2",
    source="geometry",
    inputs={"radius": "R of the form [m]", "thickness": "t [m]"},
)
def radius_of_form(radius: ArrayLike, thickness: ArrayLike) -> Array:
    """Radius of the form under a strip whose middle is bent to a radius.

    Both broadcast; m.
    """
    return array(radius) - 0.5 * array(thickness)


@formula(
    symbol="t_max",
    unit="m",
    equation="t_max = 2 R ε",
    source="beam theory",
    inputs={"radius": "R of the form [m]", "strain": "ε [-]"},
)
def thickest_for_bend(radius: ArrayLike, strain: ArrayLike) -> Array:
    """Thickest strip that bends to a radius before its faces reach a strain.

    Both broadcast; m.
    """
    return 2.0 * array(radius) * array(strain)


@formula(
    symbol="q",
    unit="-",
    equation="q = 1/n²",
    source="beam theory: n plies hold n EI κ of moment, glued they have n³ EI of stiffness",
    inputs={"count": "n plies [-]"},
    valid="plies alike, glued without slip; the printed 1/(n² − 1) is the share of the final bend",
)
def spring_back(count: ArrayLike) -> Array:
    """Share of its curvature that a bend laminated from n plies loses when it is released.

    count : plies, at least 1: one ply alone springs back wholly.
    """
    return ratio(1.0, array(count) ** 2)


@formula(
    symbol="R_f",
    unit="m",
    equation="R_f = R/(1 − q)",
    source="definition of the share lost",
    inputs={"radius": "R of the form [m]", "lost": "q [-]"},
)
def released_radius(radius: ArrayLike, lost: ArrayLike) -> Array:
    """Radius of a laminated bend off the form.

    radius : on the form; lost : share of the curvature, below 1. Both broadcast; m.
    """
    return ratio(radius, 1.0 - array(lost))


@formula(
    symbol="R",
    unit="m",
    equation="R = R_f (1 − q)",
    source="definition of the share lost",
    inputs={"released": "R_f [m]", "lost": "q [-]"},
)
def form_for_bend(released: ArrayLike, lost: ArrayLike) -> Array:
    """Radius of the form from which a laminated bend springs back to the one wanted.

    released : wanted off the form; lost : share of the curvature. Both broadcast; m.
    """
    return array(released) * (1.0 - array(lost))


@formula(
    symbol="a",
    unit="m",
    equation="a = k t",
    source="common practice, k 40 to 50",
    inputs={"thickness": "t [m]", "times": "k [-]"},
)
def station_spacing(thickness: ArrayLike, times: ArrayLike) -> Array:
    """Farthest that stations may stand apart before strips dish between them.

    times : spacing over thickness. Both broadcast; m.
    """
    return array(thickness) * array(times)
