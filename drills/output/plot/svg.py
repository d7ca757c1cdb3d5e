"""A picture as SVG 1.1 (W3C Recommendation, second edition, 2011), plain text."""

from __future__ import annotations

from xml.sax.saxutils import escape

from drills.output.plot.shapes import Box, Line, Picture, Shape


def svg_bytes(picture: Picture) -> bytes:
    """The picture as a document of its own; the same picture gives the same bytes."""
    size = f'width="{picture.width}" height="{picture.height}"'
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" {size} '
        f'viewBox="0 0 {picture.width} {picture.height}" font-family="sans-serif">',
        '<rect width="100%" height="100%" fill="#ffffff"/>',
        *map(_element, picture.shapes),
        "</svg>",
    ]
    return ("\n".join(lines) + "\n").encode("utf-8", "replace")


def _element(shape: Shape) -> str:
    if isinstance(shape, Box):
        paint = f'fill="{shape.ink}"' if shape.filled else f'fill="none" stroke="{shape.ink}"'
        return (
            f'<rect x="{_number(shape.x)}" y="{_number(shape.y)}" '
            f'width="{_number(shape.width)}" height="{_number(shape.height)}" {paint}/>'
        )
    if isinstance(shape, Line):
        ends = zip(
            ("x1", "y1", "x2", "y2"), (shape.x, shape.y, shape.to_x, shape.to_y), strict=True
        )
        places = " ".join(f'{name}="{_number(value)}"' for name, value in ends)
        return f'<line {places} stroke="{shape.ink}" stroke-width="{shape.width}"/>'
    return (
        f'<text x="{_number(shape.x)}" y="{_number(shape.y)}" font-size="{shape.size}" '
        f'text-anchor="{shape.anchor}" fill="{shape.ink}">{escape(_printable(shape.words))}</text>'
    )


def _number(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


def _printable(words: str) -> str:
    """Without what XML 1.0 does not allow, such as control characters."""
    return "".join(c if c.isprintable() else " " for c in words)
