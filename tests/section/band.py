"""A band of twenty-two staves in MusicXML, composed by this script: for tests of its players.

Eight bars of 4/4 in B flat: a harmony in whole bars that every staff plays from in its own
way, so that each player's notes can be worked out here without the program.  Shared staves
("Trombone 1, 2" in chords, "Horn 1, 2 in F" in two voices, trumpets in one line with "a2" and
"1."), divided cornets, a drum kit that is written with pitches, groups whose parts are called
"1" and "2".  ``players`` says what each player has: that is the truth the tests compare with.
"""

from __future__ import annotations

from dataclasses import dataclass
from xml.sax.saxutils import escape

BARS = 8
CHORDS = (
    *("Bb2 F4 Bb4 D5 F5", "Eb2 G4 Bb4 Eb5 G5", "F2 A4 C5 F5 A5", "Bb2 F4 Bb4 D5 F5"),
    *("G2 G4 Bb4 D5 G5", "C2 G4 Bb4 C5 Eb5", "F2 A4 C5 Eb5 A5", "Bb2 F4 Bb4 D5 F5"),
)
"""Sounding, from the bass up: five notes in each bar."""

Line = tuple[str, ...]
"""One sounding pitch for each bar; "" for a bar of rest."""


@dataclass(frozen=True)
class Staff:
    """A staff of the score."""

    name: str
    players: tuple[tuple[str, Line], ...]
    """Each with the notes that they play, sounding, as the truth has it."""
    how: str = "line"
    """"line", "chord" (all in one voice), "voices" or "said" (one line with words)."""
    chromatic: int = 0
    diatonic: int = 0
    group: str = ""
    drums: bool = False


def _row(place: int) -> Line:
    return tuple(chord.split()[place] for chord in CHORDS)


def _only(line: Line, *bars: int) -> Line:
    return tuple(pitch if bar in bars else "" for bar, pitch in enumerate(line))


BASS, LOW, MIDDLE, UPPER, TOP = (_row(place) for place in range(5))
B_FLAT, E_FLAT, IN_F = (-2, -1), (-9, -5), (-7, -4)

STAVES = (
    Staff("Piccolo", (("Piccolo", TOP),)),
    Staff("Flute 1, 2", (("Flute 1", TOP), ("Flute 2", UPPER)), "chord"),
    Staff("Oboe", (("Oboe", UPPER),)),
    Staff("Bassoon 1 & 2", (("Bassoon 1", LOW), ("Bassoon 2", BASS)), "voices"),
    Staff("Clarinet in E flat", (("Clarinet in E flat", TOP),), "line", 3, 2),
    *(Staff(f"Clarinet {n}", ((f"Clarinet {n}", row),), "line", *B_FLAT)
      for n, row in ((1, TOP), (2, UPPER), (3, MIDDLE))),
    Staff("Alto saxophone 1", (("Alto saxophone 1", MIDDLE),), "line", *E_FLAT),
    Staff("Alto saxophone 2", (("Alto saxophone 2", LOW),), "line", *E_FLAT),
    Staff("Tenor saxophone", (("Tenor saxophone", LOW),), "line", -14, -8),
    Staff("Trumpet 1, 2", (("Trumpet 1", _only(TOP, 0, 1, 2, 3, 4, 5)),
                           ("Trumpet 2", _only(TOP, 0, 1, 4, 5))), "said", *B_FLAT),
    Staff("Cornets", (("Cornet 1", UPPER), ("Cornet 2", MIDDLE)), "chord", *B_FLAT),
    Staff("Horn 1, 2 in F", (("Horn 1 in F", MIDDLE), ("Horn 2 in F", LOW)), "voices", *IN_F),
    Staff("3", (("Horn 3 in F", LOW),), "line", *IN_F, group="Horns in F"),
    Staff("Trombone 1, 2", (("Trombone 1", MIDDLE), ("Trombone 2", LOW)), "chord"),
    Staff("Bass trombone", (("Bass trombone", BASS),)),
    Staff("Euphonium", (("Euphonium", LOW),)),
    Staff("Tuba", (("Tuba", BASS),)),
    Staff("Double bass", (("Double bass", BASS),), "line", -12, -7),
    Staff("Timpani", (("Timpani", ("",) * BARS),)),
    Staff("Drum kit", (("Drum kit", ("F#4",) * BARS),), drums=True),
)  # fmt: skip


