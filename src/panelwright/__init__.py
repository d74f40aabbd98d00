"""Panelwright: panels of cloth, resin, core and timber; numbers with their working and source."""

__version__ = "0.1.0"
