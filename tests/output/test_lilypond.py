"""Sheets as LilyPond text: the text itself, and what LilyPond makes of it.

What LilyPond understood is taken from the MIDI files that it writes for the
same text, and read with mido: an independent program reads our notes, and an
independent library reads its answer.

The golden files in tests/golden are read by people.  After a change that is
meant, write them again on purpose and look at the difference:

    python -m tests.output.test_lilypond
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from fractions import Fraction
from io import BytesIO
from pathlib import Path

import mido
import pytest
from hypothesis import given
from hypothesis import strategies as st

from drills.errors import NotationError, UsageError
from drills.music.notes import Event, Note
from drills.music.pitch import KeySignature, Pitch
from drills.music.score import (
    Bar,
    ChordDegree,
    ChordSymbol,
    Clef,
    Direction,
    RehearsalMark,
    TempoMark,
)
from drills.music.time import NOTE_KINDS, START, NoteValue, TimeSignature, length, position
from drills.output.engrave import engrave
from drills.output.lilypond import ContentsEntry, Page, contents_text, sheets_text
from drills.output.lilypond import words as ly
from drills.output.lilypond.document import leaves_text
from drills.output.lilypond.filling import balanced_rows
from drills.output.lilypond.music import write_excerpt, write_passages
from drills.output.lilypond.passage import Passage
from drills.output.lilypond.rows import chord_symbol
from drills.output.lilypond.spacing import line_rows, short_label
from drills.places.finding import find_span
from drills.section.players import Section
from drills.sheets.choices import Choices
from drills.sheets.drill import Drill
from drills.sheets.excerpt import Excerpt
from drills.sheets.making import make_sheet
from drills.sheets.sheet import Sheet
from tests.output.fixtures import RUN, bar, notes, part, run_part, run_sheet
from tests.output.rich_music import Pen, drum_bars, rich_bars, rich_excerpt, sounding
from tests.output.section_made import STANDS, cell_score, chord_score, section

GOLDEN = Path(__file__).parent.parent / "golden"
MARK = "drills-made-from:0123456789abcdef"
ROOM = 120.0
TICK = Fraction(1, 384)
"""LilyPond's MIDI files count 384 ticks to a quarter; a triplet in a quintuplet is rounded."""


# What LilyPond understood


def midi_notes(data: bytes) -> list[tuple[int, Fraction, Fraction]]:
    """MIDI number, start and length in quarters of every note, in order."""
    file = mido.MidiFile(file=BytesIO(data))
    found = []
    for track in file.tracks:
        now, open_notes = 0, {}
        for message in track:
            now += message.time
            if message.type == "note_on" and message.velocity:
                open_notes[message.note] = now
            elif message.type in ("note_off", "note_on") and message.note in open_notes:
                start = open_notes.pop(message.note)
                ticks = file.ticks_per_beat
                found.append((message.note, Fraction(start, ticks), Fraction(now - start, ticks)))
    return sorted(found, key=lambda note: (note[1], note[0]))


def meta_messages(data: bytes, kind: str) -> list[mido.MetaMessage]:
    file = mido.MidiFile(file=BytesIO(data))
    return [message for track in file.tracks for message in track if message.type == kind]


def understood(sheet: Sheet) -> list[bytes]:
    """LilyPond's MIDI file for each score of a sheet; it must have had nothing to warn of."""
    made = engrave([sheets_text([sheet], Page(), MARK, with_midi=True)], ("midi",))
    assert made.warnings == ()
    return list(made.midis)


def scores_of(sheet: Sheet) -> Iterator[tuple[Bar, ...]]:
    """The bars of each score that a sheet prints, in order."""
    yield sheet.excerpt.bars
    for block in sheet.blocks:
        if block.printed:
            yield tuple(bar for drill in block.drills for bar in drill.bars)


