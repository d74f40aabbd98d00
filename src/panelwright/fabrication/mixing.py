"""How a product is mixed and how long a pot of it keeps, as far as the shop has said."""

from __future__ import annotations

from dataclasses import dataclass, replace

from panelwright import units
from panelwright.fabrication.fields import RATIO_EXAMPLE, Ratio
from panelwright.fabrication.part import Mix
from panelwright.fabrication.times import lasting
from panelwright.fabrication.usual import said, usual
from panelwright.materials.catalogue import Catalogue
from panelwright.materials.records import Row
from panelwright.mechanics import mixing, potting
from panelwright.provenance import Evidence, Input

#: Temperature that the table of resins gives its working times at, K.
TABLE_AT = 293.15


@dataclass(frozen=True)
class Life:
    """A time of the cure at one temperature, s: the middle and how far it may be off."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class Mixing:
    """One product: how it is mixed, how long it keeps, how large a pot may be. SI units.

    ``told`` : what the part file says of it; ``by_mass``, ``by_volume`` : resin over hardener,
    None where it does not follow from that; ``heel`` : what stays in each pot beyond the loss of
    the ledger.
    """

    product: str
    told: Mix
    ratio: Ratio | None
    by_mass: float | None
    by_volume: float | None
    density: float  # of the mix
    pot_life: Input
    pot_life_at: float
    faster: Input
    cap: Input
    usable: Input
    heel: float

    def life(self, temperature: float) -> Life:
        """How long a pot keeps at a temperature [K]."""
        return at_temperature(self.pot_life, self.pot_life_at, temperature, self.faster)

    def resin(self, mix: float) -> float | None:
        """Resin in a mass of mix [kg]; the rest is hardener. None where the ratio is not known."""
        return None if self.by_mass is None else float(mixing.resin_of_mix(mix, self.by_mass))

    def volumes(self, mix: float) -> tuple[float, float] | None:
        """Resin and hardener of a mass of mix in m3, where it is measured by volume."""
        if self.by_volume is None or self.by_mass is not None:
            return None
        whole = mix / self.density
        resin = float(mixing.resin_of_mix(whole, self.by_volume))
        return resin, whole - resin


def at_temperature(time: Input, reference: float, temperature: float, faster: Input) -> Life:
    """A time carried to another temperature; the ends take the worst of time and factor."""

    def carried(seconds: float, factor: float) -> float:
        return float(potting.time_at_temperature(seconds, reference, temperature, factor))

    ends = [carried(t, f) for t in (time.low, time.high) for f in (faster.low, faster.high)]
    return Life(carried(time.value, faster.value), min(ends), max(ends))


def mixing_of(product: str, told: Mix, catalogue: Catalogue) -> Mixing:
    """How a product is mixed, as far as it is told.

    product : a row of the resins, the glues or neither.
    """
    resin = catalogue.table("resins").get(product)
    glue = catalogue.table("glues").get(product) if resin is None else None
    by_mass, by_volume = _ratios(told)
    keeps_at = (
        TABLE_AT if told.pot_life is None or told.pot_life_at is None else told.pot_life_at.value
    )
    return Mixing(
        product=product,
        told=told,
        ratio=told.ratio,
        by_mass=by_mass,
        by_volume=by_volume,
        density=_density(resin, glue),
        pot_life=said(told.pot_life, f"pot life of {product}", _usual_life(resin, glue)),
        pot_life_at=keeps_at,
        faster=said(
            told.faster, "speed of cure for each 10 K", usual(catalogue, "pot_life_factor")
        ),
        cap=said(told.pot_cap, "largest pot", _usual_cap(product, catalogue)),
        usable=said(told.usable, "usable pot life", usual(catalogue, "usable_life")),
        heel=0.0 if told.left_in_pot is None else told.left_in_pot.value,
    )


def _ratios(mix: Mix) -> tuple[float | None, float | None]:
    """The ratio by mass and by volume, as far as they follow."""
    if mix.ratio is None:
        return None, None
    densities = (mix.resin_density, mix.hardener_density)
    known = [one.value for one in densities if one is not None]
    if mix.ratio.by == "mass":
        volume = mixing.mix_ratio_by_volume(mix.ratio.value, *known) if len(known) == 2 else None
        return mix.ratio.value, None if volume is None else float(volume)
    mass = mixing.mix_ratio_by_mass(mix.ratio.value, *known) if len(known) == 2 else None
    return None if mass is None else float(mass), mix.ratio.value


def _usual_cap(product: str, catalogue: Catalogue) -> Input:
    """The largest pot where the shop has no rule: what is usual for epoxy, else the most of it."""
    pot = usual(catalogue, "batch_size")
    return pot if product.startswith("epoxy") else replace(pot, value=pot.high)


_NO_LIFE = Input(
    1800.0, 900.0, 3600.0, "nothing is known of it", Evidence.ESTIMATED, "pot life, unknown"
)
_WATER = 1000.0


def _usual_life(resin: Row | None, glue: Row | None) -> Input:
    for row, column in ((resin, "working_time"), (glue, "open_time")):
        if row is not None and row.number(column) is not None:
            return row.input(column)
    return _NO_LIFE


def _density(resin: Row | None, glue: Row | None) -> float:
    for row, column in ((resin, "density_liquid"), (glue, "density")):
        found = None if row is None else row.number(column)
        if found is not None:
            return found
    return _WATER


# --- What is said of it ---------------------------------------------------------------------------


def slip(mix: Mix) -> str:
    """What the ratio is by mass and by volume, and what taking one for the other would do."""
    by_mass, by_volume = _ratios(mix)
    densities = [one.value for one in (mix.resin_density, mix.hardener_density) if one is not None]
    if mix.ratio is None or by_mass is None or by_volume is None or len(densities) < 2:
        return ""
    right = float(mixing.hardener_for(100.0, by_mass))
    in_volume = float(mixing.hardener_for(100.0, by_volume))
    if mix.ratio.by == "volume":
        used, done = in_volume, "weighed as if it were by mass"
    else:
        wrong = mixing.mix_ratio_by_mass(by_mass, *densities)
        used, done = float(mixing.hardener_for(100.0, wrong)), "measured as if it were by volume"
    excess = float(mixing.hardener_excess(used, right))
    if abs(excess) < 0.005:
        return ""
    much = "too much" if excess > 0.0 else "too little"
    other = (
        f"100:{right:.3g} by mass" if mix.ratio.by == "volume" else f"100:{in_volume:.3g} by volume"
    )
    off = units.show(abs(excess), "fraction")
    return f"{mix.ratio.text} is {other}; {done} it would get {off} {much} hardener"


def pump_slip(ratio: Ratio) -> str:
    """What comes of counting strokes of pumps that are set for the ratio already."""
    actual = float(mixing.ratio_of_strokes(ratio.value, ratio.value))
    return (
        f"pumps set for {ratio.text} give it with one stroke of each; counting "
        f"{ratio.value:.3g} strokes to one again makes {actual:.3g}:1, "
        f"{units.show(round(1.0 / ratio.value, 2), 'fraction')} of the hardener it needs"
    )


def not_said(product: str, catalogue: Catalogue) -> str:
    """What to do where the mix ratio is missing."""
    row = catalogue.table("resins").get(product)
    usual_ratio = row.text("mix_ratio") if row is not None else ""
    close = f" Such resins: {usual_ratio}; never mix by that." if usual_ratio else ""
    example = RATIO_EXAMPLE if product.startswith("epoxy") else "100:2 by mass"
    return (
        f"The mix ratio of {product} is not said, so pots are in grams of mix alone. Write "
        f'[mix] ratio = "{example}" (or by volume) off the can.{close}'
    )


def assumed(found: Mixing) -> list[str]:
    """What was taken for what is not said of a panel's own resin."""
    told, mix = [], found.told
    if mix.pot_life is None:
        span = f"{lasting(found.pot_life.low)} to {lasting(found.pot_life.high)}"
        told.append(
            f"pot life of {found.product} taken as {lasting(found.pot_life.value)} "
            f"({span}) at {units.show(found.pot_life_at, 'temperature')}, "
            f"{found.pot_life.evidence.value}: write pot_life off the can"
        )
    elif mix.pot_life_at is None:
        at = units.show(found.pot_life_at, "temperature")
        told.append(f"the pot life given is taken to hold at {at}: write pot_life_at")
    if mix.pot_cap is None:
        most = units.show(found.cap.value, "resin_mass")
        told.append(
            f"no pot above {most} ({found.cap.evidence.value}): write pot_cap for the shop's own"
        )
    return told
