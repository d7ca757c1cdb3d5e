"""The waist: what stands on a sheet, for the cases that a player meets."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from drills.errors import UsageError
from drills.music.notes import Articulation, Beam, Event, Note, TupletBracket
from drills.music.score import Bar, Direction, Part, RehearsalMark, TempoMark
from drills.music.time import NoteValue, Tuplet, length, position
from drills.notation.beams import with_whole_beams
from drills.places.finding import find_span
from drills.sheets.blocks import BlockKind
from drills.sheets.cells import Order
from drills.sheets.choices import Choices
from drills.sheets.drill import Drill, DrillKind, Ending
from drills.sheets.making import make_sheet
from drills.sheets.sheet import Sheet
from tests.music_made import SCALE, after, bar_of, notes, part_of
from tests.notation.test_bars import written

DEFAULT = Choices(cell_value=NoteValue("eighth"))


def hard_bar() -> Part:
    first = bar_of(notes(SCALE, "16th"))
    return part_of([replace(first, marks=(RehearsalMark("E"),)), bar_of(notes("A4 r", "half"))])


def sheet_of(part: Part, place: str = "1", choices: Choices = DEFAULT) -> Sheet:
    return make_sheet(part, find_span(part, place), choices)


def cells(sheet: Sheet, size: int) -> tuple[Drill, ...]:
    return next(
        group.drills
        for group in sheet.blocks
        if group.kind.drills is DrillKind.CELL and group.drills[0].size == size
    )


def lines(sheet: Sheet) -> list[Drill]:
    """The drills in rhythms."""
    blocks = [block for block in sheet.blocks if block.kind is BlockKind.RHYTHM]
    return [drill for block in blocks for drill in block.drills]


def test_a_bar_of_sixteenths_by_default() -> None:
    sheet = sheet_of(hard_bar())
    assert [(group.title, len(group.drills)) for group in sheet.blocks] == [
        ("Two notes at a time", 16),
        ("Three notes at a time", 15),
        ("Four notes at a time", 14),
        ("The whole line, even", 1),
        ("The whole line, dotted", 1),
        ("The whole line, reversed dotted", 1),
        ("The whole line, grouped in threes", 1),
        ("The line as written", 1),
    ]
    assert [len(group.before_merging) for group in sheet.blocks[:4]] == [16, 15, 14, 0]
    assert sheet.words == "Bar 1, the first bar of E, to beat 1 of bar 2"
    assert sheet.spot.landing == 17
    assert len(sheet.ladder.rungs) == 8


@pytest.mark.parametrize(
    ("ending", "size", "wanted"),
    [
        (Ending.HOLD, 2, "n8 n4."),
        (Ending.HOLD, 3, "n8 n8 n4"),
        (Ending.HOLD, 4, "n8 n8 n8 n4."),
        (Ending.REST, 2, "n8 n8 r4"),
        (Ending.REST, 3, "n8 n8 n8 r8"),
        (Ending.REST, 4, "n8 n8 n8 n8 r4"),
        (Ending.ROUND, 2, "n8 n8 n8 n8"),
        (Ending.ROUND, 3, "n8 n8 n8"),
        (Ending.ROUND, 4, "n8 n8 n8 n8"),
    ],
)
def test_how_cells_are_written(ending: Ending, size: int, wanted: str) -> None:
    sheet = sheet_of(hard_bar(), choices=replace(DEFAULT, ending=ending))
    found = {written(drill.bars) for drill in cells(sheet, size)}
    assert found == {wanted}
    assert len({drill.bars[0].length for drill in cells(sheet, size)}) == 1
    assert all(drill.repeated and len(drill.bars) == 1 for drill in cells(sheet, size))


@pytest.mark.parametrize(
    ("time", "size", "wanted", "signature"),
    [
        ("6/8", 2, "n8 n4", "3/8"),
        ("6/8", 3, "n8 n8 n8~ n4.", "6/8"),
        ("2/2", 2, "n8 n4.", "2/4"),
        ("2/2", 4, "n8 n8 n8 n8~ n2", "4/4"),
        ("7/8", 2, "n8 n4", "3/8"),
        ("7/8", 4, "n8 n8 n8 n4", "5/8"),
    ],
)
def test_a_cell_fills_beats_of_the_music(time: str, size: int, wanted: str, signature: str) -> None:
    bar: Bar = bar_of(notes("C4 D4 E4 F4 G4 A4", "eighth"), time)
    found = cells(sheet_of(part_of([bar])), size)[0]
    assert (written(found.bars), str(found.bars[0].time)) == (wanted, signature)


def test_the_excerpt_ends_with_the_landing_note() -> None:
    excerpt = sheet_of(hard_bar()).excerpt
    assert excerpt.open_ended
    assert [len(bar.voices[0].events) for bar in excerpt.bars] == [16, 1]
    assert [(n.bar, n.number) for n in excerpt.numbers] == [
        *((0, i) for i in range(1, 17)),
        (1, 17),
    ]


def test_an_excerpt_without_beams_is_beamed() -> None:
    """Many exporters leave beams out; sixteen flags in a row cannot be read."""
    (first, _) = sheet_of(hard_bar()).excerpt.bars
    beams = [event.beam for event in first.voices[0].events if isinstance(event, Note)]
    assert beams == [Beam.START, Beam.CONTINUE, Beam.CONTINUE, Beam.STOP] * 4
    pickup = bar_of(notes("C4 D4 E4", "eighth"), "2/4", offset=length(1, 2))
    (bar,) = sheet_of(part_of([pickup])).excerpt.bars
    found = [event.beam for event in bar.voices[0].events if isinstance(event, Note)]
    assert found == [Beam.START, Beam.CONTINUE, Beam.STOP]


@pytest.mark.parametrize(
    ("kinds", "given_beams", "wanted"),
    [
        ("eighth eighth", "begin end", "begin end"),
        ("eighth eighth", "begin -", "- -"),
        ("eighth eighth", "- end", "- -"),
        ("eighth quarter eighth", "begin continue end", "- - -"),
        ("eighth eighth eighth eighth", "begin begin end -", "- begin end -"),
        ("eighth eighth eighth", "begin - end", "- - -"),
    ],
)
def test_beams_that_lost_an_end_go(kinds: str, given_beams: str, wanted: str) -> None:
    """A beam that led to another staff, or that a file puts on a quarter."""
    events: list[Event] = []
    for kind, beam in zip(kinds.split(), given_beams.split(), strict=True):
        (note,) = notes("C4", kind, after(events) if events else Fraction(0))
        assert isinstance(note, Note)
        events.append(replace(note, beam=None if beam == "-" else Beam(beam)))
    found = [note.beam for note in with_whole_beams(events) if isinstance(note, Note)]
    assert " ".join("-" if beam is None else beam.value for beam in found) == wanted


def test_few_words_over_one_note() -> None:
    words = [
        Direction(position(0), "words", text) for text in ("Drill", "dolce", "sul", "la", "la")
    ]
    signs = (
        *words,
        Direction(position(0), "dynamic", "p"),
        Direction(position(1), "words", "cresc."),
    )
    bar = replace(bar_of(notes("C4 D4 E4 F4", "quarter")), directions=signs)
    (shown,) = sheet_of(part_of([bar])).excerpt.bars
    assert [direction.text for direction in shown.directions] == ["dolce", "sul", "p", "cresc."]


def test_the_excerpt_of_whole_bars_is_closed() -> None:
    excerpt = sheet_of(hard_bar(), "1", Choices(landing=False)).excerpt
    assert (excerpt.open_ended, len(excerpt.bars)) == (False, 1)


def test_nothing_dangles_where_the_excerpt_is_cut() -> None:
    second = notes("C4 D4 E4 F4", "eighth")
    beams = (Beam.START, Beam.CONTINUE, Beam.CONTINUE, Beam.STOP)
    second = [
        replace(note, beam=beam, slur_starts=(3,) if beam is Beam.START else ())
        for note, beam in zip(second, beams, strict=True)
        if isinstance(note, Note)
    ]
    part = part_of([bar_of(notes("G4 A4", "quarter"), "2/4"), bar_of(second, "2/4")])
    (first, last) = (e for e in sheet_of(part, "1").excerpt.bars)
    note = last.voices[0].events[-1]
    assert isinstance(note, Note)
    assert (note.beam, note.slur_starts) == (None, ())
    longer = sheet_of(part, "1-2@2", Choices(landing=False)).excerpt.bars[-1].voices[0].events
    ends = [(e.beam, e.slur_starts, e.slur_stops) for e in longer if isinstance(e, Note)]
    assert ends == [
        (Beam.START, (3,), ()),
        (Beam.CONTINUE, (), ()),
        (Beam.STOP, (), (3,)),
    ]
    assert first.number == "1"


def test_the_heading_says_where_the_line_ends() -> None:
    """With its landing note, unless the player named the end or wants none."""
    bars = [bar_of(notes("C4 D4 E4 F4", "quarter")) for _ in range(4)]
    part = part_of(bars)
    assert sheet_of(part, "1-2").words == "Bar 1 to beat 1 of bar 3"
    assert sheet_of(part, "1@2").words == "Beat 2 of bar 1 to beat 3"
    assert sheet_of(part, "1@2-2@1").words == "Beat 2 of bar 1 to beat 1 of bar 2"
    assert sheet_of(part, "1-2", Choices(landing=False)).words == "Bars 1 to 2"
    assert sheet_of(part, "4").words == "Bar 4"


def test_every_rhythm_keeps_the_line() -> None:
    sheet = sheet_of(hard_bar(), choices=Choices(rhythms=("all", "3:1:1:2")))
    drills = lines(sheet)
    line = [attack.tones for attack in sheet.spot.line]
    assert len(drills) == 16
    for drill in drills:
        played = [
            event.tones
            for bar in drill.bars
            for event in bar.voices[0].events
            if isinstance(event, Note) and not event.tie_stop
        ]
        assert played == line, drill.label


def test_the_landing_note_after_twelve_sixteenths() -> None:
    """The worked example: twelve sixteenths in 3/4 and a landing quarter."""
    bars = [bar_of(notes(" ".join(SCALE.split()[:12]), "16th"), "3/4")]
    bars.append(bar_of(notes("A4 B4 C5", "quarter"), "3/4"))
    sheet = sheet_of(part_of(bars))
    rows = {d.rhythm: written(d.bars) for d in lines(sheet)}
    pairs = " ".join(["n8. n16"] * 3)
    turned = " ".join(["n16 n8."] * 3)
    triplet = "{3:2 n8 n8 n8}"
    assert rows["dotted"] == f"{pairs} | {pairs} | n4 r2"
    assert rows["reversed-dotted"] == f"{turned} | {turned} | n4 r2"
    assert rows["grouped-in-threes"] == f"{triplet} {triplet} {triplet} | {triplet} n4 r4"


def test_several_runs_are_named() -> None:
    events = notes("C4 D4", "eighth") + notes("r", "quarter", Fraction(1))
    events += notes("E4 F4 G4 A4", "eighth", Fraction(2))
    sheet = sheet_of(part_of([bar_of(events)]))
    labels = [drill.label for drill in lines(sheet)[:2]]
    assert labels == ["even, notes 1-2", "even, notes 3-6"]


def with_tempo(*marks: TempoMark) -> Part:
    part = hard_bar()
    return replace(part, bars=(replace(part.bars[0], tempos=marks), *part.bars[1:]))


QUARTER = NoteValue("quarter")


@pytest.mark.parametrize(
    ("marks", "choices", "number", "source"),
    [
        ((TempoMark(position(0), QUARTER, Fraction(112)),), DEFAULT, 112, "from the score"),
        (
            (TempoMark(position(0), NoteValue("half"), Fraction(66)),),
            DEFAULT,
            66,
            "from the score",
        ),
        ((TempoMark(position(0), text="Adagio"),), DEFAULT, 66, "only “Adagio”"),
        ((), DEFAULT, 96, "no tempo"),
        ((), Choices(tempo=Fraction(120)), 120, "as asked"),
        (
            (TempoMark(position(0), QUARTER, Fraction(112)),),
            Choices(tempo=Fraction(60), tempo_beat=NoteValue("half")),
            60,
            "as asked",
        ),
    ],
)
def test_performing_tempo(
    marks: tuple[TempoMark, ...], choices: Choices, number: int, source: str
) -> None:
    tempo = sheet_of(with_tempo(*marks), choices=choices).tempo
    assert tempo.number == number
    assert source in tempo.source


def test_rhythms_for_cells_where_their_size_allows() -> None:
    sheet = sheet_of(hard_bar(), choices=Choices(cell_rhythms=("long-short-short",), rhythms=()))
    assert [group.title for group in sheet.blocks] == [
        "Two notes at a time",
        "Three notes at a time",
        "Three notes at a time, long-short-short",
        "Four notes at a time",
        "Four notes at a time, long-short-short",
        "The line as written",
    ]


def test_growing_cells() -> None:
    sheet = sheet_of(hard_bar(), choices=Choices(order=Order.GROW))
    assert sheet.blocks[0].title == "Each hard move, growing"
    assert any("no instrument is named" in remark for remark in sheet.remarks), "and says so"


def on_saxophone(text: str, order: Order = Order.MUSIC) -> Sheet:
    """A bar of sixteenths in steps of a tone or less, but for what the fingers do."""
    part = part_of([bar_of(notes(text, "16th")), bar_of(notes("A4 r", "half"))])
    return sheet_of(part, choices=Choices(instrument="alto saxophone", order=order))


def test_hard_moves_of_a_spot_are_told() -> None:
    """The change from C sharp to D over the break moves most keys (any fingering chart)."""
    sheet = on_saxophone("G4 A4 B4 A4 G4 A4 B4 C#5 D5 C#5 B4 A4 G4 A4 B4 A4")
    assert sheet.hard == (9, 10)
    assert len(sheet.moves) == len(sheet.spot.line) - 1
    costs = [move.cost for move in sheet.moves if move is not None]
    assert max(costs) == costs[7] == costs[8]


def test_no_move_stands_out_of_a_trill() -> None:
    trill = part_of([bar_of(notes("B4 C5 " * 8, "16th"))])
    assert sheet_of(trill, choices=Choices(instrument="alto saxophone")).hard == ()


def test_the_hardest_cell_is_the_one_that_fingers_find_hard() -> None:
    sheet = on_saxophone("G4 A4 B4 A4 G4 A4 B4 C#5 D5 C#5 B4 A4 G4 A4 B4 A4", Order.HARDEST)
    assert cells(sheet, 2)[0].ranges[0] == (8, 9)
    grown = on_saxophone("G4 A4 B4 A4 G4 A4 B4 C#5 D5 C#5 B4 A4 G4 A4 B4 A4", Order.GROW)
    assert grown.blocks[0].drills[0].ranges[0] == (8, 9)


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"sizes": (1,)}, "2 to 8 notes, not 1"),
        ({"sizes": (9,)}, "2 to 8 notes, not 9"),
        ({"sizes": (), "rhythms": ()}, "neither cells nor rhythms"),
        ({"rhythms": ("doted",)}, "did you mean dotted"),
        ({"rungs": 1}, "2 to 39 rungs"),
    ],
)
def test_refused(wrong: dict[str, object], message: str) -> None:
    with pytest.raises(UsageError, match=message):
        sheet_of(hard_bar(), choices=Choices(**wrong))  # type: ignore[arg-type]


def test_sheets_carry_the_cautions() -> None:
    text = " ".join(sheet_of(hard_bar()).cautions).lower()
    for word in ("slowly and correctly", "rest often", "stop at pain", "headphones", "teacher"):
        assert word in text


def line_in(sheet: Sheet, rhythm: str) -> Drill:
    return next(drill for drill in lines(sheet) if drill.rhythm == rhythm)


def test_a_lilt_stays_in_an_even_line_and_its_cells_are_eighths() -> None:
    """Quarter, eighth, quarter, eighth in 6/8: two notes to a beat of three stay what they are."""
    lilt = notes("C4", "quarter") + notes("D4", "eighth", Fraction(1))
    lilt += notes("E4", "quarter", Fraction(3, 2)) + notes("F4", "eighth", Fraction(5, 2))
    part = part_of([bar_of(lilt, "6/8"), bar_of(notes("G4", "half"), "6/8")])
    sheet = sheet_of(part)
    assert written(line_in(sheet, "even").bars) == "n4 n8 n4 n8 | n4.~ n8 r4"
    assert written(line_in(sheet, "dotted").bars) == "n4 n8 n4 n8 | n4. r4."
    assert {written(drill.bars) for drill in cells(sheet, 2)} == {"n8 n4"}


def test_an_even_line_keeps_bars_beats_and_long_notes() -> None:
    """A quarter and then triplets on the beat: the quarter stays a quarter on its beat."""
    first = notes("C4", "quarter")
    triplet = TupletBracket(Tuplet(3, 2))
    third = length(1, 3)
    for index, name in enumerate(["D4", "E4", "F4", "G4", "A4", "B4"]):
        (note,) = notes(name, "eighth", 1 + Fraction(index, 3))
        assert isinstance(note, Note)
        first.append(replace(note, length=third, tuplets=(triplet,)))
    part = part_of([bar_of(first, "3/4"), bar_of(notes("C5 r", "half"), "3/4")])
    even = written(line_in(sheet_of(part), "even").bars)
    assert even == "n4 {3:2 n8 n8 n8} {3:2 n8 n8 n8} | n2 r4"


def test_only_equal_quick_notes_are_levelled() -> None:
    """Dotted eighth and sixteenth become eighths; the half note after them stays one."""
    (long_one,) = notes("C4", "eighth")
    long_one = replace(long_one, length=length(3, 4), value=NoteValue("eighth", 1))
    dotted = [long_one, *notes("D4", "16th", Fraction(3, 4))]
    rest = [*notes("E4 F4", "eighth", Fraction(1)), *notes("G4", "half", Fraction(2))]
    part = part_of([bar_of([*dotted, *rest])])
    assert written(line_in(sheet_of(part), "even").bars) == "n8 n8 n8 n8 n2"


def test_septuplets_stay_whole_in_an_even_line() -> None:
    seven = TupletBracket(Tuplet(7, 4))
    first = []
    for index, name in enumerate(["C4", "D4", "E4", "F4", "G4", "A4", "B4"]):
        (note,) = notes(name, "16th", Fraction(index, 7))
        assert isinstance(note, Note)
        first.append(replace(note, length=length(1, 7), tuplets=(seven,)))
    part = part_of([bar_of([*first, *notes("C5", "quarter", Fraction(1))], "2/4")])
    assert written(line_in(sheet_of(part), "even").bars) == "{7:4 n16 n16 n16 n16 n16 n16 n16} n4"


def test_four_notes_in_three_four_are_grouped_by_two() -> None:
    bar = bar_of(notes("C4 D4 E4 F4 G4 A4", "eighth"), "3/4")
    cell = cells(sheet_of(part_of([bar])), 4)[0]
    assert (written(cell.bars), str(cell.bars[0].time)) == ("n8 n8 n8 n4.", "3/4")
    beams = [e.beam for e in cell.bars[0].voices[0].events if isinstance(e, Note)]
    assert beams == [Beam.START, Beam.STOP, None, None]


@pytest.mark.parametrize("time", ["4/4", "6/8", "12/8", "5/8"])
def test_a_cell_that_goes_round_has_one_beam_and_its_own_bar(time: str) -> None:
    part = part_of([bar_of(notes("C4 D4 E4 F4 G4 A4", "eighth"), time)])
    for size in (3, 4, 5):
        choices = replace(DEFAULT, ending=Ending.ROUND, sizes=(size,))
        (cell, *_) = cells(sheet_of(part, choices=choices), size)
        (bar,) = cell.bars
        assert str(bar.time) == (f"{size}/8" if size % 2 or time != "4/4" else f"{size // 2}/4")
        beams = [e.beam for e in bar.voices[0].events if isinstance(e, Note)]
        assert beams == [Beam.START, *[Beam.CONTINUE] * (size - 2), Beam.STOP]


def test_a_cell_that_only_respells_a_pitch_is_no_move() -> None:
    part = part_of([bar_of(notes("C#5 Db5 C#5 D5", "quarter"))])
    found = [drill.ranges for drill in cells(sheet_of(part), 2)]
    assert found == [((3, 4),)]


def with_signs(part: Part, *signs: Articulation) -> Part:
    bar = part.bars[0]
    events = tuple(
        replace(event, articulations=signs) if isinstance(event, Note) else event
        for event in bar.voices[0].events
    )
    first = replace(bar, voices=(replace(bar.voices[0], events=events),))
    return replace(part, bars=(first, *part.bars[1:]))


def signs_of(drill: Drill) -> list[tuple[Articulation, ...]]:
    notes_of = (e for bar in drill.bars for e in bar.voices[0].events if isinstance(e, Note))
    return [note.articulations for note in notes_of]


def test_no_dot_on_a_note_that_is_held_or_tied() -> None:
    part = with_signs(hard_bar(), Articulation.STACCATO, Articulation.TENUTO)
    sheet = sheet_of(part, choices=Choices(landing=False, rhythms=("first-long-of-four",)))
    dotted, plain = (Articulation.STACCATO, Articulation.TENUTO), (Articulation.TENUTO,)
    assert signs_of(cells(sheet, 3)[0]) == [dotted, dotted, plain]
    long_notes = [n for b in lines(sheet)[0].bars for n in b.voices[0].events]
    tied = [n for n in long_notes if isinstance(n, Note) and n.tie_start]
    assert tied
    assert all(Articulation.STACCATO not in note.articulations for note in tied)


def test_a_rhythm_with_accents_sets_them_alone() -> None:
    sheet = sheet_of(with_signs(hard_bar(), Articulation.ACCENT))
    accents = [bool(signs) for signs in signs_of(line_in(sheet, "grouped-in-threes"))]
    assert accents == [index % 3 == 0 for index in range(17)]
    assert all(signs_of(line_in(sheet, "dotted"))[:16])


def test_a_landing_note_out_of_a_triplet_stands_alone() -> None:
    (note,) = notes("C5", "eighth")
    assert isinstance(note, Note)
    note = replace(note, length=length(1, 3), tuplets=(TupletBracket(Tuplet(3, 2), starts=True),))
    part = part_of([bar_of(notes("C4 D4", "quarter"), "2/4"), bar_of([note], "2/4")])
    landing = sheet_of(part, "1").excerpt.bars[-1].voices[0].events[-1]
    assert (landing.tuplets, landing.length) == ((), length(1, 2))
