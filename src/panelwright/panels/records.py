"""What a prediction is once it is made: plain data for faces, files and the shelf.

Predictions are stored for years: a field that is added has a default, so that older ones are read.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from panelwright.panels.spread import Ranged
from panelwright.provenance import Evidence

#: Version of the machine output of a prediction.
SCHEMA = "panelwright/predict/1"


@dataclass(frozen=True)
class DrawnPly:
    """One ply, veneer or film of a layer as it is hatched; m, degrees seen from outside.

    ``hatch`` : a word of the hatch key; ``angle`` : of fibre or grain, None without a direction.
    """

    hatch: str
    thickness: float
    angle: float | None = None


@dataclass(frozen=True)
class Drawn:
    """What a drawing of one layer needs beside its name; SI, angles in degrees.

    ``plies`` from the outside in. What a layer is not, stays None: ``width``, ``cover`` and
    ``profile`` of strips, ``ring_angle`` between width and rings of timber, ``cell`` of a
    honeycomb, ``kerf`` a width, a pitch and a depth. ``is_core`` : it may hold two skins apart.
    """

    plies: tuple[DrawnPly, ...] = ()
    is_core: bool = False
    density: float | None = None
    width: float | None = None
    cover: float | None = None
    profile: str = ""
    ring_angle: float | None = None
    cell: float | None = None
    kerf: tuple[float, float, float] | None = None


@dataclass(frozen=True)
class LayerRecord:
    """One layer as laid. Angles of its plies in degrees, seen from outside; None: no direction."""

    name: str
    kind: str
    form: str
    thickness: Ranged
    areal_mass: Ranged
    angles: tuple[float | None, ...]
    fibre_mass_fraction: float | None
    fibre_volume_fraction: float | None
    evidence: Evidence
    share_of_thickness: float
    share_of_mass: float
    described: str  # where the file describes it
    drawn: Drawn = Drawn()


@dataclass(frozen=True)
class LedgerRow:
    """One cause, kg per m2 of panel. ``mixes``: it comes from a pot."""

    cause: str
    in_part: Ranged
    to_mix: Ranged
    to_buy: Ranged
    mixes: bool


@dataclass(frozen=True)
class Mix:
    """One product to mix: per area and, for a panel of known size, in all and in packs."""

    product: str
    per_area: Ranged
    in_all: Ranged | None
    pack: float | None
    packs: int | None


@dataclass(frozen=True)
class RuleOfThumb:
    """What a rule of the trade would have said for the same cloth and area, kg per m2."""

    name: str
    resin: float
    counts: str
    leaves_out: str
    source: str


@dataclass(frozen=True)
class Caution:
    """A health or safety caution that the panel's materials call for."""

    name: str
    what_happens: str
    usual_control: str
    source: str


@dataclass(frozen=True)
class LikenessRecord:
    """Thickness of a known solid that is as stiff along, as stiff across, as heavy; m."""

    name: str
    along: Ranged
    across: Ranged
    mass: Ranged


@dataclass(frozen=True)
class MovementRecord:
    """What a free panel does for one step: growth along and across, rise of the middle.

    ``growth`` : strain for the step; ``rise`` : of the middle over a chord of 1 m, m, bulging
    outwards positive; each along and across.
    """

    step: str
    growth_along: Ranged
    growth_across: Ranged
    rise_along: Ranged
    rise_across: Ranged


@dataclass(frozen=True)
class AngleRecord:
    """Moduli at an angle to the length, degrees counter-clockwise seen from outside; Pa."""

    angle: float
    in_plane: Ranged
    bending: Ranged


@dataclass(frozen=True)
class RuleRecord:
    """One rule for a modulus of a ply beside its rivals; ``taken``: the prediction rests on it."""

    quantity: str
    rule: str
    value: float  # Pa
    taken: bool
    valid: str
    source: str


@dataclass(frozen=True)
class HandbookRecord:
    """A layer against what its material promises, each as a ratio.

    ``modulus`` : of timber, along the grain over the handbook's at the same moisture; of cloth,
    along axis 1 over that of its fibre alone, E_f Vf. ``specific`` : of timber, the same of the
    modulus over the density.
    """

    name: str
    kind: str  # "timber" or "cloth"
    modulus: Ranged
    specific: Ranged | None


