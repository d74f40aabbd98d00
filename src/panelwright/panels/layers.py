"""The kinds of layer that a panel file knows, one model each, named by the key that names it."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from panelwright.errors import Problem
from panelwright.panels.fields import (
    Angle,
    ClothMass,
    Density,
    Directions,
    FibreShare,
    GrainSlope,
    KnotShare,
    Modulus,
    Moisture,
    Radius,
    Ratio,
    Refused,
    RingAngle,
    Share,
    Spread,
    Strength,
    Thickness,
    Thin,
    VoidShare,
    Width,
)

#: More than any real panel; an input beyond it is a slip or an attack.
MOST_LAYERS = 200

Name = Annotated[str, Field(strict=True, min_length=1, max_length=120)]
Repeat = Annotated[int, Field(strict=True, ge=1, le=MOST_LAYERS)]
Face = Literal["out", "in"]
Seal = Literal["wet", "cured"]


class Model(BaseModel):
    """A table of the panel file: no unknown keys, nothing changed once read."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


class Layer(Model):
    """What every layer may carry."""

    kind: ClassVar[str]
    name: Name | None = None
    note: str | None = None
    repeat: Repeat = 1


class ClothLayer(Layer):
    """Cloth, wet out with the panel's resin or its own."""

    kind: ClassVar[str] = "cloth"
    cloth: Name
    areal_mass: ClothMass | None = None
    directions: Directions | None = None
    angle: Angle | None = None
    face: Face = "out"
    fibre_mass_fraction: FibreShare | None = None
    fibre_volume_fraction: FibreShare | None = None
    thickness: Thin | None = None
    void_fraction: VoidShare | None = None
    moisture: Moisture | None = None
    resin: Name | None = None

    @model_validator(mode="after")
    def _one_says_how_much_is_fibre(self) -> ClothLayer:
        says = {
            "fibre_mass_fraction": self.fibre_mass_fraction,
            "fibre_volume_fraction": self.fibre_volume_fraction,
            "thickness": self.thickness,
        }
        given = [f"{key} = {value.text}" for key, value in says.items() if value is not None]
        if len(given) > 1:
            what = "each of these alone says how much of the layer is fibre"
            raise Refused(Problem(what, " and ".join(given), hint="give one of them"))
        return self


class Surface(Layer):
    """A solid layer whose two faces may take resin."""

    thickness: Thickness
    density: Density | None = None
    moisture: Moisture | None = None
    angle: Angle | None = None
    seal: Seal | None = None
    seal_coat: Spread | None = None
    soak: Spread | None = None


class Timber(Surface):
    """Timber in strips or in one piece, with what was seen of its rings and its grain."""

    ring_angle: RingAngle | None = None  # between the width and the rings: 0 flat-sawn
    grain_slope: GrainSlope | None = None  # between the length and the grain
    knots: KnotShare | None = None  # diameter of the largest knot over the width of the face


class StripSize(Model):
    """The strips of a strip layer; ``cover`` is what one strip covers, not its width."""

    width: Width | None = None
    cover: Width | None = None
    profile: Literal["bead and cove", "square", "bevelled", "tongue and groove"] = "square"


class StripsLayer(Timber):
    """Edge-glued timber strips, grain along ``angle``."""

    kind: ClassVar[str] = "strips"
    strips: Name
    strip: StripSize = StripSize()
    glue: Name | None = None
    glue_spread: Spread | None = None
    glue_kept: Share | None = None


class BoardLayer(Timber):
    """A sawn board, solid timber in one piece."""

    kind: ClassVar[str] = "board"
    board: Name


class VeneerLayer(Timber):
    """A sliced or peeled veneer."""

    kind: ClassVar[str] = "veneer"
    veneer: Name


class PlywoodLayer(Surface):
    """Plywood, face grain along ``angle``."""

    kind: ClassVar[str] = "plywood"
    plywood: Name


class Kerf(Model):
    """A square grid of saw cuts in a core, filled with resin when laid."""

    width: Width
    pitch: Width
    depth: Thickness | None = None


class CoreLayer(Surface):
    """Foam, balsa, cork or honeycomb."""

    kind: ClassVar[str] = "core"
    core: Name
    kerf: Kerf | None = None
    bend_radius: Radius | None = None
    bend_radius_across: Radius | None = None


class BulkingMatLayer(Layer):
    """Non-woven mat with microspheres, which the resin fills."""

    kind: ClassVar[str] = "bulking_mat"
    bulking_mat: Name
    thickness: Thin
    density: Density | None = None


class GlueLayer(Layer):
    """A glue line between two layers."""

    kind: ClassVar[str] = "glue"
    glue: Name
    spread: Spread | None = None
    kept: Share | None = None


class CoatLayer(Layer):
    """Gelcoat, clear coat, paint, filler."""

    kind: ClassVar[str] = "coat"
    coat: Name
    mass: Spread | None = None
    coats: Annotated[int, Field(strict=True, ge=1, le=30)] = 1
    sanded_off: Share | None = None


class DampingLayer(Layer):
    """A sheet that damps; its density must be given."""

    kind: ClassVar[str] = "damping"
    damping: Name
    thickness: Thickness
    density: Density


class LaminaConstants(Model):
    """Constants of a layer as a published case gives them."""

    E1: Modulus | None = None
    E2: Modulus | None = None
    G12: Modulus | None = None
    G13: Modulus | None = None
    G23: Modulus | None = None
    nu12: Ratio | None = None
    density: Density
    X1t: Strength | None = None
    X1c: Strength | None = None
    X2t: Strength | None = None
    X2c: Strength | None = None
    S12: Strength | None = None


class LaminaLayer(Layer):
    """A layer given by its constants."""

    kind: ClassVar[str] = "lamina"
    lamina: LaminaConstants
    thickness: Thickness
    angle: Angle | None = None


class GroupLayer(Layer):
    """The layers of a named group, laid once more."""

    kind: ClassVar[str] = "group"
    group: Name
    face: Face = "out"


KINDS: tuple[type[Layer], ...] = (
    ClothLayer,
    StripsLayer,
    BoardLayer,
    VeneerLayer,
    PlywoodLayer,
    CoreLayer,
    BulkingMatLayer,
    GlueLayer,
    CoatLayer,
    DampingLayer,
    LaminaLayer,
    GroupLayer,
)
BY_KIND = {model.kind: model for model in KINDS}
AnyLayer = (
    ClothLayer
    | StripsLayer
    | BoardLayer
    | VeneerLayer
    | PlywoodLayer
    | CoreLayer
    | BulkingMatLayer
    | GlueLayer
    | CoatLayer
    | DampingLayer
    | LaminaLayer
    | GroupLayer
)
