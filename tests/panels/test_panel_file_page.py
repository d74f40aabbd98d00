"""docs/panel_file.md names every key that a panel file may have."""

from __future__ import annotations

from pathlib import Path

import pytest
from pydantic import BaseModel

from panelwright.panels import description, duties, layers

PAGE = (Path(__file__).parents[2] / "docs" / "panel_file.md").read_text(encoding="utf-8")
MODELS = (
    *layers.KINDS,
    layers.StripSize,
    layers.Kerf,
    layers.LaminaConstants,
    description.Panel,
    description.Size,
    description.Shop,
    description.Service,
    description.ResinTaken,
    duties.Duty,
    duties.Load,
    duties.Limit,
    duties.Edges,
    duties.Spot,
    duties.At,
    duties.AtLeast,
)


@pytest.mark.parametrize("model", MODELS, ids=lambda model: model.__name__)
def test_every_key_stands_on_the_page(model: type[BaseModel]) -> None:
    fields = {field.alias or name: field for name, field in model.model_fields.items()}
    missing = [key for key in fields if f"`{key}`" not in PAGE]
    assert not missing
