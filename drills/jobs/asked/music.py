"""Which music: the place, the part, the tempo, the chords, and for whose instrument."""

from __future__ import annotations

from typing import Final

from drills.harmony.tuning import TunedFrom
from drills.jobs.asked import values
from drills.jobs.asked.choice import Choice, Heading, Kind
from drills.reading.given import read_key, read_metre
from drills.rewriting.asked import How

_NOTES: Final = Choice(
    "notes",
    'Bars typed by hand, in place of a score: "4/4 F major: 16ths c5 bb4 c5 e5 ...", or ABC. '
    "Without --at all of them are meant.",
    Heading.WHERE,
    ("sheet", "spots", "click", "show", "write"),
    unit="BARS",
    first=("sheet", "write"),
    data="sheet:sheets.spot.line",
)
_INSTRUMENT: Final = Choice(
    "instrument",
    "What the part is played on, where the score has an odd name for it or none.",
    Heading.HARD,
    ("sheet", "spots", "click"),
    "drill",
    unit="NAME",
    data="spots:instruments.name",
)
_TEMPO: Final = Choice(
    "tempo",
    "Performing tempo in beats a minute, of the place where the spot begins, or with its note "
    "value: half=66. Through changes of metre notes keep their length.",
    Heading.TEMPO,
    ("sheet", "spots", "click", "take", "section"),
    unit="NUMBER",
    usually="the score's",
    read=values.read_tempo,
    first=("sheet", "spots", "click", "section"),
    book="tempo",
    data="sheet:sheets.tempo.number",
)
_AT: Final = Choice(
    "at",
    "Where the hard spot is; several with commas, or give --at again. Without it, the spots that "
    'the score marks with the word "drill".',
    Heading.WHERE,
    ("sheet",),
    unit="PLACES",
    read=values.read_places,
    several=True,
    first=("sheet", "click", "section", "hand-out"),
    book="at",
    data="sheet:sheets.spot.asked",
)
_CHORD: Final = Choice(
    "chord",
    "What the chord is in this place, as your part writes it: E:3=C7. Goes with --functions; give "
    "it once for each chord.",
    Heading.CHORDS,
    ("sheet", "take"),
    "chords",
    unit="PLACE=CHORD",
    read=values.read_said,
    several=True,
    data="sheet:sheets.drills.chords",
)
_VOICE: Final = Choice(
    "voice",
    "The voice to take where a staff has several.",
    Heading.WHERE,
    ("sheet", "click", "take"),
    "drill",
    unit="NAME",
    data="sheet:sheets.spot.voice",
)

_SILENT: Final = ("sheet", "spots", "click", "take", "section", "hand-out", "show", "write")

WHERE: Final = (
    _AT,
    _AT.but("hand-out", says="Where the hard spots of a score are; a book names its own."),
    _AT.but(
        "click",
        says="Where the hard spot is; several with commas, or give --at again: a file for each. "
        'Without it, the spots that the score marks with the word "drill".',
    ),
    _AT.but(
        "section",
        says="Where the hard spot is, as most of the parts read it; several with commas, or give "
        "--at again.",
        data="section:asked",
    ),
    _NOTES,
    _NOTES.but(
        "section",
        says="Bars typed by hand, once for each player, each with its --instrument in the same "
        "order; they may stand beside scores.",
        several=True,
    ),
    _AT.but(
        "take",
        says="Where it was played: one place.",
        unit="PLACE",
        read=None,
        several=False,
        first=("take",),
        book="",
        data="take:takes.asked",
    ),
    Choice(
        "new",
        "Write a first book from the scores in a folder and the spots that they mark. Where a book "
        "exists, --force adds what is new and keeps your own lines.",
        Heading.WHERE,
        ("book",),
        kind=Kind.PATH,
        unit="FOLDER",
        first=("book",),
    ),
    Choice(
        "part",
        "The part to take where the score has several: its name or its number.",
        Heading.WHERE,
        ("sheet", "spots", "click", "take", "book", "hand-out", "show", "write"),
        unit="NAME",
        first=("sheet", "spots", "click", "take", "hand-out", "show"),
        book="part",
        data="sheet:sheets.part",
    ),
    Choice(
        "parts",
        "The players of the section, by name or number, with commas; else all that play pitches. "
        "Chords are read from the whole score all the same.",
        Heading.WHERE,
        ("section",),
        unit="NAMES",
        read=values.read_names,
        several=True,
        first=("section",),
        data="section:players.part",
    ),
    Choice(
        "players",
        "How many players a staff is for, where it does not say so: Trombones=3. A staff whose "
        "name lists its players, or a wind player's with chords, is shared out without it.",
        Heading.WHERE,
        ("section",),
        unit="STAFF=COUNT",
        read=values.read_players,
        several=True,
        data="section:players.part",
    ),
    Choice(
        "leader_only",
        "Write the leader's pages alone, without a file for each player.",
        Heading.FILES,
        ("section",),
        kind=Kind.FLAG,
    ),
    Choice(
        "metre",
        "The metre, where a file gives none (MIDI, ABC, Humdrum, MEI): 6/8. It goes before what a "
        "MIDI file says itself.",
        Heading.WHERE,
        _SILENT,
        "given",
        unit="METRE",
        usually="4/4 is assumed, or asked for",
        read=read_metre,
        book="metre",
        data="part:bars.time",
    ),
    Choice(
        "key",
        'The key that sounds, where a file gives none: "F major". It goes before what a MIDI file '
        "says itself.",
        Heading.WHERE,
        _SILENT,
        "given",
        unit="KEY",
        usually="none is assumed, or it is asked for",
        read=read_key,
        book="key",
        data="part:bars.key",
    ),
    _VOICE,
    _VOICE.but("spots", says="The voice to judge where a staff has several.", data="spots:voice"),
    Choice(
        "move",
        'Only tell the cost of going from note to note: "D4 D5". Takes no score.',
        Heading.WHERE,
        ("spots",),
        unit="NOTES",
        data="spots:moves",
    ),
)

