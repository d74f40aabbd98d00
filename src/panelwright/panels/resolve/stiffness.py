"""Elastic inputs of the layers: of fibre and resin, of a species, of a core, as given."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

from panelwright.materials.catalogue import Catalogue
from panelwright.materials.records import Row
from panelwright.panels.layers import LaminaConstants
from panelwright.panels.resolve.context import Context, exact, given
from panelwright.provenance import Evidence, Input, Scope
from panelwright.units import Quantity

#: Half of the 90 % range of the direction of a layer laid by hand, rad. Common practice.
ANGLE_ERROR = {"cloth": math.radians(3.0), "timber": math.radians(2.0)}
#: Poisson's ratio of closed-cell foam, cork and bulking mat. Common practice.
FOAM_POISSON = 0.32
#: In-plane modulus of a honeycomb as a share of the one through its thickness: next to nothing.
HONEYCOMB_IN_PLANE = 1e-3
#: Moduli of end-grain balsa in its plane as shares of the one along the grain: mean of the
#: handbook's tangential and radial ratios, and its rolling shear.
BALSA_ACROSS, BALSA_ROLLING = 0.0305, 0.005
#: MOE at 12 % over MOE green, where a species has no green value: mean of the native species.
DRY_OVER_GREEN = (1.23, 1.05, 1.45)
#: Poisson's ratios of timber, where a species has none: about the mean of the handbook's table.
TIMBER_POISSON = {"nu_LR": 0.37, "nu_LT": 0.44, "nu_RT": 0.5}
#: MOE against specific gravity, fpl-gtr-190 table 5-11 (from memory).
GRAVITY_POWER = {"softwood": 0.84}
HARDWOOD_POWER = 0.70
RATIOS = {
    "ratio_T": "E_T_over_E_L",
    "ratio_R": "E_R_over_E_L",
    "ratio_LR": "G_LR_over_E_L",
    "ratio_LT": "G_LT_over_E_L",
    "ratio_RT": "G_RT_over_E_L",
}


def angle_input(degrees: float, kind: str, what: str) -> Input:
    """The direction of a layer with the error of a hand, in rad; layers alike share the error."""
    angle, error = math.radians(degrees), ANGLE_ERROR.get(kind, 0.0)
    return Input(
        angle,
        angle - error,
        angle + error,
        f"{degrees:g}° as laid, ± {math.degrees(error):.0f}° by hand, common practice",
        Evidence.GIVEN,
        f"direction of {what}",
        Scope.LAYER,
    )


def cloth_stiffness(fibre: Row, form: Row, resin: Row, warp_share: float = 0.5) -> dict[str, Input]:
    """Moduli of fibre and resin, and what the form of the cloth does to them.

    Empty where fibre or resin has no modulus: a cloth of unknown stiffness still has a mass.
    """
    needed = [fibre.number(c) for c in ("E_axial", "E_transverse", "G_axial")] + [resin.number("E")]
    if None in needed:
        return {}
    of_fibre, of_resin = f"modulus of {fibre.name}", f"modulus of {resin.name}"
    found = {
        "fibre_E1": fibre.input("E_axial", cause=of_fibre),
        "fibre_E2": fibre.input("E_transverse", cause=f"{of_fibre} across"),
        "fibre_G12": fibre.input("G_axial", cause=f"shear {of_fibre}"),
        "fibre_nu": _fixed(fibre, "nu_axial"),
        "resin_E": resin.input("E", cause=of_resin),
        "resin_nu": _fixed(resin, "nu"),
        **_heat(fibre, resin),
    }
    construction = form.text("construction")
    if construction == "woven":
        found["is_woven"] = exact(1.0, "woven")
        found["warp_share"] = exact(warp_share, "fibre along the roll, of all of it")
        found["crimp"] = form.input("crimp", cause=f"crimp of {form.name}")
    return found


def _heat(fibre: Row, resin: Row) -> dict[str, Input]:
    """Thermal expansion of fibre and resin, as far as it is known."""
    columns = (
        ("fibre_heat_along", fibre, "CTE_axial"),
        ("fibre_heat_across", fibre, "CTE_transverse"),
        ("resin_heat", resin, "CTE"),
    )
    return {
        name: row.input(column, cause=f"expansion of {row.name}")
        for name, row, column in columns
        if row.number(column) is not None
    }


#: Thermal expansion of timber along the grain, 1/K (fpl-gtr-190, from memory: 3.1 to 4.5).
HEAT_ALONG = (3.8e-6, 3.1e-6, 4.5e-6)
#: Shrinkage along the grain from green to oven-dry of normal wood (fpl-gtr-190: 0.1 to 0.2 %).
SHRINK_ALONG = (0.0015, 0.001, 0.002)


def _timber_movement(row: Row) -> dict[str, Input]:
    """How a species moves with heat and moisture."""
    handbook = "fpl-gtr-190, chapter 4"
    found = {
        "timber_heat_along": Input(
            *HEAT_ALONG, f"{handbook} (from memory)", Evidence.MEMORY, "heat along the grain"
        ),
        "shrink_along": Input(
            *SHRINK_ALONG, handbook, Evidence.PUBLISHED, "shrinkage along the grain"
        ),
    }
    for name, column in (
        ("shrink_radial", "shrinkage_radial"),
        ("shrink_tangential", "shrinkage_tangential"),
    ):
        if row.number(column) is not None:
            found[name] = row.input(column, cause=f"shrinkage of {row.name}")
    return found


def random_ply() -> dict[str, Input]:
    """The mark of a ply whose fibre lies at random."""
    return {"is_random": exact(1.0, "fibre at random")}


def _fixed(row: Row, column: str) -> Input:
    return exact(row.number(column) or 0.0, row.source, row.evidence(column))


def _ratio(catalogue: Catalogue, row: Row, column: str) -> Input:
    """An elastic ratio of a species; the mean of its group where it has none."""
    table = catalogue.table("timber_elastic_ratios")
    own = row.text("elastic_ratios")
    cause = f"{column.replace('_', ' ')} of {row.name}"
    if own and table.row(own).number(column) is not None:
        return table.row(own).input(column, cause=cause)
    group = "softwood" if row.text("group") == "softwood" else "hardwood"
    known = [n for other in table.where(group=group) if (n := other.number(column)) is not None]
    middle = sum(known) / len(known)
    source = f"mean of {len(known)} {group}s of the table, whose values span the range"
    return Input(middle, min(known), max(known), source, Evidence.ESTIMATED, cause)


def _poisson(catalogue: Catalogue, row: Row, column: str) -> Input:
    own = row.text("poisson")
    value = catalogue.table("timber_poisson").row(own).number(column) if own else None
    if value is None:
        return exact(TIMBER_POISSON[column], "about the mean of the table", Evidence.ESTIMATED)
    return exact(value, catalogue.table("timber_poisson").row(own).source, Evidence.MEMORY)


def _green(row: Row, dry: Input) -> Input:
    if row.number("MOE_green") is not None:
        return row.input("MOE_green", cause=dry.cause)
    middle, low, high = DRY_OVER_GREEN
    return replace(
        dry,
        value=dry.value / middle,
        low=min(dry.low / middle, dry.value / high),
        high=max(dry.high / middle, dry.value / low),
        source="12 % value over 1.23, mean of the native species",
        evidence=Evidence.ESTIMATED,
    )


def timber_stiffness(context: Context, row: Row, weighed: bool) -> dict[str, Input]:
    """Elastic inputs of a species. Where the piece was weighed, its density carries stiffness."""
    cause = f"MOE of {row.name}"
    dry = row.input("MOE_12" if row.number("MOE_12") is not None else "MOE_15", cause=cause)
    softwood = row.text("group") == "softwood"
    found = {
        "moe_12": _residual(dry) if weighed else dry,
        "moe_green": _green(row, _residual(dry) if weighed else dry),
        "true_over_bending": Input(
            1.10,
            1.03,
            1.16,
            "fpl-gtr-190, chapter 5 (from memory); shear of the test by species 1.03 to 1.10",
            Evidence.MEMORY,
            "shear in the handbook's bending test",
        ),
        "intersection_moisture": exact(
            row.number("intersection_moisture") or 0.25, row.source, Evidence.MEMORY
        ),
        "gravity_power": exact(
            GRAVITY_POWER.get("softwood", 0.84) if softwood else HARDWOOD_POWER,
            "fpl-gtr-190, table 5-11 (from memory)",
            Evidence.MEMORY,
        ),
        "flat_share": Input(
            0.5,
            0.05,
            0.95,
            "rings not known: mean of flat-sawn and quarter-sawn, range over both",
            Evidence.ESTIMATED,
            "rings of the timber",
            Scope.PROCESS,
        ),
        "nu_LR": _poisson(context.catalogue, row, "nu_LR"),
        "nu_LT": _poisson(context.catalogue, row, "nu_LT"),
        "nu_RT": _poisson(context.catalogue, row, "nu_RT"),
    }
    ratios = {name: _ratio(context.catalogue, row, column) for name, column in RATIOS.items()}
    return {**found, **ratios, **_timber_movement(row)}


#: Share of the variance of MOE within a species that its density does not explain: the
#: correlation of clear specimens is about 0.7. Common practice.
UNEXPLAINED = 0.7


def _residual(modulus: Input) -> Input:
    """What still varies of a modulus once the density of the piece is known."""
    return replace(
        modulus,
        low=modulus.value - UNEXPLAINED * (modulus.value - modulus.low),
        high=modulus.value + UNEXPLAINED * (modulus.high - modulus.value),
        source=f"{modulus.source}; carried to the weighed density",
    )


def at_density(
    rows: tuple[Row, ...], row: Row, density: float, column: str, what: str = "stiffness"
) -> Input | None:
    """A property of a core at a density: straight in logarithms between the rows around it."""
    known = sorted(
        (r.number("density") or 0.0, r.number(column) or 0.0) for r in rows if r.number(column)
    )
    if not known:
        return None
    own = row if row.number(column) is not None else None
    nearest = own or min(
        (r for r in rows if r.number(column)),
        key=lambda r: abs((r.number("density") or 0) - density),
    )
    base = nearest.input(column, cause=f"{what} of {nearest.name}")
    tabulated = own is not None and math.isclose(density, own.number("density") or 0.0)
    value = base.value if tabulated else _interpolated(known, density)
    scale = value / base.value
    if abs(scale - 1.0) < 1e-9:
        return base
    return replace(
        base,
        value=value,
        low=base.low * scale,
        high=base.high * scale,
        source=f"{base.source}; carried to the density between the rows of the class",
    )


def _interpolated(known: list[tuple[float, float]], density: float) -> float:
    """Log-log between neighbours; beyond the ends in proportion to the density."""
    if density <= known[0][0] or len(known) == 1:
        return known[0][1] * density / known[0][0]
    for (d0, v0), (d1, v1) in itertools.pairwise(known):
        if density <= d1 and d1 > d0:
            share = math.log(density / d0) / math.log(d1 / d0)
            return float(v0 * (v1 / v0) ** share)
    return known[-1][1] * density / known[-1][0]


def core_stiffness(context: Context, row: Row, density: float) -> dict[str, Input]:
    """Elastic inputs of a core at its density; empty where the class has no shear modulus."""
    rows = context.catalogue.table("cores").where(core_class=row.text("core_class"))
    along = at_density(rows, row, density, "G_L")
    across = at_density(rows, row, density, "G_W")
    through = at_density(rows, row, density, "E_c")
    if along is None or across is None:
        return {}
    shear = {"given_G13": along, "given_G23": across}
    if row.text("form") == "honeycomb":
        tiny = _scaled(through or along, HONEYCOMB_IN_PLANE)
        return {**shear, "given_E1": tiny, "given_E2": tiny, "given_G12": tiny}
    if row.text("core_class").startswith("balsa"):
        grain = through or along
        return {
            **shear,
            "given_E1": _scaled(grain, BALSA_ACROSS),
            "given_E2": _scaled(grain, BALSA_ACROSS),
            "given_G12": _scaled(grain, BALSA_ROLLING),
            "given_nu12": exact(0.3, "common practice", Evidence.PRACTICE),
        }
    modulus = _scaled(along, 2.0 * (1.0 + FOAM_POISSON))
    return {
        **shear,
        "given_E1": modulus,
        "given_E2": modulus,
        "given_G12": along,
        "given_nu12": exact(FOAM_POISSON, "common practice", Evidence.PRACTICE),
    }


#: Half of the 90 % range of a ring angle and of a slope of grain that were looked at, degrees.
RING_ERROR, SLOPE_ERROR = 10.0, 1.0
#: The same of the share of a face that a knot takes up.
KNOT_ERROR = 0.05


def grain_inputs(
    ring_angle: Quantity | None, slope: Quantity | None, knots: Quantity | None
) -> dict[str, Input]:
    """What was seen of the rings, the grain and the knots; angles from degrees to rad."""
    found = {}
    if ring_angle is not None:
        found["rings_seen"] = exact(1.0, "the rings were looked at")
        found["ring_angle"] = _in_rad(ring_angle, "ring angle", RING_ERROR)
    if slope is not None:
        found["grain_slope"] = _in_rad(slope, "slope of the grain", SLOPE_ERROR)
    if knots is not None:
        found["knot_share"] = given(knots, "knots", scope=Scope.PROCESS, half_width=KNOT_ERROR)
    return found


def _in_rad(degrees: Quantity, cause: str, error: float) -> Input:
    wanted = given(degrees, cause, scope=Scope.PROCESS, half_width=error)
    low, high = max(wanted.low, 0.0), wanted.high
    return replace(
        wanted, value=math.radians(wanted.value), low=math.radians(low), high=math.radians(high)
    )


def _scaled(whole: Input, factor: float) -> Input:
    return replace(
        whole,
        value=factor * whole.value,
        low=factor * whole.low,
        high=factor * whole.high,
        source=f"{factor:.3g} × {whole.source}",
        evidence=max(whole.evidence, Evidence.PRACTICE, key=lambda kind: kind.rank),
    )


#: Modulus of a damping sheet of rubber or cork rubber, Pa: low, middle, high. Common practice.
RUBBER = (2e6, 8e6, 30e6)


def rubber_stiffness(name: str) -> dict[str, Input]:
    """Elastic inputs of a damping sheet of which nothing is known."""
    low, middle, high = RUBBER
    modulus = Input(
        middle, low, high, "rubber, common practice", Evidence.PRACTICE, f"modulus of {name}"
    )
    shear = _scaled(modulus, 1.0 / 3.0)
    return {
        "given_E1": modulus,
        "given_E2": modulus,
        "given_G12": shear,
        "given_G13": shear,
        "given_G23": shear,
        "given_nu12": exact(0.49, "rubber", Evidence.PRACTICE),
    }


def lamina_stiffness(constants: LaminaConstants, name: str) -> dict[str, Input]:
    """Elastic inputs of a layer given by its constants; empty where one of the four is missing.

    G13 is taken as G12 and G23 as that of a transversely isotropic ply where they are not given.
    """
    E1, E2, G12, nu12 = constants.E1, constants.E2, constants.G12, constants.nu12
    if E1 is None or E2 is None or G12 is None or nu12 is None:
        return {}

    def as_given(quantity: Quantity, word: str) -> Input:
        return given(quantity, f"{word} of {name}", scope=Scope.MATERIAL)

    shear = as_given(constants.G13 or G12, "G13")
    rolling = (
        as_given(constants.G23, "G23")
        if constants.G23 is not None
        else replace(
            as_given(E2, "G23"),
            value=E2.value / 2.7,
            low=E2.low / 2.7,
            high=E2.high / 2.7,
            source="E2/(2 (1 + 0.35)), not given",
            evidence=Evidence.ESTIMATED,
        )
    )
    return {
        "given_E1": as_given(E1, "E1"),
        "given_E2": as_given(E2, "E2"),
        "given_G12": as_given(G12, "G12"),
        "given_nu12": exact(nu12, "given"),
        "given_G13": shear,
        "given_G23": rolling,
    }


def film_stiffness(resin: Row) -> dict[str, Input]:
    """Elastic inputs of a seal film, a coat or a glue line."""
    if resin.number("E") is None:
        return {}
    return {
        "film_E": resin.input("E", cause=f"modulus of {resin.name}"),
        "film_nu": _fixed(resin, "nu"),
    }
