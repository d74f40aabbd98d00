"""A cut edge drawn as a camera would see it, whose thicknesses are known: all of it invented."""

from __future__ import annotations

import io
import math
from dataclasses import dataclass

from PIL import Image, ImageDraw


@dataclass(frozen=True)
class Drawn:
    """A panel in a picture: ``px`` in a mm, turned by ``turn`` degrees, its layers in mm."""

    layers: tuple[float, ...]
    px: float = 60.0
    turn: float = 3.0
    width: int = 2400
    height: int = 1600
    rule: float = 20.0  # mm between the marks of the scale

    def at(self, along: float, deep: float) -> tuple[float, float]:
        """Where a point lies in the picture, px; mm from the middle of the outside face."""
        a = math.radians(self.turn)
        x, y = along * self.px, (deep - sum(self.layers) / 2.0) * self.px
        return (
            self.width / 2 + x * math.cos(a) - y * math.sin(a),
            self.height / 2 + x * math.sin(a) + y * math.cos(a),
        )

    @property
    def depths(self) -> tuple[float, ...]:
        """How deep each boundary lies, mm."""
        return tuple(sum(self.layers[:count]) for count in range(len(self.layers) + 1))

    @property
    def scale(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """The two ends of the length on the rule."""
        below = self.depths[-1] + 2.0
        return self.at(-self.rule / 2, below), self.at(self.rule / 2, below)

    def picture(self) -> bytes:
        """The photo, JPEG."""
        image = Image.new("RGB", (self.width, self.height), (206, 203, 196))
        draw = ImageDraw.Draw(image)
        colours = ((88, 96, 82), (226, 208, 160))
        wide = 30.0
        for number, (top, bottom) in enumerate(zip(self.depths, self.depths[1:], strict=False)):
            corners = [
                self.at(-wide, top),
                self.at(wide, top),
                self.at(wide, bottom),
                self.at(-wide, bottom),
            ]
            draw.polygon(corners, fill=colours[number % 2])
        below = self.depths[-1] + 2.0
        for mm in range(-12, 13):
            long = 3.0 if mm % 5 == 0 else 1.6
            draw.line([self.at(mm, below), self.at(mm, below + long)], fill=(20, 20, 20), width=4)
        content = io.BytesIO()
        image.save(content, "JPEG", quality=92)
        return content.getvalue()
