"""SVG as text: elements, numbers, words. Everything a person wrote is escaped here."""

from __future__ import annotations

from html import escape

#: Sizes of words by class, px; the style sheet gives the same.
SIZES = {"word": 15.0, "figure": 15.0, "small": 13.0, "letter": 13.0}


def number(value: float) -> str:
    """A coordinate to a tenth of a pixel."""
    text = f"{value:.1f}"
    return "0" if text in {"-0.0", "0.0"} else text.removesuffix(".0")


def element(tag: str, content: str = "", **attributes: object) -> str:
    """One element; ``_`` in a name stands for ``-``, ``class_`` for ``class``. None is left out."""
    written = "".join(
        f' {name.rstrip("_").replace("_", "-")}="{_value(value)}"'
        for name, value in attributes.items()
        if value is not None
    )
    return f"<{tag}{written}>{content}</{tag}>" if content else f"<{tag}{written}/>"


def _value(value: object) -> str:
    return number(value) if isinstance(value, float) else escape(str(value), quote=True)


def words(
    x: float, y: float, text: str, kind: str = "word", anchor: str = "start", turned: bool = False
) -> str:
    """Words with their baseline at a point; ``turned`` reads upwards."""
    return element(
        "text",
        escape(text, quote=False),
        class_=kind,
        x=x,
        y=y,
        text_anchor=None if anchor == "start" else anchor,
        transform=f"rotate(-90 {number(x)} {number(y)})" if turned else None,
    )


def line(x1: float, y1: float, x2: float, y2: float, kind: str) -> str:
    """A straight line."""
    return path(f"M{number(x1)} {number(y1)}L{number(x2)} {number(y2)}", kind)


def path(data: str, kind: str) -> str:
    """A path, or nothing where there is nothing to draw."""
    return element("path", class_=kind, d=data) if data else ""


def box(x: float, y: float, width: float, height: float, kind: str) -> str:
    """A rectangle."""
    return element("rect", class_=kind, x=x, y=y, width=width, height=height)


def circle(x: float, y: float, radius: float, kind: str) -> str:
    """A circle."""
    return element("circle", class_=kind, cx=x, cy=y, r=radius)


def group(content: str, **attributes: object) -> str:
    """Parts drawn together."""
    return element("g", content, **attributes) if content else ""


def drawing(
    content: str, width: float, height: float, title: str, told: str = "", role: str = "img"
) -> str:
    """A whole drawing with its text twin: a title, and what it shows in words."""
    twin = element("title", escape(title, quote=False))
    twin += element("desc", escape(told, quote=False)) if told else ""
    return element(
        "svg",
        twin + content,
        xmlns="http://www.w3.org/2000/svg",
        class_="drawing",
        role=role,
        width=width,
        height=height,
        viewBox=f"0 0 {number(width)} {number(height)}",
    )