def players() -> dict[str, Line]:
    """Every player who has pitches, with the notes that they play, sounding."""
    return {
        name: line
        for staff in STAVES
        if not staff.drums
        for name, line in staff.players
        if any(line)
    }


STEPS = "CDEFGAB"
SEMITONES = (0, 2, 4, 5, 7, 9, 11)


def midi(name: str) -> int:
    return (
        12 * int(name[-1])
        + 12
        + SEMITONES[STEPS.index(name[0])]
        + name.count("#")
        - name.count("b")
    )


def written(name: str, staff: Staff) -> tuple[str, int, int]:
    """Step, alteration and octave of a sounding pitch as a staff writes it."""
    place = STEPS.index(name[0]) + 7 * int(name[-1]) - staff.diatonic
    octave, step = divmod(place, 7)
    alter = midi(name) - staff.chromatic - (12 * octave + 12 + SEMITONES[step])
    return STEPS[step], alter, octave


def _note(name: str, staff: Staff, voice: int = 1, *, chord: bool = False) -> str:
    if not name:
        return f"<note><rest/><duration>4</duration><voice>{voice}</voice><type>whole</type></note>"
    step, alter, octave = written(name, staff)
    altered = f"<alter>{alter}</alter>" if alter else ""
    return (
        f"<note>{'<chord/>' if chord else ''}<pitch><step>{step}</step>{altered}"
        f"<octave>{octave}</octave></pitch><duration>4</duration><voice>{voice}</voice>"
        f"<type>whole</type></note>"
    )


SAID = {0: "a2", 2: "1.", 4: "a 2"}
"""Words over the line of the trumpets; from bar 7 on nobody plays."""


def _measure(staff: Staff, bar: int) -> str:
    lines = [line[bar] for _, line in staff.players]
    if staff.how == "voices":
        return (
            _note(lines[0], staff) + "<backup><duration>4</duration></backup>"
            + _note(lines[1], staff, 2)
        )  # fmt: skip
    if staff.how == "said":
        words = SAID.get(bar)
        said = (
            f"<direction><direction-type><words>{words}</words></direction-type></direction>"
            if words
            else ""
        )
        return said + _note(lines[0], staff)
    low_first = [pitch for pitch in reversed(lines) if pitch] or [""]
    return "".join(_note(pitch, staff, chord=place > 0) for place, pitch in enumerate(low_first))


def band(staves: tuple[Staff, ...] = STAVES) -> str:
    """The score."""
    listed = "".join(_listed(number, staff) for number, staff in enumerate(staves, 1))
    parts = "".join(_part(number, staff) for number, staff in enumerate(staves, 1))
    return (
        '<?xml version="1.0" encoding="UTF-8"?><score-partwise version="4.0">'
        "<work><work-title>Harbour Lights</work-title></work>"
        f"<part-list>{listed}</part-list>{parts}</score-partwise>"
    )


def _listed(number: int, staff: Staff) -> str:
    drums = (
        f'<score-instrument id="P{number}-I1"><instrument-name>{staff.name}</instrument-name>'
        f'</score-instrument><midi-instrument id="P{number}-I1"><midi-channel>10</midi-channel>'
        "</midi-instrument>"
        if staff.drums
        else ""
    )
    name = f"<part-name>{escape(staff.name)}</part-name>"
    listed = f'<score-part id="P{number}">{name}{drums}</score-part>'
    if not staff.group:
        return listed
    named = f"<group-name>{staff.group}</group-name>"
    return (
        f'<part-group type="start" number="1">{named}</part-group>{listed}'
        '<part-group type="stop" number="1"/>'
    )


def _part(number: int, staff: Staff) -> str:
    moved = (
        f"<transpose><diatonic>{staff.diatonic}</diatonic><chromatic>{staff.chromatic}</chromatic>"
        "</transpose>"
        if staff.chromatic
        else ""
    )
    first = (
        "<attributes><divisions>1</divisions><key><fifths>0</fifths></key>"
        f"<time><beats>4</beats><beat-type>4</beat-type></time>{moved}</attributes>"
    )
    measures = "".join(
        f'<measure number="{bar + 1}">{first if bar == 0 else ""}{_measure(staff, bar)}</measure>'
        for bar in range(BARS)
    )
    return f'<part id="P{number}">{measures}</part>'
