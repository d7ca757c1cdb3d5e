"""What the trade says: on an instrument one move is harder than another.

Sources.  Where a page or an article was read it is named; it may speak of a kind of
move ("two fingers, best of one hand"), and then the row is an instance of it.
"common practice" has no single source.  "from memory" was not read again.  Manuals of
instrumentation print lists of shakes and tremolos (C.-M. Widor's of 1904, in English
1906; C. Forsyth's of 1914): their tables could not be read here, so nothing is taken
from them.
"""

from __future__ import annotations

from dataclasses import dataclass

COMMON = "common practice"
ALLEN = "A. J. Allen, Saxophone Trill Fingerings, The Instrumentalist, August 2020"
TRICKY = "Tricky Trills for Saxophone, The Instrumentalist, October 2017"
EB_AFTER_C = "svrspy.blogspot.com, 17 May 2006: C next to E flat needs the left little finger"
THIRD_OCTAVE = "drcatesflutetips.wordpress.com, About the third octave, 14 December 2014"
BARRET = "A. Barret, Technical Development on the Oboe"
LITTLE_FINGERS = "flashdesigner.com.hk, Oboe fingering: the little fingers"
OBOE_F = "oboeinsight.com, The F words, 29 July 2006"
MILLARD = "C. Millard, In the Money: C sharp 4 to F sharp 4 the most difficult cluster"
LATERAL = "C. West, Solving the Woodwind Puzzle: avoid lateral motion"
CORCORAN = "G. Corcoran, Problems with Third Valve Technique, The Instrumentalist, May 1980"
STRAIGHT = "a forum of trombonists: without trigger B flat to B natural is the biggest problem"
BIS = "palmkeys.blogspot.com, 22 February 2015, and karla.news: bis, but never beside B"
PIMENTEL = (
    "B. Pimentel, Woodwind trill technique, bretpimentel.com: best one finger, index or middle; "
    "of two, those of one hand that move the same way"
)
LEFT_THUMB = (
    "bandestration.com, Bassoons part 3, October 2013: the left thumb plays four notes of the "
    "lowest half octave alone, so technique is slower there; low D flat to E flat is the one "
    "impossible trill"
)
HAFFNER = (
    "a forum of bassoonists (idrs.org, topic 14322): B to C sharp has no trill that works well"
)
C_SHARP_KEY = (
    "brannenflutes.com, Trills: what a C sharp trill key is for; without it B to C sharp takes "
    "two fingers, and F sharp, G and G sharp to the tone above are awkward in the third octave"
)
MEMORY = "common practice, from memory"
MATHIE = "D. Mathie, Alternate Positions, trombone.org, 2021: avoid awkward slide motion"


@dataclass(frozen=True, slots=True)
class Said:
    """One statement of the trade."""

    instrument: str
    harder: str
    easier: str
    source: str = COMMON
    standard: bool = False
    """True where it speaks of standard fingerings or positions alone."""


