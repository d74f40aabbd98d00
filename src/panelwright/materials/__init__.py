"""Materials, cloths, timbers, cores and shop values, each number with its source and evidence."""

from panelwright.materials.catalogue import Catalogue
from panelwright.materials.records import Row, Table

__all__ = ["Catalogue", "Row", "Table"]
