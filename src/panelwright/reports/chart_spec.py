"""A chart as a Vega-Lite specification: plain data that a browser draws, points with ranges.

Every number in it is worked out here, in the units of the axes; the browser only places it. Colours
are parameters, so that the page sets those of film or blueprint.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import Any

import numpy as np

from panelwright.panels.charted import FOAM, HONEYCOMB, LAMINATE, OTHER, PLYWOOD, TIMBER
from panelwright.panels.charts import FOUND, HALF_FOUND, Axis, Chart
from panelwright.reports.chart_words import (
    HANDBOOK,
    heading,
    in_order,
    kind_words,
    line_words,
    standing_words,
    summary,
    told,
    unit_of,
)
from panelwright.reports.layout import printed

#: Outline of each kind of core, within a square from -1 to 1.
SHAPES = {
    LAMINATE: "M-1,-.5L1,-.5L1,.5L-1,.5Z",
    TIMBER: "M0,-1L1,.8L-1,.8Z",
    PLYWOOD: "M-.85,-.85L.85,-.85L.85,.85L-.85,.85Z",
    FOAM: "M-.9,0A.9,.9,0,1,1,.9,0A.9,.9,0,1,1,-.9,0Z",
    HONEYCOMB: "M-.5,-.87L.5,-.87L1,0L.5,.87L-.5,.87L-1,0Z",
    OTHER: "M-1,-.8L1,-.8L0,1Z",
    HANDBOOK: "M-.7,-.7L.7,.7M.7,-.7L-.7,.7",
}
#: Up to so many points are numbered, and drawn large; up to so many as shapes of a page that each
#: can be told of by itself, beyond as one picture.
FEW, TOLD = 60, 150
#: Colours of film: the page sets its own.
COLOURS = {
    "ink": "#15202b",
    "ink_2": "#4a5661",
    "rule_2": "#dde1dd",
    "sheet": "#fcfcf9",
    "pencil": "#ad3410",
}
#: Width of a letter of the words on a line, px.
LETTER = 6.5
CHAIN = [12, 3, 2, 3]
#: Thousands by a thin space from 10 000, as everywhere.
THOUSANDS = "replace(datum.label, regexp(',', 'g'), abs(datum.value) < 1e4 ? '' : '\u2009')"


def _colour(name: str) -> dict[str, str]:
    return {"expr": name}


def renderer(chart: Chart) -> str:
    """How a browser had better draw it."""
    return "svg" if len(chart.points) <= TOLD else "canvas"


def _sizes(chart: Chart, system: str) -> tuple[float, float]:
    """SI sizes of the units of the two axes."""
    one, other = (unit_of(axis.of, system, chart.currency) for axis in (chart.across, chart.up))
    return one.size, other.size


def points(chart: Chart, system: str) -> list[dict[str, Any]]:
    """A row for each point: its place and range in the units of the axes, and what is told."""
    names, *rows = zip(*columns(chart, system).items(), strict=True)
    return [dict(zip(names, row, strict=True)) for row in zip(*rows[0], strict=True)]


def columns(chart: Chart, system: str) -> dict[str, list[Any]]:
    """The rows of the points by column, many times as fast to write and to read as rows.

    ``mx``, ``my`` : middles. (A field that is called as its axis would take the name of the signal
    that a box is drawn by.)
    """
    some = in_order(chart)
    across, up = [one.across for one in some], [one.up for one in some]
    x, y = _Places(chart.across, chart, system), _Places(chart.up, chart, system)
    return {
        "n": list(range(1, len(some) + 1)),
        "mx": x.of([value.value for value in across]),
        "x0": x.of([value.low for value in across], cut=True),
        "x1": x.of([value.high for value in across]),
        "my": y.of([value.value for value in up]),
        "y0": y.of([value.low for value in up], cut=True),
        "y1": y.of([value.high for value in up]),
        "kind": [kind_words(one) for one in some],
        "standing": [standing_words(one) for one in some],
        "title": [_title(one.of.title) for one in some],
        "core": [one.of.charted.kind for one in some],
        "across": [told(value, chart.across.of, system, chart.currency) for value in across],
        "up": [told(value, chart.up.of, system, chart.currency) for value in up],
        "id": [one.of.id for one in some],
        "href": [one.of.href for one in some],
    }


class _Places:
    """Values along an axis in its unit, to six figures of its low end: no screen shows more."""

    def __init__(self, axis: Axis, chart: Chart, system: str) -> None:
        self.axis = axis
        self.size = unit_of(axis.of, system, chart.currency).size
        least = axis.low if axis.log else (axis.high - axis.low) / 100.0
        self.figures = 6 - math.floor(math.log10(least / self.size))

    def of(self, values: list[float], cut: bool = False) -> list[float]:
        """Values as they are placed; cut: no lower than an axis that has no nought."""
        placed = np.array(values)
        if cut and self.axis.log:
            placed = np.maximum(placed, self.axis.low)
        found: list[float] = np.round(placed / self.size, self.figures).tolist()
        return found


@lru_cache(maxsize=8192)
def _title(text: str) -> str:
    return printed(text)


def _short(value: float) -> float:
    """Six figures: no screen shows more."""
    return float(f"{value:.6g}")


def lines(chart: Chart, system: str) -> list[dict[str, Any]]:
    """The corners of the lines of equal merit, in the units of the axes."""
    across, up = (
        unit_of(axis.of, system, chart.currency).size for axis in (chart.across, chart.up)
    )
    return [
        {"line": number, "mx": _short(x / across), "my": _short(y / up)}
        for number, guide in enumerate(chart.guides)
        for x, y in zip(guide.across, guide.up, strict=True)
    ]


def line_names(chart: Chart, system: str) -> list[dict[str, Any]]:
    """What is written at the upper end of each line.

    ``go``, ``rise`` : its direction there; ``long``, ``high`` : the whole of it; all in parts of
    the axes.
    """
    across, up = _sizes(chart, system)
    says = "" if chart.merit is None else chart.merit.says
    found = []
    for guide in chart.guides:
        x = [chart.across.share(one) for one in guide.across]
        y = [chart.up.share(one) for one in guide.up]
        found.append(
            {
                "text": line_words(guide, says),
                "mx": _short(guide.across[-1] / across),
                "my": _short(guide.up[-1] / up),
                "go": _short(x[-1] - x[-2]),
                "rise": _short(y[-1] - y[-2]),
                "long": _short(x[-1] - x[0]),
                "high": _short(y[-1] - y[0]),
            }
        )
    return found


def ends(chart: Chart, system: str) -> dict[str, float]:
    """From where to where the axes go, in their units."""
    found: dict[str, float] = {}
    for name, axis in (("across", chart.across), ("up", chart.up)):
        size = unit_of(axis.of, system, chart.currency).size
        found |= {f"{name}_low": _short(axis.low / size), f"{name}_high": _short(axis.high / size)}
    return found


def spec(chart: Chart, system: str = "si", rows: bool = True) -> dict[str, Any]:
    """The whole chart as a specification, its data in it; without rows, but for its points."""
    few = len(chart.points) <= FEW
    values = {
        **COLOURS,
        **ends(chart, system),
        "across_name": heading(chart.across, system, chart.currency),
        "up_name": heading(chart.up, system, chart.currency),
    }
    return {
        "description": summary(chart, system),
        "width": "container",
        "height": "container",
        "autosize": {"type": "fit", "contains": "padding"},
        "background": None,
        "padding": {"left": 2, "top": 2, "right": 12, "bottom": 2},
        "params": [{"name": name, "value": value} for name, value in values.items()],
        "datasets": {
            "points": points(chart, system) if rows else [],
            "lines": lines(chart, system),
            "names": line_names(chart, system),
            "once": [{}],
        },
        "layer": [
            _lines(),
            *_bars(chart, few),
            _marks(chart, few),
            *([_dots(few)] if any(one.standing == HALF_FOUND for one in chart.points) else []),
            *_line_names(),
            *([_numbers()] if few else []),
            *_headings(),
        ],
        "config": _config(),
    }


def _scale(chart: Chart, name: str) -> dict[str, Any]:
    axis = chart.across if name == "across" else chart.up
    return {
        "type": "log" if axis.log else "linear",
        "domain": [_colour(f"{name}_low"), _colour(f"{name}_high")],
        "nice": False,
        **({} if axis.log else {"zero": False}),
    }


def _place(chart: Chart, x: str = "mx", y: str = "my") -> dict[str, Any]:
    """Where something stands on the two axes."""
    return {
        name: {
            "field": field,
            "type": "quantitative",
            "scale": _scale(chart, way),
            "axis": {"title": None, "format": ",~r", "tickCount": 8, "labelOverlap": True},
        }
        for name, field, way in (("x", x, "across"), ("y", y, "up"))
    }


def _lines() -> dict[str, Any]:
    first = "datum.line === 0"
    return {
        "data": {"name": "lines"},
        "mark": {"type": "line", "clip": True, "strokeDash": CHAIN, "aria": False},
        "encoding": {
            "x": {"field": "mx", "type": "quantitative"},
            "y": {"field": "my", "type": "quantitative"},
            "detail": {"field": "line", "type": "nominal"},
            "stroke": {
                "condition": {"test": first, "value": _colour("ink")},
                "value": _colour("ink_2"),
            },
            "strokeWidth": {"condition": {"test": first, "value": 1.4}, "value": 0.9},
        },
    }


def _bars(chart: Chart, few: bool) -> list[dict[str, Any]]:
    """Ranges of nine in ten, across and up."""
    mark = {
        "type": "rule",
        "clip": True,
        "aria": False,
        "stroke": _colour("ink" if few else "ink_2"),
        "strokeWidth": 1.4 if few else 0.6,
    }
    flat, upright = _place(chart, "x0"), _place(chart, y="y0")
    return [
        {"data": {"name": "points"}, "mark": mark, "encoding": {**flat, "x2": {"field": "x1"}}},
        {"data": {"name": "points"}, "mark": mark, "encoding": {**upright, "y2": {"field": "y1"}}},
    ]


def _marks(chart: Chart, few: bool) -> dict[str, Any]:
    """Middles: hollow where predicted, solid where measured; :func:`_dots` where half is."""
    told_apart = renderer(chart) == "svg"
    return {
        "data": {"name": "points"},
        "params": [
            {
                "name": "box",
                "select": {
                    "type": "interval",
                    "encodings": ["x", "y"],
                    "mark": {
                        "fill": COLOURS["pencil"],
                        "fillOpacity": 0.08,
                        "stroke": COLOURS["pencil"],
                        "strokeOpacity": 1,
                    },
                },
            }
        ],
        "mark": {
            "type": "point",
            "clip": True,
            "size": 150 if few else 50,
            "strokeWidth": 1.4 if few else 0.9,
            "cursor": "pointer",
            "tooltip": {"content": "data"},
            "aria": told_apart,
        },
        "encoding": {
            **_place(chart),
            "shape": {
                "field": "kind",
                "type": "nominal",
                "scale": {"domain": list(SHAPES), "range": list(SHAPES.values())},
                "legend": None,
            },
            "fill": {
                "condition": {"test": f"datum.standing === '{FOUND}'", "value": _colour("ink")},
                "value": _colour("sheet"),
            },
            "stroke": {"value": _colour("ink")},
            **({"description": {"field": "title", "type": "nominal"}} if told_apart else {}),
        },
    }


def _dots(few: bool) -> dict[str, Any]:
    """A dot in the middle of those that are measured in one of the two: it must do in black."""
    return {
        "data": {"name": "points"},
        "transform": [{"filter": f"datum.standing === '{HALF_FOUND}'"}],
        "mark": {
            "type": "point",
            "clip": True,
            "aria": False,
            "size": 22 if few else 8,
            "fill": _colour("ink"),
            "strokeWidth": 0,
        },
        "encoding": {
            "x": {"field": "mx", "type": "quantitative"},
            "y": {"field": "my", "type": "quantitative"},
        },
    }


def _numbers() -> dict[str, Any]:
    """The number of each point, that of its row in the table."""
    return {
        "data": {"name": "points"},
        "mark": {
            "type": "text",
            "clip": True,
            "aria": False,
            "align": "left",
            "dx": 8,
            "dy": -8,
            "fontSize": 13,
            "fill": _colour("ink"),
        },
        "encoding": {
            "x": {"field": "mx", "type": "quantitative"},
            "y": {"field": "my", "type": "quantitative"},
            "text": {"field": "n", "type": "quantitative"},
        },
    }


def _line_names() -> list[dict[str, Any]]:
    """Words along each line, beneath its upper end, on a band of paper."""
    turn = "-180 / PI * atan2(height * datum.rise, width * datum.go)"
    run = "sqrt(pow(width * datum.long, 2) + pow(height * datum.high, 2))"
    turned = {
        "transform": [
            {"calculate": turn, "as": "turn"},
            {"filter": f"{run} > {LETTER} * length(datum.text) + 24"},
        ]
    }
    encoding = {
        "x": {"field": "mx", "type": "quantitative"},
        "y": {"field": "my", "type": "quantitative"},
        "text": {"field": "text", "type": "nominal"},
        "angle": {"field": "turn", "type": "quantitative", "scale": None},
    }
    mark = {
        "type": "text",
        "clip": True,
        "aria": False,
        "align": "right",
        "dx": -10,
        "dy": 15,
        "fontSize": 13,
        "font": "Sheet Lettering",
    }
    band = {**mark, "stroke": _colour("sheet"), "strokeWidth": 4, "fill": _colour("sheet")}
    written = {**mark, "fill": _colour("ink")}
    return [
        {"data": {"name": "names"}, **turned, "mark": one, "encoding": encoding}
        for one in (band, written)
    ]


def _headings() -> Sequence[dict[str, Any]]:
    """Names of the axes: that of the upright one lies above it, level, to be read."""
    common = {
        "type": "text",
        "aria": False,
        "font": "Sheet Lettering",
        "fontSize": 15,
        "fill": _colour("ink"),
    }
    up = {"x": 0, "y": -18, "align": "left", "text": _colour("up_name")}
    across = {"x": {"expr": "width"}, "y": {"expr": "height + 38"}, "align": "right"}
    return [
        {"data": {"name": "once"}, "mark": {**common, **up}},
        {"data": {"name": "once"}, "mark": {**common, **across, "text": _colour("across_name")}},
    ]


def _config() -> dict[str, Any]:
    return {
        "font": "Sheet Text",
        "view": {"stroke": None},
        "point": {"opacity": 1},
        "rule": {"opacity": 1},
        "line": {"opacity": 1},
        "axis": {
            "domainColor": _colour("ink"),
            "domainWidth": 2.2,
            "gridColor": _colour("rule_2"),
            "gridWidth": 0.9,
            "tickColor": _colour("ink"),
            "labelColor": _colour("ink"),
            "labelFontSize": 14,
            "labelExpr": THOUSANDS,
        },
    }