def assert_same_notes(sheet: Sheet) -> None:
    midis = understood(sheet)
    scores = list(scores_of(sheet))
    assert len(midis) == len(scores)
    for midi, bars in zip(midis, scores, strict=True):
        expected = sounding(bars)
        assert expected
        assert midi_notes(midi) == expected


def test_the_notes_of_a_sheet_are_the_notes_of_its_drills() -> None:
    assert_same_notes(run_sheet())


@pytest.mark.parametrize(
    ("time", "value", "names"),
    [
        ("6/8", "16th", "C5 D5 E5 F#5 G5 A5 B5 A5 G5 F#5 E5 D#5"),
        ("5/4", "eighth", "C5 D5 E5 F#5 G5 A5 B5 A5 G5 F#5"),
        ("7/8", "16th", "C5 D5 E5 F#5 G5 A5 B5 A5 G5 F#5 E5 D#5 C#5 B4"),
        ("2/2", "eighth", "C5 D5 E5 F#5 G5 A5 B5 A5"),
        ("3/4", "16th", "Bb4 C5 Db5 D5 Eb5 E5 F5 Gb5 G5 Ab5 A5 Bb5"),
    ],
)
def test_the_notes_in_other_times(time: str, value: str, names: str) -> None:
    signature = TimeSignature.parse(time)
    music = notes(names, NoteValue(value))
    landing = (Note(position(0), signature.bar_length, (Pitch.parse("C5"),), _whole(signature)),)
    made = part([bar(0, music, time=signature), bar(1, landing, time=signature)])
    choices = Choices(tempo=Fraction(100), rhythms=("even", "dotted", "grouped-in-threes"))
    assert_same_notes(make_sheet(made, find_span(made, "1"), choices))


def _whole(signature: TimeSignature) -> NoteValue:
    """A value for the landing note, which is cut out of its bar anyway."""
    return NoteValue.of(signature.bar_length) or NoteValue("whole")


def without_graces(bars: tuple[Bar, ...]) -> tuple[Bar, ...]:
    """LilyPond's MIDI takes the time of grace notes from their neighbours."""

    def plain(event: Event) -> Event:
        if isinstance(event, Note):
            return replace(event, graces=(), graces_after=(), slur_starts=(), slur_stops=())
        return event

    return tuple(
        replace(
            one,
            voices=tuple(
                replace(voice, events=tuple(plain(event) for event in voice.events))
                for voice in one.voices
            ),
        )
        for one in bars
    )


def test_everything_that_a_bar_may_hold() -> None:
    excerpt = rich_excerpt()
    bars = excerpt.bars[:3] + excerpt.bars[4:]  # MIDI has no quarter tones
    plain = replace(excerpt, bars=without_graces(bars), numbers=())
    short = Choices(sizes=(), rhythms=("even",), tempo=Fraction(120))
    midis = understood(replace(run_sheet(short), excerpt=plain))
    expected = sounding(plain.bars)
    assert len(expected) > 60
    heard = midi_notes(midis[0])
    assert [note for note, _, _ in heard] == [note for note, _, _ in expected]
    for (_, start, lasts), (note, wanted, wanted_length) in zip(heard, expected, strict=True):
        assert abs(start - wanted) < TICK
        if not _is_played_short((note, wanted, wanted_length)):
            assert abs(lasts - wanted_length) < 2 * TICK


def _is_played_short(note: tuple[int, Fraction, Fraction]) -> bool:
    """LilyPond's MIDI plays staccato notes short: those of the bar of signs."""
    before = sum((one.length.quarters for one in rich_bars()[:6]), Fraction(0))
    return before <= note[1] < before + rich_bars()[7].length.quarters


def test_grace_notes_sound_before_and_after_their_notes() -> None:
    sheet = run_sheet(Choices(sizes=(), rhythms=("even",), tempo=Fraction(120)))
    bars = rich_bars()[2:3]
    midi = understood(replace(sheet, excerpt=Excerpt(bars, (), open_ended=True)))[0]
    order = [note for note, _, _ in midi_notes(midi)]
    # B4 before C5, G4 A4 before D5, then E5 with G4 A4 after it
    assert order == [71, 72, 67, 69, 74, 76, 67, 69]


