"""The effort of a whole part as a picture, to look at rather than to read.

Rows of bars from left to right, every note a column as high as its effort; the
hard spots lie on grey with their rank above, rehearsal marks stand in boxes.
Black on white, so that it prints.
"""

from drills.output.plot.page import plot_page
from drills.output.plot.png import png_bytes
from drills.output.plot.svg import svg_bytes

__all__ = ["plot_page", "png_bytes", "svg_bytes"]
