"""Drawings of a prediction: records in, SVG text out, made for the width of their box.

Colours and widths of lines are classes of ``drawing.css``; a drawing carries no style of its own,
no script and no identifier, so that any number of them may stand on one page. Lengths in px of
1/96 in: a scale of 1:1 is true on paper.
"""

from panelwright.reports.drawing.against import against_svg
from panelwright.reports.drawing.card import card_svg
from panelwright.reports.drawing.details import details_svg
from panelwright.reports.drawing.duty import field_svg, gauge_svg, through_svg
from panelwright.reports.drawing.edge import Picture, edge_svg
from panelwright.reports.drawing.key import key_svg, mark_svg
from panelwright.reports.drawing.ledger import ledger_svg, ledger_table
from panelwright.reports.drawing.polar import polar_svg, polar_table
from panelwright.reports.drawing.pots import pots_svg
from panelwright.reports.drawing.rules import compared_svg, evidence_svg, range_rule_svg, reach
from panelwright.reports.drawing.section import section_caption, section_svg, section_table
from panelwright.reports.drawing.shares import shares_svg, shares_table
from panelwright.reports.drawing.sheet import section_sheet, standalone, style_sheet

__all__ = [
    "Picture",
    "against_svg",
    "card_svg",
    "compared_svg",
    "details_svg",
    "edge_svg",
    "evidence_svg",
    "field_svg",
    "gauge_svg",
    "key_svg",
    "ledger_svg",
    "ledger_table",
    "mark_svg",
    "polar_svg",
    "polar_table",
    "pots_svg",
    "range_rule_svg",
    "reach",
    "section_caption",
    "section_sheet",
    "section_svg",
    "section_table",
    "shares_svg",
    "shares_table",
    "standalone",
    "style_sheet",
    "through_svg",
]