def test_drums_stand_where_their_heads_stand() -> None:
    sheet = run_sheet(Choices(sizes=(), rhythms=("even",), tempo=Fraction(120)))
    bars = drum_bars()
    midi = understood(replace(sheet, excerpt=Excerpt(bars, (), open_ended=False)))[0]
    assert midi_notes(midi) == sounding(bars)


ALL_PITCHES = [
    Pitch(step, Fraction(alter), octave)
    for octave in range(0, 9)
    for step in "CDEFGAB"
    for alter in (-3, -2, -1, 0, 1, 2, 3)
]


def test_every_spelling_sounds_as_it_should() -> None:
    """Triple alterations, for which LilyPond has no sign, are respelled."""
    pitches = [pitch for pitch in ALL_PITCHES if 12 <= pitch.midi <= 120]
    music = " ".join(f"{ly.pitch(pitch)}4" for pitch in pitches)
    text = f'\\version "2.24.0" \\score {{ {{ \\cadenzaOn {music} }} \\midi {{ }} }}'
    (midi,) = engrave([text], ("midi",)).midis
    assert [note for note, _, _ in midi_notes(midi)] == [int(pitch.midi) for pitch in pitches]


def test_quarter_tones_go_to_the_nearest_that_there_is() -> None:
    names = {Fraction(1, 2): "cih'", Fraction(-1, 2): "ceh'", Fraction(5, 4): "cis'"}
    for alter, name in names.items():
        assert ly.pitch(Pitch("C", alter, 4)) == name
    assert ly.pitch(Pitch("B", Fraction(5, 2), 3)) == "cisih'"


def test_key_signatures() -> None:
    """MIDI key signatures count sharps as MusicXML's fifths do (SMF 1.0, FF 59)."""
    music = " ".join(f"{ly.key(KeySignature(fifths))} c'1" for fifths in range(-7, 8))
    text = f'\\version "2.24.0" \\score {{ {{ {music} }} \\midi {{ }} }}'
    (midi,) = engrave([text], ("midi",)).midis
    # the circle of fifths, from memory
    circle = ["Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#"]
    assert [message.key for message in meta_messages(midi, "key_signature")] == circle


@pytest.mark.parametrize("time", ["2/2", "3/4", "6/8", "5/4", "7/16", "3+2/8", "2+2+3/8"])
def test_time_signatures(time: str) -> None:
    signature = TimeSignature.parse(time)
    music = f"{ly.time(signature)} c'{ly.scaled(signature.bar_length)} | c'1"
    text = f'\\version "2.24.0" \\score {{ {{ {music} }} \\midi {{ }} }}'
    made = engrave([text], ("midi",))
    first = meta_messages(made.midis[0], "time_signature")[0]
    assert (first.numerator, first.denominator) == (signature.count, signature.unit)
    assert made.warnings == ()  # the bar check agrees


def test_every_note_value() -> None:
    for kind, lasts in NOTE_KINDS.items():
        written = NoteValue(kind, 2)
        music = rf"\cadenzaOn c'{ly.value(written)} d'4"
        text = rf'\version "2.24.0" \score {{ {{ {music} }} \midi {{ }} }}'
        if lasts < NOTE_KINDS["128th"]:
            assert ly.value(written).startswith(str(int(length(4) / lasts)))
            continue
        (midi,) = engrave([text], ("midi",)).midis
        assert midi_notes(midi)[1][1] == written.length.quarters