SAXOPHONE = "alto saxophone"
STATEMENTS = (
    Said(SAXOPHONE, "Bb3 B3", "C5 D5", ALLEN),
    Said(SAXOPHONE, "C4 Eb4", "C5 D5", ALLEN),
    Said(SAXOPHONE, "C4 Eb4", "D4 Eb4", LATERAL),
    Said(SAXOPHONE, "Bb3 C#4", "B3 C4"),
    Said(SAXOPHONE, "Bb3 C#4", "Bb3 B3"),
    Said(SAXOPHONE, "Eb4 E4", "E4 F4", ALLEN),
    Said(SAXOPHONE, "C5 D5", "D5 E5", TRICKY, standard=True),
    Said(SAXOPHONE, "C5 D5", "A4 B4", TRICKY, standard=True),
    Said(SAXOPHONE, "C#5 D5", "B4 C#5", TRICKY, standard=True),
    Said(SAXOPHONE, "C6 D6", "A5 B5"),
    Said(SAXOPHONE, "D6 Eb6", "D5 Eb5"),
    Said(SAXOPHONE, "E6 F6", "E5 F5"),
    Said(SAXOPHONE, "G#4 C#4", "G4 D4", standard=True),
    Said(SAXOPHONE, "D4 D6", "D4 D5"),
    Said(SAXOPHONE, "A4 A5", "A4 B4"),
    Said(SAXOPHONE, "B3 C#4", "C4 D4", LATERAL),
    Said(SAXOPHONE, "Bb3 C4", "D4 E4"),
    Said(SAXOPHONE, "B3 D4", "D4 F4"),
    Said(SAXOPHONE, "F4 F#4", "E4 F#4", PIMENTEL, standard=True),
    Said(SAXOPHONE, "B4 C5", "A4 C5", PIMENTEL, standard=True),
    Said(SAXOPHONE, "B4 C5", "B4 A4", PIMENTEL, standard=True),
    Said(SAXOPHONE, "C4 D4", "D4 E4", PIMENTEL),
    Said(SAXOPHONE, "G4 G#4", "A4 B4", PIMENTEL),
    Said(SAXOPHONE, "Bb3 B4", "D4 B4"),
    Said(SAXOPHONE, "Bb3 Bb4", "D4 D5"),
    Said(SAXOPHONE, "B3 C#5", "G4 C#5"),
    Said(SAXOPHONE, "D5 D6", "G4 G5"),
    Said(SAXOPHONE, "A5 D6", "C#6 D6"),
    Said(SAXOPHONE, "B5 Eb6", "D6 Eb6"),
    Said(SAXOPHONE, "G#4 B3", "G#4 A4", LATERAL, standard=True),
    Said(SAXOPHONE, "C4 F6", "C5 F5", MEMORY),
    Said(SAXOPHONE, "F4 Bb4", "G4 Bb4", standard=True),
    Said(SAXOPHONE, "D4 D5", "C#5 D5", MEMORY),
    Said("baritone saxophone", "A3 C#4", "D4 E4", MEMORY),
    Said("clarinet", "Bb4 B4", "A4 Bb4"),
    Said("clarinet", "Bb4 B4", "B4 C5"),
    Said("clarinet", "A4 B4", "G4 A4"),
    Said("clarinet", "A4 B4", "D5 E5"),
    Said("clarinet", "Bb4 C5", "C5 D5"),
    Said("clarinet", "C5 Eb5", "D5 Eb5", EB_AFTER_C),
    Said("clarinet", "C5 Eb5", "C5 D5", EB_AFTER_C),
    Said("clarinet", "B4 C#5", "C#5 D5"),
    Said("clarinet", "F#4 G#4", "F4 G4"),
    Said("clarinet", "C6 D6", "B5 C6"),
    Said("clarinet", "E4 B5", "E4 B4"),
    Said("bass clarinet", "Bb4 B4", "G4 A4"),
    Said("clarinet", "A4 C5", "A4 Bb4"),
    Said("clarinet", "Bb4 D5", "D5 F5"),
    Said("clarinet", "G4 B4", "G4 A4"),
    Said("clarinet", "G#4 B4", "G#4 A4"),
    Said("clarinet", "A4 E5", "E5 A5"),
    Said("clarinet", "F4 F#4", "E4 F4", PIMENTEL, standard=True),
    Said("clarinet", "Bb3 B3", "A3 Bb3", PIMENTEL, standard=True),
    Said("clarinet", "F5 F#5", "E5 F5", PIMENTEL, standard=True),
    Said("clarinet", "F3 F#3", "G3 A3", PIMENTEL),
    Said("clarinet", "C5 C#5", "C5 D5", LATERAL),
    Said("clarinet", "Ab3 Bb3", "A3 Bb3", PIMENTEL),
    Said("clarinet", "B5 C#6", "B5 C6"),
    Said("clarinet", "C#6 D6", "B5 C6"),
    Said("clarinet", "D6 E6", "D5 E5"),
    Said("clarinet", "C6 Eb6", "A5 C6"),
    Said("clarinet", "G4 G5", "E4 B4", MEMORY),
    Said("bass clarinet", "C3 D3", "G3 A3", MEMORY),
    Said("flute", "C5 D5", "D5 E5"),
    Said("flute", "C5 D5", "B4 C5"),
    Said("flute", "C#5 D5", "C5 C#5"),
    Said("flute", "E4 F#4", "F4 G4"),
    Said("flute", "C4 Eb4", "D4 Eb4", LATERAL),
    Said("flute", "C#4 Eb4", "C#4 D4", LATERAL),
    Said("flute", "E6 F#6", "E5 F5", THIRD_OCTAVE),
    Said("flute", "F6 G6", "F5 G5", THIRD_OCTAVE),
    Said("flute", "G#6 A6", "G#5 A5", THIRD_OCTAVE),
    Said("flute", "B4 C#5", "B4 C5", C_SHARP_KEY),
    Said("flute", "F#6 G#6", "F#5 G#5", C_SHARP_KEY),
    Said("flute", "G6 A6", "G5 A5", C_SHARP_KEY),
    Said("flute", "C4 C#4", "D4 Eb4", LATERAL),
    Said("flute", "B3 C#4", "D4 E4", LATERAL),
    Said("flute", "F4 F#4", "F4 G4", PIMENTEL),
    Said("flute", "A4 Bb4", "A4 B4", PIMENTEL, standard=True),
    Said("flute", "G4 G#4", "A4 B4", PIMENTEL),
    Said("flute", "D6 E6", "D5 E5", THIRD_OCTAVE),
    Said("flute", "Eb6 F6", "Eb5 F5", THIRD_OCTAVE),
    Said("flute", "C6 D6", "B5 C6", THIRD_OCTAVE),
    Said("flute", "E5 E6", "E5 F5"),
    Said("piccolo", "C#5 D5", "E5 F5"),
    Said("oboe", "C5 D5", "B4 C5", BARRET),
    Said("oboe", "C5 D5", "D4 D5", BARRET),
    Said("oboe", "C4 C#4", "C#4 D4", LITTLE_FINGERS),
    Said("oboe", "B3 Bb3", "B3 C4", LITTLE_FINGERS),
    Said("oboe", "D4 F4", "E4 F4", OBOE_F),
    Said("oboe", "G5 A5", "G4 A4"),
    Said("oboe", "B3 C#4", "D4 E4", LITTLE_FINGERS),
    Said("oboe", "Bb3 C4", "D4 E4", LITTLE_FINGERS),
    Said("oboe", "C4 Eb4", "D4 Eb4", LATERAL),
    Said("oboe", "C#4 Eb4", "D4 Eb4", LATERAL),
    Said("oboe", "Eb4 F4", "E4 F4", OBOE_F),
    Said("oboe", "C5 C#5", "B4 C5", BARRET),
    Said("oboe", "G#5 A5", "A5 B5"),
    Said("oboe", "C6 D6", "B5 C6"),
    Said("oboe", "Bb3 C5", "D4 C5", MEMORY),
    Said("English horn", "C5 D5", "G4 A4", BARRET),
    Said("bassoon", "F3 F#3", "E3 F3"),
    Said("bassoon", "F3 G3", "E3 F3"),
    Said("bassoon", "C#2 Eb2", "C2 D2", LATERAL),
    Said("bassoon", "D2 E2", "F2 G2"),
    Said("bassoon", "C3 C#3", "C3 D3"),
    Said("bassoon", "E4 F#4", "B3 C4", MILLARD),
    Said("bassoon", "C#2 Eb2", "G2 A2", LEFT_THUMB),
    Said("bassoon", "C#2 Eb2", "Bb2 C3", LEFT_THUMB),
    Said("bassoon", "Bb1 C2", "G2 A2", LEFT_THUMB),
    Said("bassoon", "B1 C#2", "F2 G2", LEFT_THUMB),
    Said("bassoon", "C2 D2", "G2 A2", LEFT_THUMB),
    Said("bassoon", "B2 C#3", "B2 C3", HAFFNER),
    Said("bassoon", "E2 F#2", "F2 G2", LATERAL, standard=True),
    Said("bassoon", "F#2 G#2", "G2 A2", LATERAL, standard=True),
    Said("bassoon", "G4 A4", "A3 B3", MEMORY),
    Said("trumpet", "G#4 A4", "A4 Bb4", CORCORAN),
    Said("trumpet", "G#4 A4", "Bb4 B4", CORCORAN),
    Said("trumpet", "Eb4 E4", "E4 F4", CORCORAN),
    Said("trumpet", "D4 Eb4", "F4 F#4", CORCORAN),
    Said("cornet", "C#4 D4", "B4 C5"),
    Said("trumpet", "C4 C5", "G4 C5"),
    Said("horn in F", "C3 C5", "C4 C5"),
    Said("horn in F", "F5 G5", "F4 G4"),
    Said("horn in F", "G4 G#4", "F#4 G4"),
    Said("tuba", "C2 C#2", "D2 Eb2"),
    Said("trombone", "Bb2 B2", "Bb2 A2", STRAIGHT, standard=True),
    Said("trombone", "Bb2 C3", "F3 E3", MATHIE, standard=True),
    Said("trombone", "F3 C3", "F3 Eb3", MATHIE, standard=True),
    Said("trombone", "Bb2 B2", "B2 C3", STRAIGHT),
    Said("trumpet", "D4 E4", "F4 G4"),
    Said("trumpet", "Eb4 F4", "F4 G4", CORCORAN),
    Said("trumpet", "G#4 Bb4", "A4 B4", CORCORAN),
    Said("trumpet", "F#4 G#4", "F#4 G4", CORCORAN),
    Said("trumpet", "G#5 A5", "A5 Bb5", CORCORAN),
    Said("trumpet", "C#4 E4", "C4 E4", MEMORY),
    Said("trumpet", "C4 G5", "C4 G4"),
    Said("trumpet", "B5 C6", "B4 C5"),
    Said("trumpet", "G4 E5", "G4 C5"),
    Said("horn in F", "C4 G5", "C4 G4"),
    Said("horn in F", "G5 A5", "G4 A4"),
    Said("horn in F", "Bb4 Bb5", "Bb4 C5", MEMORY),
    Said("euphonium", "Db3 D3", "D3 Eb3", CORCORAN),
    Said("euphonium", "Bb2 F4", "Bb2 F3", MEMORY),
    Said("tuba", "Bb1 F3", "Bb1 F2", MEMORY),
    Said("trombone", "B2 A2", "A2 Ab2", STRAIGHT, standard=True),
    Said("trombone", "E2 Bb2", "F2 Bb2", MATHIE, standard=True),
    Said("trombone", "C3 D3", "D3 Eb3", MATHIE, standard=True),
    Said("trombone", "F3 Gb3", "F3 E3", MATHIE, standard=True),
    Said("trombone", "D4 Eb4", "Eb4 E4", MATHIE, standard=True),
    Said("trombone", "Bb3 B3", "Bb3 A3", MATHIE, standard=True),
    Said("trombone", "Bb2 D4", "Bb2 F3", MEMORY),
)
