"""Our plates beside exact three-dimensional elasticity: how far first-order shear theory is off.

No formula stands here, only the order of the calls. The cases are simply supported; what is
infinitely wide there is eight times as wide as long here, and read in its middle.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from panelwright.mechanics import lamina, laminate, plate, transverse_shear, warping
from panelwright.mechanics.arrays import Array, array
from panelwright.mechanics.sides import Side, quadrature, shapes

from .bearing import Bent, bend, even
from .cases import Case, thick_cases
from .sections import Plies, Section, section

#: Width over length of a plate that bends one way only.
ENDLESS = 8.0


@dataclass(frozen=True)
class Distance:
    """A printed exact value beside ours, both as printed."""

    case: Case
    name: str
    slenderness: float  # length over thickness
    exact: float
    ours: float

    @property
    def off(self) -> float:
        """Ours over the exact value, less 1."""
        return self.ours / self.exact - 1.0


@dataclass(frozen=True)
class Read:
    """A bent plate and its stack, to be read at places and heights."""

    bent: Bent
    made: Section
    angle: Array

    def stress(
        self, component: int, layer: int, up: float, x: float = 0.5, y: float = 0.5
    ) -> float:
        """Stress in the axes of the panel in a layer, at a share of its thickness up."""
        of = self.made
        straight = laminate.face_strains(self.bent.strains(x, y)[:6], of.heights, of.thickness)
        slopes = (of_slope[6:] for of_slope in self._slopes(x, y))
        outer, inner = warping.warped_strains(straight, of.warp_strains, *slopes)[layer]
        strains = inner + up * (outer - inner)
        return float((lamina.matrix(of.stiffness)[layer] @ strains)[component])

    def _slopes(self, x: float, y: float) -> tuple[Array, Array]:
        """How forces, moments and shear forces change along x and y."""
        along, across = (self.bent.strains(x, y, way) for way in ((1, 0), (0, 1)))
        return self.bent.section @ along, self.bent.section @ across

    def shear(self, way: int, height: float, x: float, y: float) -> float:
        """Shear stress xz (way 0) or yz at a height over the mid-plane."""
        slopes = (self.bent.strains(x, y, along)[:6] for along in ((1, 0), (0, 1)))
        of_slopes = transverse_shear.shear_of_slopes(
            self.made.stiffness, self.made.thickness, self.made.heights, *slopes
        )
        stress = transverse_shear.shear_under_force(
            of_slopes, self.made.flow, self.bent.resultants(x, y)[6:], self.made.thickness
        )
        lower = self.made.heights - self.made.thickness / 2.0
        layer = int(np.argmax(lower <= height + 1e-12))
        up = 2.0 * (height - lower[layer]) / self.made.thickness[layer] - 1.0
        points = np.array([-np.sqrt(0.6), 0.0, np.sqrt(0.6)])
        return float(np.polyval(np.polyfit(points, stress[layer, :, way], 2), up))


def waves(pressure: float) -> Callable[[plate.Plate], Array]:
    """A pressure of one half wave along and across; along only where the plate is endless."""

    def wave(of: Side) -> Array:
        places, weights = quadrature(of, 4)
        return array(weights * np.sin(np.pi * places / of.length) @ shapes(of, places)[0])

    def load(of: plate.Plate) -> Array:
        if of.y.length < ENDLESS * of.x.length:
            return plate.load_of_products(of, pressure * wave(of.x), wave(of.y))
        places, weights = quadrature(of.y)
        return plate.load_of_products(of, pressure * wave(of.x), weights @ shapes(of.y, places)[0])

    return load


# --- Stacks of the cases, in units that belong together -------------------------------------------


@dataclass(frozen=True)
class Problem:
    """A plate of a case under a pressure, and what a printed value is a multiple of."""

    made: Section
    angle: Array
    a: float
    b: float
    pressure: float
    wavy: bool
    per: Callable[[str], float]  # a printed value is ours times this

    def read(self) -> Read:
        """Bend it."""
        load = waves(self.pressure) if self.wavy else even(self.pressure)
        section8 = plate.section_matrix(self.made.whole, self.made.S)
        ends = [self.a, self.b - self.a] if self.b >= ENDLESS * self.a else []
        return Read(bend(section8, self.a, self.b, "SSSS", load, ([], ends)), self.made, self.angle)


def _stack(layers: Sequence[tuple[Mapping[str, Any], float, float]]) -> tuple[Section, Array]:
    """Layers from the bottom: constants, thickness, angle in degrees."""
    names = ("E1", "E2", "G12", "nu12", "G13", "G23")
    rows = [[*(of[name] for name in names), np.radians(turn), t] for of, t, turn in layers]
    plies = Plies(*np.array(rows, np.float64)[::-1].T)
    return section(plies), plies.angle


def _of_panels(case: Case) -> Iterator[tuple[str, Problem]]:
    """Panels in mm and MPa."""
    i = case.inputs
    made, angle = _stack(
        [
            (i["materials_MPa"][layer["material"]], layer["t_mm"], layer["angle_deg"])
            for layer in i["stack_bottom_to_top"]
        ]
    )
    b = ENDLESS * i["a_mm"] if i["b_mm"] == "inf" else i["b_mm"]
    one = Problem(made, angle, i["a_mm"], b, i["q_MPa"], i["load"] == "sin", lambda name: 1.0)
    return ((name, one) for name in case.expected)


def _of_laminates(case: Case) -> Iterator[tuple[str, Problem]]:
    """Laminates and sandwiches of thickness 1 under a pressure of 1."""
    i = case.inputs
    if "stack_deg" in i:
        layers = [(i, 1.0 / len(i["stack_deg"]), turn) for turn in i["stack_deg"]]
    else:
        of = (i["face"], i["core"], i["face"])
        layers = [(*pair, 0.0) for pair in zip(of, i["t_over_h"], strict=True)]
    made, angle = _stack(layers)
    a, weak = i["S"], layers[0][0]["E2"]

    def per(name: str) -> float:
        power = 4 if name == "w" else 1 if name[2] == "z" else 2
        return float((100.0 * weak if name == "w" else 1.0) / a**power)

    b = a * (ENDLESS if i["b_over_a"] == "inf" else i["b_over_a"])
    one = Problem(made, angle, a, b, 1.0, i["load"] == "sin", per)
    return ((name, one) for name in case.expected)


def _of_one_stiffness(case: Case) -> Iterator[tuple[str, Problem]]:
    """Square plates of C11 = 1 and thickness 1; the name ends in what makes them differ."""
    i = case.inputs
    c, three = i["stiffness_ratio_to_C11"], ("c13", "c23")
    plane = [
        c[name] - c[three[first]] * c[three[second]] / c["c33"]
        for name, first, second in (("c11", 0, 0), ("c12", 0, 1), ("c22", 1, 1))
    ]
    stiffness = np.array([*plane, 0.0, 0.0, c["c66"]])
    shear = np.array([c["c55"], c["c44"], 0.0])
    for name in case.expected:
        number = float(name.rpartition("=")[2].rpartition("beta")[2])
        stiffer = np.array([number, 1.0, number] if "t_over_h" in i else [1.0])
        made = Section(
            stiffer[:, None] * stiffness, stiffer[:, None] * shear, np.array(i.get("t_over_h", [1]))
        )
        a = i.get("a_over_h") or 1.0 / number
        yield name, Problem(made, np.zeros(stiffer.size), a, a, 1.0, False, lambda name: 1.0)


def _of_inches(case: Case) -> Iterator[tuple[str, Problem]]:
    """Inches and pounds."""
    i = case.inputs
    made, angle = _stack(
        [
            (i["skin_psi"], i["skin_in"], 0.0),
            (i["core_psi"], i["core_in"], 0.0),
            (i["skin_psi"], i["skin_in"], 0.0),
        ]
    )
    one = Problem(made, angle, i["a_in"], i["b_in"], i["q_psi"], False, lambda name: 1.0)
    return ((name, one) for name in case.expected)


def _problems(case: Case) -> Iterator[tuple[str, Problem]]:
    for key, made_by in (
        ("materials_MPa", _of_panels),
        ("S", _of_laminates),
        ("stiffness_ratio_to_C11", _of_one_stiffness),
        ("skin_psi", _of_inches),
    ):
        if key in case.inputs:
            return made_by(case)
    raise AssertionError(f"{case.id}: no stack is known for these inputs")


# --- What the cases ask ---------------------------------------------------------------------------


def _core(of: Read) -> int:
    return int(np.argmax(of.made.thickness))


def _uppermost_across(of: Read) -> int:
    return int(np.argmax(of.angle > 1.0))


#: Beginning of a name to the reading of it; the first that fits.
_READINGS: Mapping[str, Callable[[Read], float]] = {
    "w": lambda of: float(of.bent.w()),
    "sx_top_skin_middle": lambda of: of.stress(0, 0, 0.5),
    "sy_top_skin_middle": lambda of: of.stress(1, 0, 0.5),
    "sx_top": lambda of: of.stress(0, 0, 1.0),
    "sy_top": lambda of: of.stress(1, 0, 1.0),
    "sx_bot": lambda of: of.stress(0, -1, 0.0),
    "sy_bot": lambda of: of.stress(1, -1, 0.0),
    "sx_core_lower_face": lambda of: of.stress(0, _core(of), 0.0),
    "sy_core_lower_face": lambda of: of.stress(1, _core(of), 0.0),
    "sy_90layer_upper_face": lambda of: of.stress(1, _uppermost_across(of), 1.0),
    "txy_top": lambda of: of.stress(2, 0, 1.0, 0.0, 0.0),
    "txz": lambda of: of.shear(0, 0.0, 0.0, 0.5),
    "tyz": lambda of: of.shear(1, 0.0, 0.5, 0.0),
}


def is_of_the_shop(case: Case) -> bool:
    """Whether it is a panel with a core of timber, foam or end grain."""
    return "materials_MPa" in case.inputs


@cache
def distances() -> tuple[Distance, ...]:
    """Every printed exact value beside ours."""
    found, read = [], {}
    for case in thick_cases():
        for name, problem in _problems(case):
            key = (case.id, problem.a, tuple(problem.made.stiffness.flat))
            if key not in read:
                read[key] = problem.read()
            begins = next(start for start in _READINGS if name.startswith(start))
            ours = _READINGS[begins](read[key]) * problem.per(name)
            slender = round(problem.a / float(np.sum(problem.made.thickness)), 6)
            found.append(Distance(case, name, slender, float(case.expected[name].value), ours))
    return tuple(found)


def kind(name: str) -> str:
    """What a printed value is: a deflection, a stress in the plane or a core shear."""
    if name.startswith("w"):
        return "deflection"
    return "core shear" if name[2] == "z" else "stress in the plane"