@pytest.mark.parametrize(
    ("clef", "name"),
    [
        (Clef(), "treble"),
        (Clef("F", 4), "bass"),
        (Clef("C", 3), "alto"),
        (Clef("C", 4), "tenor"),
        (Clef("G", 2, -1), "treble_8"),
        (Clef("F", 4, 1), "bass^8"),
        (Clef("G", 4), "treble"),
        (Clef("TAB", 5), "treble"),
        (Clef("none", 0), "treble"),
    ],
)
def test_clefs(clef: Clef, name: str) -> None:
    assert ly.clef(clef) == f'\\clef "{name}"'


# Accidentals


def printed_accidentals(sheet: Sheet) -> int:
    """How many accidentals LilyPond prints, counted by LilyPond."""
    text = sheets_text([sheet], Page(), MARK).replace(
        "\\numericTimeSignature",
        "\\numericTimeSignature\n    \\override Accidental.after-line-breaking =\n"
        '      #(lambda (sign) (ly:message "an accidental"))',
    )
    assert "an accidental" in text
    return engrave([text]).said.count("an accidental")


def needed_accidentals(bars: tuple[Bar, ...]) -> int:
    """By the rule of every theory book: a sign holds for its line or space to the bar's end."""
    count = 0
    for one in bars:
        heard: dict[tuple[str, int], Fraction] = {}
        for event in one.voices[0].events:
            if isinstance(event, Note):
                for tone in event.tones:
                    assert isinstance(tone, Pitch)
                    place = (tone.step, tone.octave)
                    in_force = heard.get(place, one.key.alter_of(tone.step))
                    if tone.alter != in_force and not event.tie_stop:
                        count += 1
                    heard[place] = tone.alter
    return count


def test_no_accidental_is_missing_in_any_cell() -> None:
    """Every cell is an exercise of its own: no sign holds from the cell before."""
    sheet = run_sheet(Choices(rhythms=(), tempo=Fraction(120)))
    sheet = replace(sheet, excerpt=Excerpt(sheet.excerpt.bars[1:], (), open_ended=True))
    needed = sum(needed_accidentals(bars) for bars in scores_of(sheet))
    assert needed > 40
    assert printed_accidentals(sheet) == needed


# Rows and labels


def test_fifteen_cells_stand_as_eight_and_seven() -> None:
    assert balanced_rows([10.0] * 15, 95.0) == (8, 7)
    assert balanced_rows([10.0] * 16, 95.0) == (8, 8)
    assert balanced_rows([10.0] * 19, 95.0) == (7, 6, 6)


@given(st.lists(st.floats(1, 30), min_size=1, max_size=60), st.floats(30, 200))
def test_rows_are_even_and_fit(widths: list[float], room: float) -> None:
    rows = balanced_rows(widths, room)
    assert sum(rows) == len(widths)
    assert max(rows) - min(rows) <= 1
    at = 0
    for size in rows:
        assert size == 1 or sum(widths[at : at + size]) <= room
        at += size


def test_the_rows_of_a_line_are_alike() -> None:
    """Equal bars in rows that differ by one bar at most; none where all fit on one."""
    bars = tuple(bar(index, notes(RUN)) for index in range(7))
    rows = line_rows(bars, ROOM, 1.85)
    assert sum(rows) == 7
    assert len(rows) > 1
    assert max(rows) - min(rows) <= 1
    assert line_rows(bars[:1], ROOM) == (1,)
    assert len(line_rows(bars, 10 * ROOM)) == 1


def test_a_line_breaks_where_its_rows_end() -> None:
    bars = tuple(bar(index, notes(RUN)) for index in range(5))
    text = write_passages([Passage(bars, rows=(2, 2, 1))], ROOM)
    assert re.findall(r"\\(break|noBreak)", text) == ["noBreak", "break", "noBreak", "break"]


# What the excerpt says


@pytest.mark.parametrize("words", ["Tempo di marcia", "tempo di  Marcia."])
def test_a_tempo_in_words_is_printed_once(words: str) -> None:
    marked = replace(
        bar(0, notes(RUN)),
        tempos=(TempoMark(START, NoteValue("quarter"), Fraction(112), "Tempo di marcia"),),
        directions=(Direction(START, "words", words), Direction(START, "words", "dolce")),
    )
    text = write_excerpt([marked], open_ended=False, room=ROOM)
    assert re.findall(r"(?i)tempo di\s+marcia", text) == ["Tempo di marcia"]
    assert "dolce" in text


