"""What our strips and plates make of the inputs of each outside check.

No formula stands here, only the order of the calls. Thin plates have a shear stiffness so large
that it gives a millionth of the deflection.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from panelwright.mechanics import beam, lamina, laminate, plate, sandwich, sandwich_failure
from panelwright.mechanics.arrays import Array, ArrayLike
from panelwright.mechanics.plate import Edge
from panelwright.mechanics.sides import side

from .cases import Answer, Answers, Case
from .sections import isotropic, section
from .stiffness import plies_of

ANSWERS: dict[str, Answer] = {}
#: Edges by letter.
EDGES = {"S": Edge.SUPPORTED, "C": Edge.CLAMPED, "F": Edge.FREE}


def _case(*ids: str) -> Callable[[Answer], Answer]:
    def register(answer: Answer) -> Answer:
        ANSWERS.update(dict.fromkeys(ids, answer))
        return answer

    return register


# --- Plates ---------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Bent:
    """A plate under its load: sides a along x, b along y."""

    plate: plate.Plate
    section: Array  # (8, 8)
    unknowns: Array

    def w(self, x: float = 0.5, y: float = 0.5) -> Array:
        """Deflection at shares of the sides."""
        a, b = self.plate.x.length, self.plate.y.length
        return np.squeeze(plate.deflection_at(self.plate, self.unknowns, [x * a], [y * b]))

    def strains(self, x: float = 0.5, y: float = 0.5, slope: tuple[int, int] = (0, 0)) -> Array:
        """Strains, curvatures and shear strains at shares of the sides, or slopes, ``(8,)``."""
        at = [x * self.plate.x.length], [y * self.plate.y.length]
        return np.squeeze(plate.strains_at(self.plate, self.unknowns, *at, slope))

    def resultants(self, x: float = 0.5, y: float = 0.5) -> Array:
        """Forces, moments and shear forces at shares of the sides, ``(8,)``."""
        return self.section @ self.strains(x, y)


Cuts = Sequence[float] | Array
Number = float | Array


def bend(
    made: Array,
    a: Number,
    b: Number,
    edges: str,
    load: Callable[[plate.Plate], Array],
    cuts: tuple[Cuts, Cuts] = ((), ()),
    orders: Sequence[int] = (),
) -> Bent:
    """Bend a plate; ``cuts`` are places along x and y where a load begins or ends.

    orders : of the parts of both sides, where not the usual ones.
    """
    letters = [EDGES[letter] for letter in edges]
    of = plate.plate(
        side(float(a), list(cuts[0]), orders),
        side(float(b), list(cuts[1]), orders),
        (letters[0], letters[1], letters[2], letters[3]),
        coupled=bool(np.any(made[:3, 3:6])),
    )
    by = plate.factor(plate.stiffness(of, made))
    return Bent(of, made, plate.solve(of, by, load(of)))


def even(pressure: Number) -> Callable[[plate.Plate], Array]:
    """An even pressure."""
    return lambda of: plate.pressure(of, float(pressure))


def over(x: tuple[float, float], y: tuple[float, float]) -> Callable[[plate.Plate], Array]:
    """A force of 1 over a patch."""
    return lambda of: plate.patch(of, 1.0, x, y)


def thin(bending: Array, a: Number) -> Array:
    """Section of a plate that bends only; bending : components ``(6,)``."""
    whole = np.zeros((6, 6))
    whole[3:, 3:] = lamina.matrix(bending)
    return plate.section_matrix(whole, np.eye(2) * 1e6 * whole[3, 3] / float(a) ** 2)


def _isotropic(poisson: Number) -> Array:
    """Components of a bending stiffness of 1."""
    nu = float(poisson)
    return np.array([1.0, nu, 1.0, 0.0, 0.0, (1.0 - nu) / 2.0])


def _per_cube(poisson: Number) -> Array:
    """D of a plate of E t³ = 1."""
    free = lamina.reduced_stiffness(1.0, 1.0, 1.0, poisson)
    return lamina.part(laminate.bending_stiffness(free[None], np.array([1.0]), np.array([0.0])), 0)


@_case("plate-ss-uniform-1", "plate-ss-uniform-1.5", "plate-ss-uniform-2")
def _supported(case: Case) -> Answers:
    made = thin(_isotropic(case.si["nu"]), 1.0)
    bent = bend(made, 1.0, case.si["b_over_a"], "SSSS", even(1.0))
    moments = bent.resultants()
    return {"w_D_over_qa4": bent.w(), "Mx_over_qa2": moments[3], "My_over_qa2": moments[4]}


@_case(*(f"plate-clamped-uniform-{ratio}" for ratio in ("1", "1.2", "1.5", "2")))
def _clamped(case: Case) -> Answers:
    made = thin(_isotropic(case.si["nu"]), 1.0)
    bent = bend(made, 1.0, case.si["b_over_a"], "CCCC", even(1.0))
    return {
        "w_D_over_qa4": bent.w(),
        "Mx_edge_over_qa2": bent.resultants(0.0, 0.5)[3],
        "My_edge_over_qa2": bent.resultants(0.5, 0.0)[4],
        "Mx_centre_over_qa2": bent.resultants()[3],
        "My_centre_over_qa2": bent.resultants()[4],
    }


def _in_the_middle(made: Array, a: float, b: float, edges: str, orders: Sequence[int]) -> Bent:
    """A force of 1 at the centre, where no smooth sum follows it: the sides are cut about it."""
    cuts = np.array([0.4, 0.5, 0.6])
    load = over((a / 2.0, a / 2.0), (b / 2.0, b / 2.0))
    return bend(made, a, b, edges, load, (cuts * a, cuts * b), orders)


@_case("plate-clamped-point")
def _clamped_point(case: Case) -> Answers:
    made, found = thin(_isotropic(case.si["nu"]), 1.0), {}
    for longer in case.si["b_over_a"]:
        bent = _in_the_middle(made, 1.0, float(longer), "CCCC", (7, 5, 5, 7))
        found[f"w_D_over_Pa2_{longer:g}"] = bent.w()
        found[f"Mx_edge_over_P_{longer:g}"] = bent.resultants(0.0, 0.5)[3]
    return found


@_case("plate-roark-ss-central")
def _supported_point(case: Case) -> Answers:
    made = thin(_isotropic(case.si["nu"]), 1.0)
    stiff = _per_cube(case.si["nu"])
    return {
        name: _in_the_middle(made, float(name.partition("_")[2]), 1.0, "SSSS", (6, 4, 4, 6)).w()
        / stiff
        for name in case.expected
    }


@_case("plate-roark-ss-uniform")
def _supported_by_sides(case: Case) -> Answers:
    made, found = thin(_isotropic(case.si["nu"]), 1.0), {}
    for name in case.expected:
        symbol, _, longer = name.partition("_")
        bent = bend(made, float(longer), 1.0, "SSSS", even(1.0))
        moment = 6.0 * bent.resultants()[4]
        found[name] = bent.w() / _per_cube(case.si["nu"]) if symbol == "alpha" else moment
    return found


@_case("plate-roark-ss-patch-1")
def _supported_patch(case: Case) -> Answers:
    """A patch across b1 and along a1, in the names as b1xa1; x runs along a."""
    made, found = thin(_isotropic(case.si["nu"]), 1.0), {}
    for name in case.expected:
        what, _, size = name.rpartition("_")
        y, x = (((1.0 - share) / 2.0, (1.0 + share) / 2.0) for share in map(float, size.split("x")))
        bent = bend(made, 1.0, 1.0, "SSSS", over(x, y), (x, y))
        moments = bent.resultants()
        answers = {"beta": 6.0 * moments[4], "My_over_W": moments[3], "w_D_over_Wb2": bent.w()}
        found[name] = answers[what]
    return found


@_case("plate-ortho-uniform-0.5", "plate-ortho-uniform-1", "plate-ortho-uniform-2")
def _orthotropic(case: Case) -> Answers:
    i = case.si
    ply = lamina.reduced_stiffness(i["E1"], i["E2"], i["G12"], i["nu12"])
    bending = laminate.bending_stiffness(ply[None], np.array([1.0]), np.array([0.0]))
    made = thin(bending, 1.0)
    # the moment at the far edge settles last: 2 % off at order 10, 0.5 % at 12
    free, held = (
        bend(made, i["a"], i["b"], edges, even(1.0), orders=(14,)) for edges in ("SSSS", "CCCC")
    )
    return {
        "ss_w_over_q": free.w(),
        "ss_Mx": free.resultants()[3],
        "ss_My": free.resultants()[4],
        "clamped_w_over_q": held.w(),
        "clamped_Mx_edge": held.resultants(0.0, 0.5)[3],
        "clamped_My_edge": held.resultants(0.5, 0.0)[4],
    }


@_case("plate-bend-twist-45_-45_-45_45")
def _angle_ply(case: Case) -> Answers:
    i, made = case.si, thin(section(plies_of(case)).D, case.si["a_mm"])
    sides, load = (i["a_mm"], i["b_mm"]), even(i["q_MPa"])
    return {
        "clamped_w": bend(made, *sides, "CCCC", load).w(),
        "ss_w": bend(made, *sides, "SSSS", load).w(),
    }


@_case("plate-sandwich-500-15", "plate-sandwich-800-20")
def _sandwich(case: Case) -> Answers:
    i = case.si
    t, deep = i["tf_mm"], i["tc_mm"]
    modulus = np.array([float(i["Ef_MPa"]), 0.0, float(i["Ef_MPa"])])
    in_plane = modulus / (2.0 * (1.0 + float(i["nu"])))
    faces = section(isotropic(modulus, i["nu"], in_plane, np.array([t, deep, t])))
    shear = [sandwich.thin_face_shear(i[f"G{way}z_MPa"], deep + t, deep) for way in "xy"]
    whole = np.zeros((6, 6))
    whole[3:, 3:] = lamina.matrix(faces.D)
    made = plate.section_matrix(whole, np.diag([float(value) for value in shear]))
    sides, load = (i["a_mm"], i["b_mm"]), even(i["q_MPa"])
    free = bend(made, *sides, "SSSS", load)
    return {
        "D": lamina.part(faces.D, 0),
        "Sx": shear[0],
        "ss_w": free.w(),
        "ss_w_thin_plate_only": bend(thin(faces.D, i["a_mm"]), *sides, "SSSS", load).w(),
        "ss_Mx": free.resultants()[3],
        "ss_My": free.resultants()[4],
        "ss_Qx_max": free.resultants(0.0, 0.5)[6],
        "clamped_w": bend(made, *sides, "CCCC", load).w(),
    }


# --- Strips ---------------------------------------------------------------------------------------


@_case("beam-sandwich-S1", "beam-sandwich-S2")
def _strip(case: Case) -> Answers:
    """Everything per width but D and S, which the case prints for the whole beam."""
    i = case.si
    width, span, t, deep = i["b_mm"], i["L_mm"], i["tf_mm"], i["tc_mm"]
    modulus = np.array([i["Ef_MPa"], i["Ec_MPa"], i["Ef_MPa"]], np.float64)
    sheared = np.array([i["Ef_MPa"] / 2.6, i["Gc_MPa"], i["Ef_MPa"] / 2.6], np.float64)
    made = section(isotropic(modulus, np.array(0.0), sheared, np.array([t, deep, t])))
    stiff, load = lamina.part(made.D, 0), i["P_total_N"] / width
    shear = sandwich.thin_face_shear(i["Gc_MPa"], deep + t, deep)

    def deflection(bending: ArrayLike, by_shear: ArrayLike) -> Array:
        return beam.strip_deflection(load, span, stiff, shear, bending, by_shear)

    def as_held(name: str) -> Array:
        return deflection(beam.STRIPS[name].bending, beam.STRIPS[name].shear)

    def four_points(share: float) -> Array:
        arm = share * span
        return deflection(beam.four_point_bending(arm, span), beam.four_point_arm(arm, span))

    three = beam.STRIPS["three points"]
    moment = beam.strip_moment(load, span, three.moment)
    curved = np.array([0.0, 0.0, 0.0, float(moment), 0.0, 0.0])
    strains = laminate.strains(made.compliance, curved)
    faces = laminate.layer_stress(
        made.stiffness, strains, made.heights + made.thickness / 2.0, np.zeros((3, 3))
    )
    force = beam.strip_shear_force(load, three.force)
    return {
        "D": stiff * width,
        "S_G_d2_over_tc": shear * width,
        "S_energy": made.S[0, 0] * width,
        "w_3pt": as_held("three points"),
        "w_4pt_third": four_points(1.0 / 3.0),
        "w_4pt_quarter": four_points(1.0 / 4.0),
        "w_uniform_total_P": as_held("simply supported, uniform"),
        "w_cantilever_tip": as_held("cantilever, at the end"),
        "skin_stress_3pt": faces[0, 0],
        "skin_stress_thin_3pt": sandwich_failure.mean_stress(moment / (deep + t), t),
        "core_shear_thin_3pt": sandwich_failure.core_shear_stress(force, deep + t),
    }


@_case("beam-two-span-reduction-S")
def _two_spans(case: Case) -> Answers:
    i = case.si
    (short, long), (less, more) = i["spans_mm"], i["deflections_mm"]
    stiff = beam.stiffness_of_two_spans(i["load_N"], less, short, more, long)
    return {
        "D": stiff,
        "S": beam.shear_stiffness_of_strip(i["load_N"], less, short, stiff),
    }
