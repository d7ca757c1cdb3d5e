"""The picture of a part: what is drawn stands where it must, in both formats alike.

SVG is read by lxml, PNG by Pillow; both are general-purpose libraries.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from io import BytesIO
from itertools import combinations

import pytest
from lxml import etree
from PIL import Image, ImageFont

from drills.effort.demand import VoiceDemand, demand_of
from drills.effort.suggest import HardSpot, hard_spots
from drills.music.score import Part, RehearsalMark, TempoMark
from drills.music.time import NoteValue, position
from drills.output.plot import plot_page, png_bytes, svg_bytes
from drills.output.plot.page import HIGH, LEFT, RIGHT, WIDTH
from drills.output.plot.png import SCALE
from drills.output.plot.shapes import Box, Ink, Line, Picture, Text
from drills.places.tempos import AskedTempo
from tests.music_made import bar_of, notes, part_of

EASY = bar_of(notes("G4 A4 B4 A4", "quarter"))
HARD = bar_of(notes("C#5 D5 C#5 D5 C5 Eb5 C5 Eb5 C#5 D5 C#5 D5 C5 Eb5 C5 Eb5", "16th"))
SVG = "{http://www.w3.org/2000/svg}"


def judged(part: Part) -> tuple[VoiceDemand, tuple[HardSpot, ...]]:
    found = demand_of(part, instrument="alto saxophone", tempo=AskedTempo(Fraction(100)))
    return found, hard_spots(found)


def page(part: Part) -> Picture:
    return plot_page(*judged(part), "Harbour March, Alto saxophone")


def harbour() -> Part:
    marked = replace(HARD, marks=(RehearsalMark("E"),))
    return part_of([EASY, marked, EASY, HARD, EASY])


def columns(picture: Picture) -> list[Box]:
    """The columns of notes: black where a core is, else grey."""
    inks = (Ink.BLACK, Ink.GREY)
    return [s for s in picture.shapes if isinstance(s, Box) and s.filled and s.ink in inks]


def test_every_note_with_effort_has_a_column_as_high_as_its_effort() -> None:
    demands = judged(harbour())[0].demands
    drawn = columns(page(harbour()))
    efforts = [demand.effort for demand in demands if demand.effort]
    assert len(drawn) == len(efforts)
    ratios = {round(box.height / effort, 6) for box, effort in zip(drawn, efforts, strict=True)}
    assert len(ratios) == 1
    assert max(box.height for box in drawn) <= HIGH


def test_columns_stand_in_their_bars() -> None:
    width = (WIDTH - LEFT - RIGHT) / 5
    for demand, box in zip(
        (d for d in judged(harbour())[0].demands if d.effort), columns(page(harbour())), strict=True
    ):
        left = LEFT + width * demand.sound.origin.bar
        assert left <= box.x < box.x + box.width <= left + width


def test_a_spot_is_shaded_and_carries_its_rank_and_its_other_place() -> None:
    picture = page(harbour())
    (shade,) = [s for s in picture.shapes if isinstance(s, Box) and s.ink is Ink.SHADE]
    width = (WIDTH - LEFT - RIGHT) / 5
    assert shade.x == pytest.approx(LEFT + width)
    assert shade.width == pytest.approx(width)
    words = [s.words for s in picture.shapes if isinstance(s, Text)]
    assert words.count("1") >= 1
    assert words.count("(1)") == 1
    assert "E" in words


def test_a_long_part_has_rows_and_nothing_leaves_the_picture() -> None:
    picture = page(part_of([EASY, HARD] * 60))
    for shape in picture.shapes:
        right = shape.x + (shape.width if isinstance(shape, Box) else 0)
        low = shape.y + (shape.height if isinstance(shape, Box) else 0)
        assert 0 <= shape.x <= right <= picture.width
        assert 0 <= shape.y <= low <= picture.height
    feet = {
        s.y
        for s in picture.shapes
        if isinstance(s, Line) and s.y == s.to_y and s.x == LEFT and s.ink is Ink.BLACK
    }
    assert len(feet) == 3, "120 bars in rows of 40"


def test_tempo_easy_limit_and_cores_are_shown() -> None:
    picture = page(harbour())
    words = [s.words for s in picture.shapes if isinstance(s, Text)]
    assert "quarter = 100" in words
    assert "easy" in words
    (limit,) = [s for s in picture.shapes if isinstance(s, Line) and s.ink is Ink.GREY]
    found, spots = judged(harbour())
    drawn = dict(zip([d.tick for d in found.demands if d.effort], columns(picture), strict=True))
    for demand in found.demands:
        if demand.effort > found.judgement.limits.easy:
            assert limit.y >= drawn[demand.tick].y, "a column beyond the limit crosses its line"
    cores = {found.demands[note].tick for core in spots[0].cores for note in core.notes}
    assert {tick for tick, box in drawn.items() if box.ink is Ink.BLACK} == cores


def test_one_wild_leap_does_not_flatten_the_rest() -> None:
    """A leap of three octaves in a sixteenth among 200 mild notes: its column is cut, and
    the others are as high as without it."""
    mild = bar_of(notes("G4 A4 B4 A4 G4 A4 B4 A4", "eighth"))
    wild = bar_of(notes("G4 A4 B4 A4 G4 A4 B4", "eighth") + notes("Bb3 F6", "16th", Fraction(7, 2)))
    plain, leaping = page(part_of([mild] * 25)), page(part_of([*[mild] * 24, wild]))
    heights = [box.height for box in columns(plain)][:150]
    assert [box.height for box in columns(leaping)][:150] == pytest.approx(heights, rel=0.5)
    assert max(box.height for box in columns(leaping)) <= HIGH


def boxes(picture: Picture) -> list[tuple[float, float, float, float]]:
    """Every label with the room it takes, by the measure of the typeface of the PNG."""
    found = []
    for text in (s for s in picture.shapes if isinstance(s, Text)):
        font = ImageFont.load_default(text.size)
        left, top, right, bottom = font.getbbox(text.words, anchor="ls")
        wide = right - left
        x = {"start": text.x, "middle": text.x - wide / 2, "end": text.x - wide}[text.anchor]
        found.append((x, text.y + top, x + wide, text.y + bottom))
    return found


@pytest.mark.parametrize("bars", [3, 20, 120])
def test_labels_never_touch(bars: int) -> None:
    """Marks and changes of tempo in every bar, and a hard place in every second one."""
    kinds = []
    for number in range(bars):
        mark = TempoMark(position(0), NoteValue("quarter"), Fraction(100 + number % 3))
        bar = replace(HARD if number % 2 else EASY, tempos=(mark,))
        kinds.append(replace(bar, marks=(RehearsalMark(f"{number}A"),)))
    found = demand_of(part_of(kinds), instrument="alto saxophone")
    picture = plot_page(found, hard_spots(found), "Harbour March")
    for one, other in combinations(boxes(picture), 2):
        apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
        assert apart, (one, other)


def test_an_empty_part_is_a_picture_too() -> None:
    assert columns(page(part_of([bar_of([])]))) == []
    assert png_bytes(page(part_of([])))


def test_svg_is_well_formed_whatever_the_title() -> None:
    title = 'A <b> & "c" \x07 ]]> --'
    root = etree.fromstring(svg_bytes(plot_page(*judged(harbour()), title)))
    assert root.tag == f"{SVG}svg"
    assert root.findall(f"{SVG}text")[0].text == title.replace("\x07", " ")
    assert len(root.findall(f"{SVG}line")) == sum(
        isinstance(shape, Line) for shape in page(harbour()).shapes
    )


def test_the_png_shows_the_same_columns() -> None:
    picture = page(harbour())
    image = Image.open(BytesIO(png_bytes(picture)))
    assert image.size == (picture.width * SCALE, picture.height * SCALE)
    for box in columns(picture):
        if box.width >= 1 and box.height >= 2:
            middle = (box.x + box.width / 2) * SCALE, (box.y + box.height / 2) * SCALE
            shown = image.getpixel((int(middle[0]), int(middle[1])))
            assert shown == int(box.ink[1:3], 16)
    assert image.getpixel((1, 1)) == 255


def test_the_same_part_gives_the_same_bytes() -> None:
    assert svg_bytes(page(harbour())) == svg_bytes(page(harbour()))
    assert png_bytes(page(harbour())) == png_bytes(page(harbour()))