def test_a_bar_that_completes_another_has_no_number() -> None:
    """A pickup has one, so has a bar that follows."""
    sheet = run_sheet(Choices(sizes=(), rhythms=("even",), tempo=Fraction(120)))
    first = replace(bar(0, notes(RUN)), number="0", offset=length(1))
    rest = replace(bar(5, notes(RUN)), number="X1", offset=length(2))
    after = replace(bar(6, notes(RUN)), number="6")
    made = replace(sheet, excerpt=Excerpt((first, rest, after), (), open_ended=False))
    assert """(printed-numbers '("0" "" "6" ))""" in sheets_text([made], Page(), MARK)


def test_an_assumed_tempo_says_so() -> None:
    sheet = run_sheet()
    assert "(assumed)" not in sheets_text([sheet], Page(), MARK)
    assumed = replace(sheet.tempo, source="assumed, since the score says no tempo")
    assert '"= 120 (assumed)"' in sheets_text([replace(sheet, tempo=assumed)], Page(), MARK)


def _labelled(label: str) -> Drill:
    return replace(run_sheet().blocks[0].drills[0], label=label)


@pytest.mark.parametrize(
    ("label", "printed"),
    [
        ("4-6", "4\N{EN DASH}6"),
        ("1-2, 9-10", "1\N{EN DASH}2, 9\N{EN DASH}10"),
        ("1-2, 5-6, 9-10, 13-14", "1\N{EN DASH}2 (+3)"),
    ],
)
def test_labels(label: str, printed: str) -> None:
    assert short_label(_labelled(label)) == printed


# Chord symbols

SHARP_FIFTH = ChordDegree(5, Fraction(1), "alter")


@pytest.mark.parametrize(
    ("symbol", "printed"),
    [
        (ChordSymbol(position(0), "Bb", "major-seventh", bass="D"), ["B", "flat", "maj7/D"]),
        (ChordSymbol(position(0), "F#", "half-diminished"), ["F", "sharp", "m7(", "flat", "5)"]),
        (ChordSymbol(position(0), "C", "minor", text="mi"), ["Cmi"]),
        (ChordSymbol(position(0), "C", "suspended-fourth", text="sub b"), ["Csub b"]),
        (
            ChordSymbol(
                position(0), "A", "dominant", degrees=(ChordDegree(5, Fraction(1), "alter"),)
            ),
            ["A7(", "sharp", "5)"],
        ),
        (
            # The text says the degree already: MusicXML's print-object="no".
            ChordSymbol(
                position(0),
                "C",
                "suspended-fourth",
                "7sus4",
                degrees=(ChordDegree(7, Fraction(0), "add", printed=False),),
            ),
            ["C7sus4"],
        ),
        (ChordSymbol(position(0), "", "none"), ["N.C."]),
    ],
)
def test_chord_symbols(symbol: ChordSymbol, printed: list[str]) -> None:
    found = re.findall(r'"([^"]*)"|\\(sharp|flat)', chord_symbol(symbol))
    assert [text or sign for text, sign in found] == printed


# Text from strangers

HOSTILE = [
    'say "hi"',
    'back\\slash and \\include "/etc/passwd"',
    '#(system "touch canary")',
    '"#(system "touch canary")"',
    '" } #(system "touch canary") { "',
    '$(system "touch canary")',
    '\\" #(system "touch canary")',
    "%{ a comment that never ends",
    "100 % certain",
    "{ braces } and < angles >",
    "<%= 7 * 7 %> {{ 7 * 7 }} <% raw %>",
    "line\nfeed, tab\t, bell\a, nul\0, escape\x1b",
    "separators \u2028 and \u2029, \ufeff mark",
    "a lone surrogate \ud800 here",
    "Ελληνικά, Кириллица, Tiếng Việt, ş, ð",
    "\\markup \\bold bold",
    "~ ^ _ - ! ? ' , ; : = | / & @ `",
]


