"""The page of a section, and what chords add to a player's sheet, as LilyPond prints them.

Pages are looked at from outside: the words that a PDF reader finds on them, the ink
near the margins, and LilyPond's own warnings.
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from io import BytesIO

import pypdf
import pytest
from hypothesis import given
from hypothesis import strategies as st

from drills.harmony.chord import Chord, ChordTone, Harmony, NoteFunction, PitchClass, Role
from drills.music.score import Credits
from drills.music.time import START, NoteValue
from drills.output.engrave import Engraving, engrave
from drills.output.lilypond import PAPERS, Page, sheets_text
from drills.output.lilypond.document import leaves_text
from drills.output.lilypond.functions import function_text, legend
from drills.output.lilypond.names import LONGEST_LINE, name_lines, short_names
from drills.output.lilypond.page import MARGIN_SIDE
from drills.output.lilypond.section_size import SMALLEST
from drills.output.lilypond.sheet_view import title_fits
from drills.places.finding import find_span
from drills.section.players import Player, PlayerPage, Section
from drills.section.score import SectionScore
from drills.sheets.blocks import Block, BlockKind
from drills.sheets.choices import Choices
from drills.sheets.drill import Drill, DrillKind, UnderNote
from drills.sheets.making import make_sheet
from drills.sheets.sheet import Sheet
from tests.output.fixtures import RUN, bar, notes, part, run_sheet
from tests.output.pdf_text import page_texts
from tests.output.section_made import (
    CHORDS,
    STANDS,
    Stand,
    cell_score,
    chord_score,
    held,
    section,
    voice_of,
)
from tests.output.test_engrave import inked

MARK = "drills-made-from:0123456789abcdef"


def pages_of(*leaves: Sheet | PlayerPage | Section, page: Page | None = None) -> list[str]:
    """The words on each page, without blanks; LilyPond must have nothing to say."""
    made = engrave([leaves_text(leaves, page or Page(), MARK)])
    assert made.warnings == ()
    assert made.remarks == ()
    return page_texts(made.pdfs[0])


# Names at the left


def test_abbreviations_of_a_wind_band() -> None:
    """As scores abbreviate (common practice)."""
    assert short_names([stand.name for stand in STANDS]) == (
        *("Picc.", "Fl. 1", "Fl. 2", "Ob.", "Bsn.", "Cl. 1", "Cl. 2", "Cl. 3", "B. Cl."),
        *("A. Sax.", "T. Sax.", "Bar. Sax.", "Tpt.", "Hn.", "Tbn.", "Euph.", "Tuba"),
    )


@pytest.mark.parametrize(
    ("names", "short"),
    [
        (["Clarinet in E flat", "Clarinet in B flat"], ("Cl. in E♭", "Cl. in B♭")),
        (["Horn in F 1", "Horn in F 2"], ("Hn. 1", "Hn. 2")),
        (["Flute", "Flute"], ("Flute (1)", "Flute (2)")),
        (["Klarinette 2", ""], ("Klar. 2", "(2)")),
        (["Violins 1", "Violoncello"], ("Vn. 1", "Vc.")),
    ],
)
def test_abbreviations_stay_apart(names: list[str], short: tuple[str, ...]) -> None:
    found = short_names(names)
    assert len(set(found)) == len(names)
    assert found == short


@given(
    st.lists(st.sampled_from(["Flute", "Flute 1", "flute", "Oboe in A", "Oboe", ""]), max_size=9)
)
def test_no_two_players_read_alike(names: list[str]) -> None:
    found = short_names(names)
    assert len(set(found)) == len(names)
    assert all(found)


@given(st.text(st.characters(codec="utf-8"), max_size=90))
def test_a_full_name_takes_two_lines_at_most(name: str) -> None:
    lines = name_lines(name)
    assert len(lines) in (1, 2)
    assert all(len(line) <= LONGEST_LINE for line in lines)


# Functions


@pytest.mark.parametrize(
    ("label", "cents", "printed"),
    [
        ("R", "", ["R"]),
        ("b3", "+16", ["flat", "3", "+16"]),
        ("#11", "-14", ["sharp", "11", "−14"]),  # noqa: RUF001 - a minus sign
        ("bb7", "", ["flat", "flat", "7"]),
        ("sus", "", ["sus"]),
        ("R, b7", "", ["R, ", "flat", "7"]),
    ],
)
def test_signs_are_drawn(label: str, cents: str, printed: list[str]) -> None:
    found = re.findall(r'"([^"]*)"|\\(sharp|flat)', function_text(label, cents))
    assert [text or sign for text, sign in found] == printed


def test_the_legend_tells_each_label_once_the_root_first() -> None:
    found = [
        NoteFunction(Role.PASSING, None, "p", "passing note"),
        NoteFunction(Role.CHORD_TONE, ChordTone(5), "5", "perfect fifth"),
        NoteFunction(Role.CHORD_TONE, ChordTone(3, -1), "b3", "minor third"),
        NoteFunction(Role.CHORD_TONE, ChordTone(1), "R", "root"),
        NoteFunction(Role.CHORD_TONE, ChordTone(1), "R", "root"),
    ]
    (told,) = legend(found, tuned=False, where="each note")
    assert told == (
        "Under each note, their place in the chord: R root, \N{MUSIC FLAT SIGN}3 minor third, "
        "5 perfect fifth, p passing note."
    )
    assert len(legend(found, tuned=True, where="each note")) == 2
    assert legend([], tuned=False, where="each note") == ()


# The page of a section


def test_what_the_page_of_a_section_says() -> None:
    pages = pages_of(section())
    first = pages[0]
    for text in (
        *("Out Past the Breakwater", "Section", "Bar 33, the first bar of E, to bar 36", "= 112"),
        *("The spot in its chords", "Gm7", "maj7", "notes?", "as you said"),
        *("R root", "minor third", "0 is the equal-tempered pitch", "concert pitch"),
        *(stand.name for stand in STANDS),
        f"page 1 of {len(pages)}",
    ):
        assert text.replace(" ", "") in first, text
    last = pages[-1]
    assert "Cells,alltogether" in last
    assert "33,beats1to2" in last
    assert "stopatpain" in last
    assert "thenumbersofthebarsarethoseofFlute1" in last
    assert all("Dedicatedtothepublicdomain" in page for page in pages)


def test_later_systems_have_short_names() -> None:
    duet = STANDS[5:7]
    (page,) = pages_of(section(duet, chord_score(duet, 24)))
    assert page.count("Clarinet1inBflat") == 1
    assert page.count("Cl.1") > 0


SHOUTED = "A MARCH FOR MEMORIAL MORNINGS IN MAY, WITH WOMEN"


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(
    "made",
    [
        section(STANDS[:1]),
        section(STANDS[5:7], chord_score(STANDS[5:7], 24), cell_score(STANDS[5:7], 9)),
        section(title="The Song of the Harbour Master's Seven Daughters, with Variations " * 2),
        section(tuple(replace(s, name=f"Solo second desk of the {s.name}") for s in STANDS)),
        section(STANDS[:6], cell_score(STANDS[:6], 6, 16)),
        section((*STANDS, *STANDS)),
        section(
            tuple(replace(s, name=f"{s.name} desk".upper()) for s in STANDS[:6]), title=SHOUTED
        ),
        section((replace(STANDS[0], name="W" * 90),), title="M" * 200),
    ],
    ids=[
        *("one", "duet", "long title", "long names", "sixteen to a cell", "thirty-four"),
        *("capitals", "words without an end"),
    ],
)
def test_nothing_of_a_section_stands_over_the_margins(paper: str, made: Section) -> None:
    engraved = engrave([leaves_text([made], Page(paper), MARK)], ("png",), Engraving(resolution=40))
    assert engraved.warnings == ()
    side = (MARGIN_SIDE - 1) / PAPERS[paper][0]
    for page in engraved.pngs:
        left, right, top, bottom = inked(page)
        assert left > side
        assert right < 1 - side
        assert top > 8 / PAPERS[paper][1]
        assert bottom < 1 - 7 / PAPERS[paper][1]


def staff_sizes(made: Section, page: Page) -> list[float]:
    """The staff sizes that the text asks for."""
    text = leaves_text([made], page, MARK)
    return [float(size) for size in re.findall(r"layout-set-staff-size ([\d.]+)", text)]


@pytest.mark.parametrize(
    ("stands", "staff", "least"),
    [(STANDS, 17.0, 8.0), (STANDS[:2], 17.0, 8.0), (STANDS[:2], 28.0, 13)],
)
def test_functions_can_be_read_and_grow_with_the_staves(
    stands: tuple[Stand, ...], staff: float, least: float
) -> None:
    """LilyPond's text has 11 points on a staff of 20, and 6 steps double it (its manual)."""
    made, page = section(stands, chord_score(stands)), Page(staff_size=staff)
    size = min(staff_sizes(made, page))
    text = leaves_text([made], page, MARK)
    steps = [
        float(step) for step in re.findall(r"functionsUnder #[\d.]+ \\textSize #(-?[\d.]+)", text)
    ]
    assert len(steps) == len(stands)
    assert all(11 * size / 20 * 2 ** (step / 6) > least - 0.02 for step in steps)


