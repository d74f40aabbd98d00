"""What a layer bears before it is damaged, from the catalogue. No row: not known, never a guess."""

from __future__ import annotations

import math
from dataclasses import replace

from panelwright.materials.records import Row
from panelwright.panels.layers import LaminaConstants
from panelwright.panels.resolve.context import Context, exact, given
from panelwright.panels.resolve.stiffness import at_density
from panelwright.provenance import Evidence, Input, Scope

#: Families of resin in the table of ply strains, by the first part of a resin's id.
FAMILIES = {"up": "polyester", "ve": "vinyl ester", "ep": "epoxy"}
#: Quantity of the table, field of the stack, column that holds it.
PLY = (
    ("eps_1t", "strain_1t", "strain"),
    ("eps_1c", "strain_1c", "strain"),
    ("eps_2t", "strain_2t", "strain"),
    ("eps_2c", "strain_2c", "strain"),
    ("eps_crack", "strain_crack", "strain"),
    ("tau_12", "shear_12", "strength"),
    ("ilss", "shear_between", "strength"),
)
#: Power of the fibre fraction for the compression strain of straight stitched fibre.
STITCHED_POWER = -0.5
STITCHED = ("unidirectional", "stitched")
#: A direction with less of the fibre than this, the yarn across a tape, is no ply that cracks.
LEAST_SHARE = 0.12
CRACKS = ("strain_2t", "strain_2c", "strain_crack")
WITH_FIBRE_ACROSS = ("woven", "woven roving", "mat")


def _form_group(form: Row, at_random: bool) -> str:
    """The group of the table that a ply of a cloth belongs to."""
    group = form.text("fraction_group")
    if group != "combination":
        return group
    return "mat" if at_random else "stitched"


def ply_strength(
    context: Context, fibre: Row, form: Row, resin: Row, share: float, at_random: bool
) -> dict[str, Input]:
    """Strains and strengths of a ply; empty where the table has no such ply.

    share : of the fibre of its cloth.
    """
    group = _form_group(form, at_random)
    family = FAMILIES.get(resin.id.partition("_")[0], "")
    rows = {
        row.text("quantity"): row
        for row in context.catalogue.table("ply_strains").where(fibre=fibre.id, form_group=group)
        if context.process.id in row.text("processes").split(";")
        and family in row.text("resin_families").split(";")
    }
    if not rows:
        return {}
    found = {
        field: rows[quantity].input(column, cause=rows[quantity].name)
        for quantity, field, column in PLY
        if quantity in rows and rows[quantity].number(column) is not None
    }
    reference = rows["eps_1t"].number("fibre_volume_fraction") or 0.0
    power = STITCHED_POWER if group in STITCHED else 0.0
    found["strain_fraction"] = exact(reference, "fibre fraction of the plates tested")
    found["strain_1c_power"] = exact(power, rows["eps_1c"].text("scaling_rule"))
    if share < LEAST_SHARE:
        found = {name: value for name, value in found.items() if name not in CRACKS}
        found["is_yarn"] = exact(1.0, f"{100 * share:.0f} % of the fibre of its cloth")
    if group in WITH_FIBRE_ACROSS:
        found["held_across"] = exact(1.0, "fibre runs both ways")
    return _less_spread(context, found, rows, (fibre.text("fibre_group"), group, family))


def _less_spread(
    context: Context, found: dict[str, Input], rows: dict[str, Row], kind: tuple[str, str, str]
) -> dict[str, Input]:
    """Shear of stitched ±45 glass in epoxy rests on two good panels: the mean less its spread."""
    by_vacuum = context.process.id in ("bag", "infusion")
    if kind != ("glass", "stitched", "epoxy") or not by_vacuum or "shear_12" not in found:
        return found
    row = rows["tau_12"]
    spread = math.hypot(row.number("cov_coupons") or 0.0, row.number("cov_panels") or 0.0)
    mean = found["shear_12"]
    left = 1.0 - spread
    less = replace(
        mean,
        value=left * mean.value,
        low=left * mean.low,
        high=mean.value,
        source=f"{mean.source}; mean less its spread of {100 * spread:.0f} %: two good panels only",
    )
    context.doubt(
        "The shear strength of stitched ±45 glass in epoxy is taken at the mean of the table less "
        f"its spread of {100 * spread:.0f} %: it rests on two good panels, and others gave less."
    )
    return {**found, "shear_12": less}