def hostile_bar(bar: Bar, text: str) -> Bar:
    """The bar with the text wherever a score can say something."""
    return replace(
        bar,
        number=text,
        ending=text,
        marks=(RehearsalMark(text), RehearsalMark(text)),
        directions=(Direction(START, "words", text), Direction(START, "dynamic", text)),
        chords=(ChordSymbol(START, text, "major", text, text),),
        tempos=(TempoMark(START, text=text),),
    )


@pytest.mark.parametrize("text", HOSTILE)
def test_a_hostile_title_is_printed_and_never_run(
    text: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Everything that a stranger says is set as text; LilyPond tells what it read."""
    monkeypatch.chdir(tmp_path)
    sheet = run_sheet(Choices(sizes=(2,), rhythms=(), tempo=Fraction(120)), note=text, title=text)
    sheet = replace(
        sheet,
        part=text,
        words=text,
        credits=replace(sheet.credits, rights=text),
        cautions=(text,),
        remarks=(text,),
        student=True,
        teacher=True,
        blocks=tuple(replace(group, title=text) for group in sheet.blocks),
        excerpt=replace(
            sheet.excerpt,
            bars=tuple(hostile_bar(one, text) for one in sheet.excerpt.bars),
        ),
    )
    probe = f'#(ly:message "read: ~s" (map char->integer (string->list {ly.ly_string(text)})))'
    made = engrave([sheets_text([sheet], Page(), text) + probe])
    read = re.search(r"read: \(([\d ]*)\)", made.said)
    assert read is not None
    assert "".join(chr(int(code)) for code in read[1].split()) == ly.clean(text)
    assert not list(tmp_path.rglob("canary"))
    assert made.pages == ((1,),)


def test_clean_keeps_what_can_be_printed() -> None:
    assert ly.clean('Ελληνικά 100 % "quoted" \\') == 'Ελληνικά 100 % "quoted" \\'
    assert ly.clean("a\nb\tc\0d") == "a b c d"
    assert ly.clean("\ud800") == "\N{REPLACEMENT CHARACTER}"


@given(st.text(max_size=60))
def test_a_string_is_one_token(text: str) -> None:
    """No quote and no backslash stands free inside the quotes; no line ends there."""
    quoted = ly.ly_string(text)
    assert re.fullmatch(r'"(?:[^"\\]|\\["\\])*"', quoted)
    assert len(quoted.splitlines()) == 1
    plain = quoted[1:-1].replace('\\"', '"').replace("\\\\", "\\")
    assert plain == ly.clean(text)


def test_a_template_cannot_print_a_bare_string() -> None:
    text = contents_text('"} #(exit 3)', None, (), Page(), "mark\n#(exit 4)")
    assert '"\\"} #(exit 3)"' in text
    assert "% mark #(exit 4)\n" in text


# Music that cannot be


def test_overlapping_notes_are_an_error() -> None:
    first, second = notes("C5 D5", NoteValue("half"))
    late = replace(second, start=position(1))
    with pytest.raises(NotationError, match="bar 7: two notes of one voice overlap"):
        write_passages([Passage((bar(0, (first, late), number="7"),))], ROOM)


def test_a_gap_is_skipped() -> None:
    late = replace(notes("D5", NoteValue("half"))[0], start=position(2))
    assert "s1*1/2 d''2 |" in write_passages([Passage((bar(0, (late,)),))], ROOM)


def test_a_bar_wider_than_the_page_may_be_broken_at_a_beat() -> None:
    """Sixty-four notes under beams of four: a break is allowed at each beam."""
    wide = Pen()
    for _ in range(16):
        for note in notes("C5 C#5 D5 D#5"):
            wide.add(replace(note, start=wide.at))
    text = write_passages([Passage((wide.bar(0, "16/4"),))], ROOM)
    assert text.count(r'\bar ""') == 15
    narrow = write_passages([Passage((bar(0, notes(RUN)),))], ROOM)
    assert r'\bar ""' not in narrow


def test_the_last_bar_never_stands_alone() -> None:
    bars = tuple(bar(index, notes(RUN)) for index in range(4))
    assert write_passages([Passage(bars)], ROOM).count(r"\noBreak") == 1


@pytest.mark.parametrize(
    ("paper", "size", "said"),
    [("a5", 17.0, "choose a4 or letter"), ("a4", 5.0, "choose 10 to 30"), ("a4", 99.0, "10 to 30")],
)
def test_pages_that_cannot_be(paper: str, size: float, said: str) -> None:
    with pytest.raises(UsageError, match=said):
        Page(paper, size)


# Golden text


def golden_texts() -> dict[str, str]:
    """The documents that tests/golden keeps."""
    small = Choices(sizes=(2, 3), rhythms=("dotted", "grouped-in-threes"), tempo=Fraction(96))
    made = part([bar(0, notes("C5 D5 Eb5 F#5 G5 Ab5 B5 C6", NoteValue("eighth")), mark="A")])
    scale = make_sheet(made, find_span(made, "A"), small)
    rich = replace(
        run_sheet(Choices(sizes=(), rhythms=("even",), tempo=Fraction(120))), excerpt=rich_excerpt()
    )
    two = replace(scale, student=True, teacher=True)
    entries = (
        ContentsEntry(1, "Breakwater March", "Clarinet 2", "Bar 33", "", 1),
        ContentsEntry(2, "Breakwater March", "Alto saxophone", "Bar 12", 'the "B flat" key', 2),
    )
    return {
        "scale.ly": sheets_text([scale], Page(), MARK),
        "rich-and-two.ly": sheets_text([rich, two], Page("letter", 20.0), MARK, 4),
        "section.ly": leaves_text([small_section()], Page(), MARK),
        "contents.ly": contents_text("Spring concert", date(2027, 3, 1), entries, Page(), MARK),
    }


def small_section() -> Section:
    """A flute and two clarinets: three chords, and two cells of four notes."""
    trio = (STANDS[1], *STANDS[5:7])
    return section(trio, chord_score(trio, 3), cell_score(trio, 2, 4))


def normalised(text: str) -> str:
    """Without blanks at line ends and without empty lines."""
    lines = (line.rstrip() for line in text.splitlines())
    return "\n".join(line for line in lines if line) + "\n"


@pytest.mark.parametrize("name", ["scale.ly", "rich-and-two.ly", "section.ly", "contents.ly"])
def test_golden(name: str) -> None:
    expected = (GOLDEN / name).read_text(encoding="utf-8")
    assert normalised(golden_texts()[name]) == expected


def test_every_golden_file_is_tested() -> None:
    assert sorted(path.name for path in GOLDEN.glob("*.ly")) == sorted(golden_texts())


def test_contents_take_as_many_pages_as_they_need() -> None:
    entries = [
        ContentsEntry(n, "Breakwater March", "Clarinet", "Bar 3", "", 1) for n in range(1, 60)
    ]
    made = engrave([contents_text("Spring concert", date(2027, 3, 1), entries, Page(), MARK)])
    assert made.warnings == ()
    assert 2 <= made.pages[0][0] <= 5


def test_the_same_sheet_gives_the_same_text() -> None:
    assert sheets_text([run_sheet()], Page(), MARK) == sheets_text([run_sheet()], Page(), MARK)
    assert run_part().bars[0].voices


if __name__ == "__main__":
    GOLDEN.mkdir(exist_ok=True)
    for file_name, golden in golden_texts().items():
        (GOLDEN / file_name).write_text(normalised(golden), encoding="utf-8")