@pytest.mark.parametrize("staff", [22.0, 30.0])
def test_a_function_stands_nearer_to_its_staff_than_to_the_next(staff: float) -> None:
    """However small the staves are beside the size that was asked for."""
    stands = tuple(Stand(f"Oboe {desk}", 1) for desk in range(1, 16))
    made, page = section(stands, chord_score(stands, 4)), Page(staff_size=staff)
    assert min(staff_sizes(made, page)) < staff
    first = pypdf.PdfReader(BytesIO(engrave([leaves_text([made], page, MARK)]).pdfs[0])).pages[0]
    names = heights_of({stand.name for stand in stands}, first)
    tunings = heights_of({"31"}, first)  # of the seventh in the third bar
    assert len(names) == len(tunings) == 15
    for name, following, tuning in zip(names, names[1:], tunings, strict=False):
        assert name < tuning < (name + following) / 2


def heights_of(words: set[str], page: pypdf.PageObject) -> list[float]:
    """How far down a page each line stands that one of some words is in, in points."""
    found: set[int] = set()

    def visit(text: str, _: object, matrix: list[float], *__: object) -> None:
        if text.strip() in words:
            found.add(round(matrix[5]))

    page.extract_text(visitor_text=visit)
    return sorted(found)


def test_staves_are_small_only_where_there_are_many() -> None:
    assert set(staff_sizes(section(STANDS[5:7]), Page())) == {20.0}
    assert all(SMALLEST <= size < 20 for size in staff_sizes(section(), Page()))
    assert set(staff_sizes(section(STANDS[5:7]), Page("a4", 22.0))) == {22.0}
    assert all(size >= SMALLEST for size in staff_sizes(section((*STANDS, *STANDS)), Page()))