HARD: Final = (
    Choice(
        "hardest",
        "Add this many of the hardest spots that drills finds, after those you name.",
        Heading.HARD,
        ("sheet",),
        kind=Kind.COUNT,
        unit="COUNT",
        limits=(1, 99),
        first=("sheet",),
    ),
    _INSTRUMENT,
    _INSTRUMENT.but(
        "show",
        "write",
        says="What the typed notes are played on: it sets clef and transposition.",
        into="",
        heading=Heading.WHERE,
        first=("write",),
    ),
    _INSTRUMENT.but(
        "section",
        says="What typed notes are played on; once for each --notes, in the same order.",
        into="",
        heading=Heading.WHERE,
        several=True,
        data="section:players.part",
    ),
    Choice(
        "weights",
        "A settings file (TOML) that says how much each reason counts.",
        Heading.HARD,
        ("sheet", "spots"),
        kind=Kind.PATH,
        unit="FILE",
        data="spots:terms.weight",
    ),
    Choice(
        "hardest",
        "Put this many of the hardest passages of each part into a new book too.",
        Heading.HARD,
        ("book",),
        kind=Kind.COUNT,
        unit="COUNT",
        limits=(1, 99),
        first=("book",),
    ),
    Choice(
        "top",
        "How many passages to show.",
        Heading.HARD,
        ("spots",),
        kind=Kind.COUNT,
        unit="COUNT",
        limits=(1, 999),
        usual="10",
        first=("spots",),
        data="spots:spots",
    ),
    Choice(
        "ranks",
        "Of these only some, by their rank: 1,3-5.",
        Heading.HARD,
        ("spots",),
        unit="NUMBERS",
        read=values.read_ranks,
        data="spots:spots.rank",
    ),
)

CHORDS: Final = (
    Choice(
        "functions",
        "Tell what each note is in the chord, and add a drill of the chords: from the chord "
        "symbols, or where there are none from the notes of the whole score.",
        Heading.CHORDS,
        ("sheet", "book"),
        "chords",
        kind=Kind.FLAG,
        data="sheet:sheets.spot.line.functions",
    ),
    Choice(
        "functions",
        "Say too how far each note is from the pure tuning of its chord: from the chord symbols, "
        "or where there are none from the notes of the whole score. In a drill each note keeps "
        "the chord of the spot.",
        Heading.CHORDS,
        ("take",),
        "chords",
        kind=Kind.FLAG,
        data="take:takes.times.notes.pure_cents",
    ),
    _CHORD,
    _CHORD.but(
        "section",
        says="What the chord is in this place, in concert pitch, whatever the score or its notes "
        "say: E:3=C7. Give it once for each chord.",
        data="section:slices.chord",
    ),
    Choice(
        "tune_from",
        "The tone of a chord that stays where the tuner has it: its root, its bass, or the note "
        "that the highest player holds in it (melody).",
        Heading.CHORDS,
        ("sheet", "section", "click", "take"),
        "tuned",
        "zero",
        kind=Kind.WORD,
        unit="TONE",
        usual=TunedFrom.ROOT.value,
        words=tuple(one.value for one in TunedFrom),
        read=TunedFrom,
        data="section:slices.notes.cents",
    ),
    Choice(
        "natural_seventh",
        "Tune the seventh of a dominant as the natural harmonic, 31 cents low; it is 4 cents low "
        "otherwise.",
        Heading.CHORDS,
        ("sheet", "section", "click", "take"),
        "tuned",
        "natural",
        kind=Kind.FLAG,
        data="section:slices.notes.cents",
    ),
    Choice(
        "section_cells",
        "The most cells that all play together, after the chords built up; 0 for none.",
        Heading.CHORDS,
        ("section",),
        kind=Kind.COUNT,
        unit="COUNT",
        limits=(0, 99),
        usually="8; from nine staves on the page stops after the chords",
    ),
)

INSTRUMENT: Final = (
    Choice(
        "for_instrument",
        "Rewrite the music for this instrument: key, clef, and octaves into its range.",
        Heading.INSTRUMENT,
        ("sheet", "click", "take", "section", "book", "hand-out"),
        "wanted",
        flags=("--for",),
        unit="INSTRUMENT",
        book="for",
        data="sheet:sheets.instrument.name",
    ),
    Choice(
        "for_pitch",
        "What stays the same with --for: the sounding pitch, or the written notes.",
        Heading.INSTRUMENT,
        ("sheet", "click", "take", "section", "book", "hand-out"),
        "wanted",
        kind=Kind.WORD,
        unit="PITCH",
        usually=How.SOUNDING.value,
        words=tuple(how.value for how in How),
        book="for-pitch",
        data="sheet:sheets.instrument.transposition",
    ),
)

TEMPO: Final = (_TEMPO,)

CHOICES: Final = (*WHERE, *HARD, *CHORDS, *INSTRUMENT, *TEMPO)
