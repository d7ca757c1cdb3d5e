"""A picture as PNG, drawn with Pillow and the typeface that comes with it.

No program and no font of the machine takes part, so the same picture gives the same
bytes wherever the same Pillow is installed.
"""

from __future__ import annotations

from io import BytesIO
from typing import Final

from PIL import Image, ImageDraw, ImageFont

from drills.output.plot.shapes import Anchor, Box, Line, Picture, Shape

SCALE: Final = 2
"""Pixels of the PNG for one of the picture, for sharp print."""
_ANCHORS: Final = {Anchor.START: "ls", Anchor.MIDDLE: "ms", Anchor.END: "rs"}


def png_bytes(picture: Picture) -> bytes:
    """The picture in grey, at twice its size."""
    image = Image.new("L", (picture.width * SCALE, picture.height * SCALE), 255)
    draw = ImageDraw.Draw(image)
    for shape in picture.shapes:
        _draw(draw, shape)
    stream = BytesIO()
    image.save(stream, "PNG", optimize=True)
    return stream.getvalue()


def _draw(draw: ImageDraw.ImageDraw, shape: Shape) -> None:
    grey = int(shape.ink[1:3], 16)
    if isinstance(shape, Box):
        left, top = round(shape.x * SCALE), round(shape.y * SCALE)
        right = max(left, round((shape.x + shape.width) * SCALE) - 1)
        bottom = max(top, round((shape.y + shape.height) * SCALE) - 1)
        if shape.filled:
            draw.rectangle((left, top, right, bottom), fill=grey)
        else:
            draw.rectangle((left, top, right, bottom), outline=grey, width=SCALE)
    elif isinstance(shape, Line):
        ends = tuple(round(v * SCALE) for v in (shape.x, shape.y, shape.to_x, shape.to_y))
        draw.line(ends, fill=grey, width=shape.width * SCALE)
    else:
        words = "".join(c if c.isprintable() else " " for c in shape.words)
        place = (round(shape.x * SCALE), round(shape.y * SCALE))
        font = ImageFont.load_default(shape.size * SCALE)
        draw.text(place, words, fill=grey, font=font, anchor=_ANCHORS[shape.anchor])
