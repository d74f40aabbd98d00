"""A sawn edge drawn as a camera would see it, with marks on it: invented, to look around in."""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from dataclasses import dataclass

from panelwright.samples.readings import Reading, read_readings

#: Colours of the layers by what they are, of the bench behind them, and of the rule.
_COLOURS = {"cloth": (96, 101, 84), "core": (222, 203, 160)}
_OTHER, _BEHIND, _RULE, _INK = (170, 128, 84), (196, 194, 188), (236, 226, 150), (20, 20, 20)
#: Length that the marks of the scale span, mm, and how far beneath the edge the rule lies.
SPAN, BENEATH = 40.0, 3.0
#: Where the boundaries are marked along the edge, mm, and how far off each mark is set, px.
PLACES, OFF = (-18.0, 2.0, 19.0), (1.2, -0.8, 0.5, -1.4, 0.9, -0.3, 1.1)


@dataclass(frozen=True)
class SawnEdge:
    """Layers as kind and thickness in mm, from the outside in; sides and scale of the photo."""

    layers: tuple[tuple[str, float], ...]
    width: int = 1600
    height: int = 1200
    px: float = 24.0  # in a mm
    turn: float = math.radians(1.6)

    def at(self, along: float, deep: float) -> tuple[float, float]:
        """Where a point of the edge lies in the photo, px; mm from the middle of its outside."""
        whole = sum(thickness for _, thickness in self.layers)
        x, y = self.px * along, self.px * (deep - 0.5 * whole - BENEATH)
        cos, sin = math.cos(self.turn), math.sin(self.turn)
        return self.width / 2 + x * cos - y * sin, self.height / 2 + x * sin + y * cos

    @property
    def depths(self) -> tuple[float, ...]:
        """How deep each boundary lies, mm."""
        every = [thickness for _, thickness in self.layers]
        return tuple(sum(every[:count]) for count in range(len(every) + 1))

    def photo(self) -> bytes:
        """The photo as PNG."""
        from PIL import Image, ImageDraw

        image = Image.new("RGB", (self.width, self.height), _BEHIND)
        draw = ImageDraw.Draw(image)
        depths = self.depths

        def band(top: float, bottom: float, colour: tuple[int, int, int]) -> None:
            corners = ((-60.0, top), (60.0, top), (60.0, bottom), (-60.0, bottom))
            draw.polygon([self.at(x, y) for x, y in corners], fill=colour)

        for number, (kind, _) in enumerate(self.layers):
            shade = _COLOURS.get(kind, _OTHER)
            paler = tuple(min(255, part + 14 * (number % 2)) for part in shade)
            band(depths[number], depths[number + 1], (paler[0], paler[1], paler[2]))
        rule = depths[-1] + BENEATH
        band(rule, rule + 9.0, _RULE)
        for mm in range(-30, 31):
            long = 5.0 if mm % 10 == 0 else 3.5 if mm % 5 == 0 else 2.0
            draw.line([self.at(mm, rule), self.at(mm, rule + long)], fill=_INK, width=2)
        content = io.BytesIO()
        image.save(content, "PNG")
        return content.getvalue()

    def marks(self, photo: str, boundaries: Sequence[int]) -> list[Reading]:
        """Readings as somebody would mark them. photo : its name among readings."""
        found = list(read_readings("scale length", f"{SPAN:g} mm by 0.5 mm", photo))
        rule = self.depths[-1] + BENEATH
        spots = [("scale mark", "1", -0.5 * SPAN, rule), ("scale mark", "2", 0.5 * SPAN, rule)]
        for place, along in enumerate(PLACES, start=1):
            spots += [
                ("edge mark", f"{place}/{boundary}", along, self.depths[boundary])
                for boundary in boundaries
            ]
        for off, (what, name, along, deep) in enumerate(spots):
            x, y = self.at(along, deep)
            text = f"{x + OFF[off % 7]:.1f} {y + OFF[(off + 3) % 7]:.1f}"
            found += read_readings(what, text, f"{photo}/{name}")
        return found