def test_players_without_room_are_divided_and_none_is_lost() -> None:
    band = tuple(
        replace(stand, name=f"{stand.name} desk {desk}") for desk in "ABC" for stand in STANDS
    )
    pages = pages_of(section(band, chord_score(band)))
    assert "players1to" in pages[0]
    for stand in band:
        assert any(stand.name.replace(" ", "") in page for page in pages), stand.name


def test_cells_stand_between_repeat_signs_and_chords_between_double_bars() -> None:
    duet = STANDS[5:7]
    text = leaves_text([section(duet, chord_score(duet), cell_score(duet, 3))], Page(), MARK)
    assert text.count(r"\repeat volta 2 {") == 2 * 3
    assert text.count(r'\bar "||"') == 2 * 4


def test_a_part_that_is_silent_for_a_bar_keeps_its_staff() -> None:
    """A player who rests in every bar of a score that others play."""
    rests = Stand("Oboe", 1)
    score = chord_score(STANDS[:1])
    silent = replace(
        chord_score((rests,)).staves[0],
        bars=tuple(held(rests, i, None) for i in range(8)),
        under=(),
    )
    (page,) = pages_of(section(STANDS[:1], replace(score, staves=(*score.staves, silent))))
    assert "Oboe" in page


def test_hostile_names_are_only_printed() -> None:
    text = '"} #(system "touch canary") \\include "x" %{'
    stands = (replace(STANDS[0], name=text), STANDS[1])
    made = section(stands, replace(chord_score(stands), heading=text), title=text)
    made = replace(made, words=text, remarks=(text,), credits=Credits(text, rights=text))
    written = leaves_text([made], Page(), text)
    outside = re.sub(r'"(?:[^"\\]|\\.)*"|%.*', "", written)
    assert "canary" not in outside
    assert engrave([written]).warnings == ()


def test_an_empty_score_is_left_out() -> None:
    nothing = SectionScore(chord_score(STANDS[:1]).kind, "Nobody", ())
    (page,) = pages_of(section(STANDS[:1], nothing, chord_score(STANDS[:1])))
    assert "Nobody" not in page


# A player's own page


def player(sheet: Sheet | None, silence: str = "", *doublings: str) -> PlayerPage:
    made = section(STANDS[:1])
    one = replace(made.players[0], sheet=sheet, silence=silence, doublings=doublings)
    return PlayerPage(one, made.words, made.tempo)


@pytest.mark.parametrize(
    ("silence", "told"),
    [
        ("rests from bar 33 to bar 36", "You rest from bar 33 to bar 36."),
        ("holds written G4 from bar 32", "You hold written G4 from bar 32."),
        ("holds G4 from bar 32, then rests", "You hold G4 from bar 32, then rest."),
        ("no drills: nothing moves.", "No drills: nothing moves."),
        ("", "Nothing to drill here."),
    ],
)
def test_a_player_without_a_sheet_is_told_why(silence: str, told: str) -> None:
    (page,) = pages_of(player(None, silence))
    assert told.replace(" ", "") in page
    assert "Thepageofthesectionfollows." in page
    assert "page1of1" in page