@dataclass(frozen=True)
class SectionRecord:
    """Stiffness of the section per width. Matrices as nested tuples, SI."""

    extension: tuple[tuple[float, ...], ...]  # A, N/m
    coupling: tuple[tuple[float, ...], ...]  # B, N
    bending: tuple[tuple[float, ...], ...]  # D, N m
    shear: tuple[tuple[float, ...], ...]  # N/m, xz and yz
    moduli: dict[str, Ranged]
    stiffness_along: Ranged  # EI per width, N m
    stiffness_across: Ranged
    shear_along: Ranged  # N/m
    shear_across: Ranged
    neutral_along: float  # m over the mid-plane, outwards
    neutral_across: float
    unlikeness: float
    bending_shares: tuple[tuple[float, float], ...]  # by layer as laid, along and across
    shear_shares: tuple[tuple[float, float], ...]
    by_angle: tuple[AngleRecord, ...]
    merit: dict[str, Ranged]
    handbook: tuple[HandbookRecord, ...]
    ruled: str  # name of the first cloth; empty where there is none
    rules: tuple[RuleRecord, ...]  # for it, as if its fibre were straight
    movement: tuple[MovementRecord, ...]


#: The two levels of strength.
FIRST, ULTIMATE = "first damage", "ultimate"


@dataclass(frozen=True)
class StrengthRecord:
    """Load per width at one level: what is done, where it ends and how.

    ``value`` : N/m, N m/m for a moment, Pa for a pressure; ``sign`` : 1 where the outside is
    pulled or stretched. A load on a small place has a ``footprint``, and is in N where that is
    small both ways.
    """

    action: str
    sign: int
    level: str  # FIRST or ULTIMATE
    value: Ranged
    layer: str
    place: str
    mode: str
    footprint: str = ""


@dataclass(frozen=True)
class CriteriaRecord:
    """Load at which the first layer fails, by several criteria; N/m, or N m/m for a moment.

    A criterion that can judge no layer is left out.
    """

    action: str
    loads: dict[str, float]
    unit: str


@dataclass(frozen=True)
class LastingRecord:
    """What a load that lasts leaves of one property: times in s, each with the share left."""

    material: str
    what: str
    left: tuple[tuple[float, float], ...]
    source: str


@dataclass(frozen=True)
class ServiceRecord:
    """What heat or water leaves of one property of a layer, against cool and dry.

    ``temperature`` : K, None where it is not warm; ``value``, ``low``, ``high`` : share left and
    its 90 % range; None where no table tells it. ``known_to`` : K, the hottest that was tried.
    """

    layer: str
    material: str  # as the table calls it; empty where it speaks of none such
    what: str
    temperature: float | None
    wet: bool
    value: float | None = None
    low: float | None = None
    high: float | None = None
    evidence: Evidence | None = None
    source: str = ""
    known_to: float | None = None


@dataclass(frozen=True)
class Prediction:
    """Everything a face can show of a predicted panel. SI units."""

    title: str
    text: str
    process: str
    resin: str
    length: float | None
    width: float | None
    thickness: Ranged
    areal_mass: Ranged
    mass: Ranged | None
    resin_in_part: Ranged
    to_mix: Ranged
    layers: tuple[LayerRecord, ...]
    ledger: tuple[LedgerRow, ...]
    mixes: tuple[Mix, ...]
    rules: tuple[RuleOfThumb, ...]
    section: SectionRecord | None
    likeness: tuple[LikenessRecord, ...]
    strength: tuple[StrengthRecord, ...]
    criteria: tuple[CriteriaRecord, ...]
    lasting: tuple[LastingRecord, ...]
    unknown_strength: tuple[str, ...]  # names of layers
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]
    cautions: tuple[Caution, ...]
    draws: int
    seed: str
    version: str
    catalogue: str
    service: tuple[ServiceRecord, ...] = ()
    unknown_glue: tuple[str, ...] = ()  # names of glue lines
    beside: dict[str, Ranged] = field(default_factory=dict)  # more that panels are compared by

    @property
    def area(self) -> float | None:
        """Area of the panel, m2, where its size is known."""
        return None if self.length is None or self.width is None else self.length * self.width
