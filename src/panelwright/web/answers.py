"""What the twins answer: the shapes that their OpenAPI tells and that each answer is held to."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, Field

from panelwright.jobs.shelf import Counted, Photo, Piece, Price, Remnant, Revision
from panelwright.reports.prediction_json import schema

#: A prediction as `panelwright predict --json` gives it; its shape is put in by `with_prediction`.
Plain = dict[str, Any]


class Refusal(BaseModel):
    """What was refused, a sentence for each problem."""

    problems: list[str]


class Driver(BaseModel):
    """A cause of a range and its share of it."""

    cause: str
    share: float
    evidence: str


class Quantity(BaseModel):
    """A number with its range in nine of ten, SI."""

    value: float
    low: float
    high: float
    unit: str
    evidence: str
    drivers: list[Driver]


class PanelCard(BaseModel):
    """A panel in short."""

    number: str
    title: str
    tags: list[str]
    revision: int
    changed: str
    process: str
    cores: list[str]
    standing: str
    thickness: Quantity
    areal_mass: Quantity
    pieces: int


class FoundPanels(BaseModel):
    """A page of what was found; facets: how many of all that was found have a word."""

    total: int
    offset: int
    panels: list[PanelCard]
    facets: dict[str, list[Counted]]


class KeptPanel(BaseModel):
    """A revision of a panel with the prediction that was stored with it."""

    number: str
    title: str
    tags: list[str]
    standing: str
    revision: int
    made: str
    remark: str
    file: str = Field(description="the panel file, as it was written")
    prediction: Plain
    revisions: list[Revision]
    pieces: list[Piece]
    photos: list[Photo]


class Moved(BaseModel):
    """A headline that is not what it was, and why."""

    name: str
    then: Quantity | None
    now: Quantity | None
    cause: str


class Today(BaseModel):
    """The prediction of today beside the stored one."""

    prediction: Plain
    moved: list[Moved]


class Names(BaseModel):
    """Names of numbers."""

    names: list[str]


class Step(BaseModel):
    """A step or a given value; mark: by which others refer to it; rows: of the catalogue."""

    mark: str
    title: str
    lines: str
    rows: list[str]


class Worked(BaseModel):
    """The derivation of a number, the result first."""

    name: str
    value: float
    steps: list[Step]
    given: list[Step]


class MaterialTable(BaseModel):
    """A table of the catalogue."""

    table: str
    rows: int
    about: str


class MaterialRow(BaseModel):
    """A row of the catalogue; numbers in SI."""

    table: str
    id: str
    name: str
    aliases: list[str]
    source: str
    evidence: str
    note: str
    values: dict[str, Plain]


class Tables(BaseModel):
    """The tables of the catalogue."""

    tables: list[MaterialTable]


class Rows(BaseModel):
    """Rows of the catalogue that were found."""

    rows: list[MaterialRow]


class Prices(BaseModel):
    """The shop's own prices."""

    prices: list[Price]


class Remnants(BaseModel):
    """What is left over of materials, and what was used up."""

    remnants: list[Remnant]


def with_prediction(told: dict[str, Any]) -> dict[str, Any]:
    """An OpenAPI document with the published schema of predictions where one is answered."""
    shapes = told["components"]["schemas"]
    ours = _moved(schema())
    shapes |= {f"Prediction-{name}": one for name, one in ours.pop("$defs").items()}
    shapes["Prediction"] = {key: one for key, one in ours.items() if key != "$schema"}
    for model in (KeptPanel, Today):
        place = {"$ref": "#/components/schemas/Prediction"}
        shapes[model.__name__]["properties"]["prediction"] = place
    return told


def _moved(part: Any) -> Any:
    """A part of the schema with its references where OpenAPI keeps them."""
    if isinstance(part, list):
        return [_moved(one) for one in part]
    if not isinstance(part, dict):
        return part
    return {
        key: one.replace("#/$defs/", "#/components/schemas/Prediction-")
        if key == "$ref"
        else _moved(one)
        for key, one in part.items()
    }