def test_a_long_title_in_capitals_leaves_the_part_a_line_of_its_own() -> None:
    """As many letters stand beside each other where they are small."""
    part_name = "CLARINET IN B FLAT"
    assert len(SHOUTED) + len(part_name) > 62
    assert title_fits(SHOUTED[:30].capitalize(), part_name.capitalize())
    assert not title_fits(SHOUTED[:30], part_name + " 1, DESK 2")


def test_doublings_stand_in_the_head() -> None:
    told = ("with the 1st clarinet, an octave lower", "with the oboe")
    (page, *_) = pages_of(player(run_sheet(), "", *told))
    assert "Youplaywiththe1stclarinet,anoctavelower;withtheoboe." in page


def test_a_sheet_without_chords_is_as_it_was() -> None:
    sheet = run_sheet()
    alone = sheets_text([sheet], Page(), MARK)
    assert leaves_text([player(sheet)], Page(), MARK) == alone
    assert leaves_text([sheet], Page(), MARK) == alone
    assert "functionsUnder" not in alone


def c_seven(end: int = 40) -> tuple[Harmony, ...]:
    tones = tuple(ChordTone(*tone) for tone in ((1, 0), (3, 0), (5, 0), (7, -1)))
    chord = Chord(PitchClass("C"), "dominant", tones, None, "7")
    return (Harmony(Fraction(0), Fraction(end), chord),)


def chord_sheet() -> Sheet:
    """A bar of sixteenths and its landing note over C7, which a clarinet in B flat reads as D7."""
    music = part([bar(0, notes(RUN)), bar(1, notes("C5", NoteValue("whole")))])
    return make_sheet(music, find_span(music, "1"), Choices(), harmonies=c_seven())


@pytest.mark.parametrize("paper", PAPERS)
def test_one_bar_with_functions_has_its_chords(paper: str) -> None:
    sheet = chord_sheet()
    assert len(sheet.functions) == len(sheet.spot.line)
    pages = pages_of(sheet, page=Page(paper))
    for text in ("D7", "Rroot", "Chords,slowly", f"page1of{len(pages)}"):
        assert any(text in page for page in pages), text


def test_every_note_has_its_function_under_it() -> None:
    sheet = chord_sheet()
    text = leaves_text([sheet], Page(), MARK)
    row = re.findall(r"\\functionsUnder [^}]*\} \\lyricmode \{ (.*) \}", text)[0]
    found = [
        "".join(word or {"flat": "b", "sharp": "#"}[sign] for word, sign in pieces)
        for markup in row.split(r"\markup")[1:]
        for pieces in [re.findall(r'"([^"]*)"|\\(flat|sharp)', markup)]
    ]
    assert found == ["/".join(one.label for one in tones) for tones in sheet.functions]
    assert len(found) == 17


def test_a_drill_of_many_chords_takes_rows() -> None:
    """Thirty chords, a bar each, with long names and remarks: several systems, none too full."""
    stand = STANDS[5]
    bars = tuple(held(stand, i, voice_of(stand, i % len(CHORDS)), str(i + 1)) for i in range(30))
    under = tuple(UnderNote(i, START, "#11", "-14") for i in range(30))
    drill = Drill(DrillKind.CHORD, "", "held", 30, ((1, 30),), bars, repeated=False, under=under)
    group = Block("chords", BlockKind.CHORDS, "Chords, slowly", "", (drill,), run_sheet().ladder)
    sheet = replace(run_sheet(), blocks=(group,))
    text = leaves_text([sheet], Page(), MARK)
    assert 2 <= text.count(r"\break") <= 6
    (page,) = pages_of(sheet)
    assert page.count("−14") == 30  # noqa: RUF001 - a minus sign


def test_silent_and_playing_players_share_a_document() -> None:
    one = player(None, "rests")
    made = engrave([leaves_text([one, run_sheet(), section(STANDS[:2])], Page(), MARK)])
    assert [count >= 1 for count in made.pages[0]] == [True] * 3
    assert len(made.pages[0]) == 3


def test_a_silent_player_needs_no_title() -> None:
    one = player(None, "rests")
    part_alone = replace(one.player.part, credits=Credits())
    alone = replace(one, player=Player(part_alone, None, None, silence="rests"))
    (page,) = pages_of(alone)
    assert page.startswith("Piccolo")