# --- Timber ---------------------------------------------------------------------------------------


def _dry(row: Row, stem: str) -> str:
    """The column of a property at 12 % moisture, or at 15 % where only that is known."""
    twelve = f"{stem}_12"
    return twelve if row.number(twelve) is not None else f"{stem}_15"


def timber_strength(context: Context, row: Row) -> dict[str, Input]:
    """Strength of small clear wood of a species, along and across its grain.

    Bending strength stands for tension along the grain, as the handbook advises.
    """
    found = {}
    for stem, column, word in (
        ("bend", "MOR", "bending strength"),
        ("crush", "comp_parallel", "crushing strength"),
        ("wood_shear", "shear", "shear strength"),
    ):
        dry = _dry(row, column)
        if row.number(dry) is None:
            continue
        found[f"{stem}_12"] = row.input(dry, cause=f"{word} of {row.name}")
        green = f"{column}_green" if row.number(f"{column}_green") is not None else dry
        found[f"{stem}_green"] = row.input(green, cause=f"{word} of {row.name}")
    across = row.text("cross_grain")
    if not across:
        return found
    cross = context.catalogue.table("timber_cross_grain").row(across)
    for field, column, word in (
        ("split_12", "tension_perp", "strength across the grain"),
        ("press_12", "comp_perp", "compression across the grain"),
        ("rolling_12", "rolling_shear_strength", "rolling shear strength"),
    ):
        if cross.number(column) is not None:
            found[field] = cross.input(column, cause=f"{word} of {row.name}")
    return found


# --- Cores and constants --------------------------------------------------------------------------


def core_strength(context: Context, row: Row, density: float) -> dict[str, Input]:
    """Shear strength of a core at its density, and where it yields."""
    rows = context.catalogue.table("cores").where(core_class=row.text("core_class"))
    sought = {
        "given_S13": at_density(rows, row, density, "shear_strength_L", "shear strength"),
        "given_S23": at_density(rows, row, density, "shear_strength_W", "shear strength"),
        "yield_share": _yield_share(context, row, density),
        "through_E": at_density(rows, row, density, "E_c"),
        "crush": at_density(rows, row, density, "comp_strength", "crushing strength"),
    }
    if row.number("cell_size") is not None:
        sought["cell_size"] = row.input("cell_size", cause=f"cells of {row.name}")
    return {name: value for name, value in sought.items() if value is not None}


def _yield_share(context: Context, row: Row, density: float) -> Input | None:
    for rule in context.catalogue.table("core_strengths").where(kind="shear yield ratio"):
        ends = (rule.number("density_from") or 0.0, rule.number("density_to") or math.inf)
        in_class = row.text("core_class") in rule.text("core_classes").split(";")
        if in_class and ends[0] <= density < ends[1]:
            return rule.input("ratio", cause=rule.name)
    return None


def wrinkling_share(context: Context) -> Input:
    """What waviness beyond the usual leaves of the force at which skins wrinkle: all, if unsaid."""
    said = context.panel.wrinkling_share
    if said is None:
        return exact(1.0, "skins as straight as usual", Evidence.PRACTICE)
    return given(said, "waviness of the skins", scope=Scope.PROCESS)


def glue_strength(context: Context, glue: Row) -> dict[str, Input]:
    """Shear strength of a glue line, both ways; empty where the table has no number."""
    if glue.number("shear_strength") is None:
        return {}
    found = glue.input("shear_strength", cause=f"shear strength of {glue.name}")
    return {"given_S13": found, "given_S23": found}


def lamina_strength(constants: LaminaConstants, name: str) -> dict[str, Input]:
    """Strengths of a layer given by its constants, as far as they are given."""
    return {
        f"given_{word}": given(quantity, f"{word} of {name}", scope=Scope.MATERIAL)
        for word in ("X1t", "X1c", "X2t", "X2c", "S12")
        if (quantity := getattr(constants, word)) is not None
    }
