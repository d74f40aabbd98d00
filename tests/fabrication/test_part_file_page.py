"""docs/part_file.md names every key that a part file may have."""

from __future__ import annotations

from pathlib import Path

import pytest
from pydantic import BaseModel

from panelwright.fabrication import part

PAGE = (Path(__file__).parents[2] / "docs" / "part_file.md").read_text(encoding="utf-8")
MODELS = (
    part.PartFile,
    part.Part,
    part.PartSize,
    part.CutOut,
    part.Station,
    part.Fillet,
    part.Mix,
    part.Recoat,
    part.PostCure,
    part.Infusion,
    part.Shop,
    part.At,
    part.Stock,
    part.PriceGiven,
    part.Cost,
)


@pytest.mark.parametrize("model", MODELS, ids=lambda model: model.__name__)
def test_every_key_stands_on_the_page(model: type[BaseModel]) -> None:
    missing = [key for key in model.model_fields if f"`{key}`" not in PAGE]
    assert not missing


def test_the_example_on_the_page_is_read() -> None:
    text = PAGE.split("```toml\n", 1)[1].split("```", 1)[0]
    assert len(part.read_part(text).job.part) == 2
