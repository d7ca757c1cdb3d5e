"""Instruments: what they are called, how they transpose, how far they reach.

Transpositions and ranges are common practice, as the orchestration handbooks
give them.  Ranges are WRITTEN pitches of the ordinary instrument without rare
extensions; they are for orientation, not for refusing a note.  Names: English,
with the German, French and Italian ones that stand in printed parts, and the
usual abbreviations.

The file's own ``<transpose>`` always wins; this table says what an instrument
is, and whether a part without ``<transpose>`` is likely to miss one.
"""
# ruff: noqa: E501

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache, lru_cache
from typing import Final

from drills.errors import UsageError
from drills.music.pitch import CONCERT, Pitch, Transposition
from drills.music.score import TREBLE, UNNAMED, Clef, Instrument


@dataclass(frozen=True, slots=True)
class InstrumentFact:
    """One row of the table."""

    name: str
    """As printed on a sheet, such as "Clarinet in A"."""
    family: str
    transposition: Transposition
    """From written to sounding, as the instrument is usually written."""
    low: Pitch | None
    """Lowest written pitch; None for unpitched percussion."""
    high: Pitch | None
    """Highest written pitch in ordinary use."""
    aliases: tuple[str, ...]
    """Other names in lower case without accents, dots and numbers."""
    key: str = ""
    """The pitch it is named after, where it comes in several: "bb", "a", "eb"."""
    program: int = 0
    """General MIDI program number from 1; 0 where General MIDI has none of its own."""
    stand_in: int = 0
    """The program that plays it where it has none of its own ("~72" in the table); else 0."""
    sound: str = ""
    """Start of the MusicXML 4.0 standard sound identifiers that mean it."""
    clefs: tuple[Clef, ...] = (TREBLE,)
    """What its players read: the usual clef first, then those for stretches that
    lie too high or too low for it."""

    @property
    def clef(self) -> Clef:
        """The usual clef."""
        return self.clefs[0]

    @property
    def pitched(self) -> bool:
        """False for unpitched percussion, whose heads say what is struck."""
        return self.low is not None


_WOODWIND: Final = """
Piccolo | 7 12 | D4 C7 | piccolo flute, picc, piccoloflote, kleine flote, pikkolo, petite flute, flauto piccolo, ottavino | | 73 | wind.flutes.flute.piccolo
Flute | 0 0 | C4 C7 | fl, flote, querflote, grosse flote, flauto, flutes, flauti, floten, concert flute | | 74 | wind.flutes.flute
Alto flute | -3 -5 | C4 G6 | a fl, altflote, flute alto, flute en sol, flauto contralto, alto fl | | ~74 | wind.flutes.flute.alto
Bass flute | -7 -12 | C4 G6 | b fl, bassflote, flute basse, flauto basso, bass fl | | ~74 | wind.flutes.flute.bass
Oboe | 0 0 | Bb3 G6 | ob, hautbois, oboen, oboi, oboes, hautb | | 69 | wind.reed.oboe
Oboe d'amore | -2 -3 | Bb3 E6 | oboe damore, oboe d amore, hautbois damour, hautbois d amour, liebesoboe | | ~69 | wind.reed.oboe-damore
English horn | -4 -7 | B3 G6 | cor anglais, englischhorn, englisch horn, corno inglese, e h, eng hn, c a, c ang, engl horn, engl hrn | | 70 | wind.reed.english-horn
Bassoon | 0 0 | Bb1 E5 | bsn, bn, fag, fagott, fagotte, fagotto, fagotti, basson, bassons, bassoons | | 71 | wind.reed.bassoon
Contrabassoon | -7 -12 | Bb1 C5 | double bassoon, kontrafagott, contrefagott, controfagotto, contrafagotto, contrebasson, cbsn, c bn, cbn, kfag, c fag | | ~71 | wind.reed.contrabassoon
Clarinet in B flat | -1 -2 | E3 G6 | clarinet, cl, clar, klarinette, klarinetten, klar, kl, clarinette, clarinetto, clarinetti, clarinets, soprano clarinet, solo clarinet, bb clarinet | bb | 72 | wind.reed.clarinet
Clarinet in A | -2 -3 | E3 G6 | clarinet, cl, clar, klarinette, klarinetten, klar, kl, clarinette, clarinetto, clarinetti, clarinets | a | ~72 | wind.reed.clarinet.a
Clarinet in C | 0 0 | E3 G6 | clarinet, cl, clar, klarinette, klarinetten, klar, kl, clarinette, clarinetto, clarinetti, clarinets | c | ~72 | wind.reed.clarinet.c
Clarinet in D | 1 2 | E3 G6 | clarinet, cl, clar, klarinette, klar, kl, clarinette, clarinetto, petite clarinette | d | ~72 | wind.reed.clarinet.d
Clarinet in E flat | 2 3 | E3 G6 | clarinet, cl, clar, klarinette, klar, kl, clarinette, clarinetto, petite clarinette, piccolo clarinet, clarinetto piccolo, sopranino clarinet | eb | ~72 | wind.reed.clarinet.eflat
Alto clarinet | -5 -9 | E3 G6 | a cl, alto cl, altklarinette, clarinette alto, clarinetto contralto | | ~72 | wind.reed.clarinet.alto
Basset clarinet | -2 -3 | C3 G6 | bassettklarinette, clarinette de basset, clarinetto di bassetto | | ~72 | wind.reed.clarinet.basset
Basset horn | -4 -7 | C3 G6 | bassetthorn, cor de basset, corno di bassetto, bst hn | | ~72 | wind.reed.clarinet.basset-horn
Bass clarinet | -8 -14 | Eb3 G6 | b cl, bs cl, bass cl, bcl, bassklarinette, bass klarinette, bkl, clarinette basse, clarinetto basso, clarone | | ~72 | wind.reed.clarinet.bass
Contra-alto clarinet | -12 -21 | Eb3 D6 | contra alto clarinet, contralto clarinet, eb contrabass clarinet, contraalto clarinet, ca cl, contra alto cl | | ~72 | wind.reed.clarinet.contra-alto
Contrabass clarinet | -15 -26 | Eb3 D6 | contra bass clarinet, cb cl, contrabass cl, kontrabassklarinette, clarinette contrebasse, clarinetto contrabbasso | | ~72 | wind.reed.clarinet.contrabass
Sopranino saxophone | 2 3 | Bb3 F6 | sopranino sax, sopranino saxophon, saxophone sopranino, sassofono sopranino, sno sax | | ~66 | wind.reed.saxophone.sopranino
Soprano saxophone | -1 -2 | Bb3 F#6 | soprano sax, sop sax, s sax, ss, sopransaxophon, sopransax, sopran saxophon, saxophone soprano, sax soprano, sassofono soprano | | 65 | wind.reed.saxophone.soprano
Alto saxophone | -5 -9 | Bb3 F#6 | alto sax, a sax, a sx, as, altsaxophon, altsax, alt saxophon, saxophone alto, sax alto, sax contralto, sassofono contralto, alto saxophones, asax | | 66 | wind.reed.saxophone.alto
Tenor saxophone | -8 -14 | Bb3 F#6 | tenor sax, t sax, t sx, ts, tenorsaxophon, tenorsax, tenor saxophon, saxophone tenor, sax tenor, sax tenore, sassofono tenore, tenor saxophones, tsax | | 67 | wind.reed.saxophone.tenor
Baritone saxophone | -12 -21 | A3 F#6 | baritone sax, bari sax, b sax, bar sax, b sx, bs, baritonsaxophon, baritonsax, bariton saxophon, saxophone baryton, sax baryton, sax baritono, sassofono baritono, bsax | | 68 | wind.reed.saxophone.baritone
Bass saxophone | -15 -26 | Bb3 F6 | bass sax, basssaxophon, basssax, saxophone basse, sax basso, sassofono basso | | ~68 | wind.reed.saxophone.bass
Soprano recorder | 7 12 | C4 D6 | descant recorder, sopranblockflote, flute a bec soprano, flauto dolce soprano, recorder, blockflote, s rec | | 75 | wind.flutes.recorder.soprano
Alto recorder | 0 0 | F4 G6 | treble recorder, altblockflote, flute a bec alto, flauto dolce contralto, a rec | | ~75 | wind.flutes.recorder.alto
Tenor recorder | 0 0 | C4 D6 | tenorblockflote, flute a bec tenor, flauto dolce tenore, t rec | | ~75 | wind.flutes.recorder.tenor
Bass recorder | 7 12 | F2 G4 | bassblockflote, flute a bec basse, flauto dolce basso, b rec | | ~75 | wind.flutes.recorder.bass
"""
_BRASS: Final = """
Trumpet in B flat | -1 -2 | F#3 C6 | trumpet, tpt, trp, tr, trompete, trompeten, trompette, tromba, trombe, trumpets, trpt | bb | 57 | brass.trumpet
Trumpet in C | 0 0 | F#3 C6 | trumpet, tpt, trp, tr, trompete, trompeten, trompette, tromba, trombe, trumpets, trpt | c | ~57 | brass.trumpet.c
Trumpet in D | 1 2 | F#3 C6 | trumpet, tpt, trp, tr, trompete, trompeten, trompette, tromba, trombe, trumpets, trpt | d | ~57 | brass.trumpet.d
Trumpet in E flat | 2 3 | F#3 C6 | trumpet, tpt, trp, tr, trompete, trompeten, trompette, tromba, trombe, trumpets, trpt | eb | ~57 | brass.trumpet.eflat
Trumpet in F | 3 5 | F#3 C6 | trumpet, tpt, trp, tr, trompete, trompeten, trompette, tromba, trombe, trumpets, trpt | f | ~57 |
Trumpet in A | -2 -3 | F#3 C6 | trumpet, tpt, trp, tr, trompete, trompeten, trompette, tromba, trombe, trumpets, trpt | a | ~57 |
Piccolo trumpet | 6 10 | F#3 G5 | picc tpt, piccolo tpt, piccolotrompete, petite trompette, tromba piccola, piccolo trumpet in bb, trompette piccolo | | ~57 | brass.trumpet.piccolo
Bass trumpet | -8 -14 | F#3 C6 | basstrompete, trompette basse, tromba bassa, b tpt | | ~57 | brass.trumpet.bass
Cornet in B flat | -1 -2 | F#3 C6 | cornet, cor, cnt, crt, kornett, cornet a pistons, cornetta, cornets, solo cornet, repiano cornet, piston | bb | ~57 | brass.cornet
Cornet in A | -2 -3 | F#3 C6 | cornet, cnt, crt, kornett, cornet a pistons, cornetta | a | ~57 |
Soprano cornet | 2 3 | F#3 C6 | soprano cornet in eb, sop cor, sop cornet, cornet soprano | eb | ~57 | brass.cornet.soprano
Flugelhorn | -1 -2 | F#3 C6 | flugel, flg, flugelhorns, bugle, flicorno, flghn, flugel horn | | ~57 | brass.flugelhorn
Horn in F | -4 -7 | C3 C6 | horn, hn, hrn, hr, french horn, f horn, waldhorn, horner, cor, cors, cor en fa, cor d harmonie, corno, corni, horns, french horns | f | 61 | brass.french-horn
Horn in E flat | -5 -9 | C3 C6 | horn, hn, hrn, hr, french horn, waldhorn, horner, cor, corno, corni, horns | eb | ~61 |
Horn in E | -5 -8 | C3 C6 | horn, hn, hrn, hr, french horn, waldhorn, horner, cor, corno, corni, horns | e | ~61 |
Horn in D | -6 -10 | C3 C6 | horn, hn, hrn, hr, french horn, waldhorn, horner, cor, corno, corni, horns | d | ~61 |
Horn in C | -7 -12 | C3 C6 | horn, hn, hrn, hr, french horn, waldhorn, horner, cor, corno, corni, horns | c | ~61 |
Horn in G | -3 -5 | C3 C6 | horn, hn, hrn, hr, french horn, waldhorn, horner, cor, corno, corni, horns | g | ~61 |
Tenor horn | -5 -9 | F#3 C6 | alto horn, eb horn, althorn, saxhorn alto, genis, t hn, ten hn, alto saxhorn, saxhorn | | ~61 | brass.alto-horn
Mellophone | -4 -7 | F#3 C6 | mello, mph | | ~61 | brass.mellophone
Baritone horn | 0 0 | E2 Bb4 | baritone, bar, bar hn, tenorhorn, baryton, bariton, baritone bc, baritone b c, baritone bass clef | | ~59 | brass.baritone-horn
Baritone horn in treble clef | -8 -14 | F#3 C6 | baritone, bar, bar hn, tenorhorn, baryton, bariton, baritone horn, baritone tc, baritone t c, baritone treble clef | | ~59 |
Euphonium | 0 0 | E2 Bb4 | euph, eufonio, euphonium bc, euphonium b c, euphonium bass clef | | ~59 | brass.euphonium
Euphonium in treble clef | -8 -14 | F#3 C6 | euphonium, euph, eufonio, euphonium tc, euphonium t c, euphonium treble clef, euph tc, euph t c | | ~59 |
Trombone | 0 0 | E2 D5 | tbn, trb, tromb, trbn, posaune, posaunen, pos, trombones, tromboni, tenor trombone, tenorposaune, trombone tenor | | 58 | brass.trombone
Alto trombone | 0 0 | A2 F5 | a tbn, altposaune, trombone alto, trombone contralto | | ~58 | brass.trombone.alto
Bass trombone | 0 0 | Bb1 Bb4 | b tbn, bs tbn, bass tbn, bassposaune, trombone basse, trombone basso, b trb | | ~58 | brass.trombone.bass
Tuba | 0 0 | D1 F4 | tba, tb, bass tuba, basstuba, kontrabasstuba, contrabass tuba, basses, tubas, f tuba, c tuba | | 59 | brass.tuba
Bass in E flat | -12 -21 | F#3 C6 | eb bass, e flat bass, bass eb, eb tuba tc, soubasse | | ~59 |
Bass in B flat | -15 -26 | F#3 C6 | bb bass, b flat bass, bbb bass, bass bb, bb tuba tc | | ~59 |
Sousaphone | 0 0 | D1 F4 | sousa, sousafon | | ~59 | brass.sousaphone
"""
_STRINGS: Final = """
Violin | 0 0 | G3 A7 | vn, vln, vl, violine, violinen, violon, violons, violino, violini, violins, geige | | 41 | strings.violin
Viola | 0 0 | C3 E6 | va, vla, bratsche, bratschen, alto viola, viole, violas | | 42 | strings.viola
Cello | 0 0 | C2 C6 | vc, vlc, violoncello, violoncelli, violoncelle, violoncelles, cellos, celli | | 43 | strings.cello
Double bass | -7 -12 | E2 C5 | db, cb, kb, contrabass, kontrabass, kontrabasse, contrebasse, contrebasses, contrabbasso, contrabbassi, string bass, upright bass, acoustic bass, str bass, double basses | | 44 | strings.contrabass
Guitar | -7 -12 | E3 E6 | gtr, gt, git, gitarre, guitare, chitarra, classical guitar, acoustic guitar | | 25 | pluck.guitar
Electric guitar | -7 -12 | E3 E6 | e gitarre, e guitar, el guitar, guitare electrique, chitarra elettrica | | 28 | pluck.guitar.electric
Bass guitar | -7 -12 | E2 G4 | electric bass, e bass, bassgitarre, guitare basse, basso elettrico, bass gtr, el bass | | 34 | pluck.bass
Harp | 0 0 | B0 G7 | hp, hrp, harfe, harpe, arpa | | 47 | pluck.harp
Mandolin | 0 0 | G3 A6 | mand, mandoline, mandolino | | | pluck.mandolin
Ukulele | 0 0 | C4 A5 | uke | | | pluck.ukulele
Banjo | -7 -12 | C3 A5 | bj, bjo | | 106 | pluck.banjo
"""
_KEYBOARD: Final = """
Piano | 0 0 | A0 C8 | pno, pf, klavier, pianoforte, fortepiano, klav, grand piano, keyboard | | 1 | keyboard.piano
Electric piano | 0 0 | E1 E7 | e piano, el piano, epiano | | 5 | keyboard.piano.electric
Celesta | 7 12 | C3 C7 | cel, celeste | | 9 | keyboard.celesta
Harpsichord | 0 0 | F1 F6 | hpd, cembalo, clavecin, clavicembalo | | 7 | keyboard.harpsichord
Organ | 0 0 | C2 C7 | org, orgel, orgue, organo, pipe organ | | 20 | keyboard.organ
Accordion | 0 0 | F3 A6 | acc, accord, akkordeon, accordeon, fisarmonica | | 22 | keyboard.accordion
Glockenspiel | 14 24 | G3 C6 | glock, glsp, orchestra bells, bells, jeu de timbres, campanelli, lyra | | 10 | pitched-percussion.glockenspiel
Vibraphone | 0 0 | F3 F6 | vib, vibr, vibraphon, vibrafono, vibes | | 12 | pitched-percussion.vibraphone
Marimba | 0 0 | C2 C7 | mar, mrb | | 13 | pitched-percussion.marimba
Xylophone | 7 12 | F3 C7 | xyl, xylo, xylophon, silofono, xylofono | | 14 | pitched-percussion.xylophone
Tubular bells | 0 0 | C4 F5 | chimes, rohrenglocken, cloches, campane, tub bells | | 15 | pitched-percussion.tubular-bells
"""
_PERCUSSION: Final = """
Timpani | 0 0 | D2 C4 | timp, pauken, pk, timbales, kettledrums, timpano | | 48 | drum.timpani
Percussion | 0 0 | - - | perc, schlagzeug, schlagwerk, percussions, batterie, percussione, schlgz, perk | | | drum.group
Drum set | 0 0 | - - | drums, drum kit, drumset, drumkit, dr, d set, dr set, d s | | | drum.group.set
Snare drum | 0 0 | - - | s d, sd, side drum, kleine trommel, kl tr, caisse claire, tamburo, rullante, snare | | | drum.snare-drum
Bass drum | 0 0 | - - | b d, bd, grosse trommel, gr tr, grosse caisse, gran cassa, g c | | | drum.bass-drum
Cymbals | 0 0 | - - | cym, becken, cymbales, piatti, crash cymbals | | | metal.cymbal
Triangle | 0 0 | - - | trgl, triangel, triangolo | | | metal.triangle
Tambourine | 0 0 | - - | tamb, tamburin, tambour de basque, tamburello | | | drum.tambourine
"""
_VOICE: Final = """
Soprano | 0 0 | C4 C6 | sopran, sop, s solo, soprano voice, sopranos | | ~53 | voice.soprano
Mezzo-soprano | 0 0 | A3 A5 | mezzo, mezzo soprano, mezzosopran | | ~53 | voice.mezzo-soprano
Alto | 0 0 | F3 F5 | alt, contralto, alto voice, altos, altus | | ~53 | voice.alto
Tenor | 0 0 | C3 C5 | ten, tenore, tenors, tenor voice | | ~53 | voice.tenor
Bass | 0 0 | E2 E4 | basso, basse, bass voice, bassus | | ~53 | voice.bass
Voice | 0 0 | C3 C6 | vocal, vocals, gesang, singstimme, chant, canto, choir, vox, lead vocal | | 53 | voice
"""
_TABLE: Final = (
    ("woodwind", _WOODWIND),
    ("brass", _BRASS),
    ("strings", _STRINGS),
    ("keyboard", _KEYBOARD),
    ("percussion", _PERCUSSION),
    ("voice", _VOICE),
)

_BASS: Final = Clef("F", 4)
_TENOR: Final = Clef("C", 4)
_ALTO: Final = Clef("C", 3)
_CLEFS: Final = (
    (
        (_BASS, _TENOR),
        *("Bassoon", "Trombone", "Double bass"),
    ),
    ((_BASS, _TENOR, TREBLE), "Cello"),
    (
        (_BASS,),
        *("Contrabassoon", "Bass trombone", "Baritone horn", "Euphonium", "Tuba", "Sousaphone"),
        *("Bass guitar", "Bass recorder", "Timpani", "Bass"),
    ),
    ((_ALTO, _TENOR), "Alto trombone"),
    ((_ALTO, TREBLE), "Viola"),
    ((Clef("G", 2, -1),), "Tenor"),
    (
        (TREBLE, _BASS),
        *(
            "Harp",
            "Piano",
            "Electric piano",
            "Celesta",
            "Harpsichord",
            "Organ",
            "Accordion",
            "Marimba",
        ),
    ),
    (
        (Clef("percussion", 3),),
        *("Percussion", "Drum set", "Snare drum", "Bass drum", "Cymbals", "Triangle"),
        "Tambourine",
    ),
)
"""Clefs and who reads them, common practice; whoever is not here reads the treble clef
alone (the euphonium and the baritone horn have a row of their own in treble clef)."""


@cache
def instrument_facts() -> tuple[InstrumentFact, ...]:
    """The whole table."""
    return tuple(
        _row(line, family) for family, text in _TABLE for line in text.strip().splitlines()
    )


def _row(line: str, family: str) -> InstrumentFact:
    name, steps, written, aliases, key, program, sound = (cell.strip() for cell in line.split("|"))
    diatonic, chromatic = (int(number) for number in steps.split())
    low, high = (None if text == "-" else Pitch.parse(text) for text in written.split())
    names = (plain(name), *(alias.strip() for alias in aliases.split(",")))
    return InstrumentFact(
        name,
        family,
        Transposition(diatonic, chromatic),
        low,
        high,
        tuple(dict.fromkeys(names)),
        key,
        0 if program.startswith("~") else int(program or 0),
        int(program[1:]) if program.startswith("~") else 0,
        sound,
        next((clefs for clefs, *those in _CLEFS if name in those), (TREBLE,)),
    )


def fact_of(instrument: Instrument) -> InstrumentFact | None:
    """The row of an instrument that came from this table."""
    return next((fact for fact in instrument_facts() if fact.name == instrument.name), None)


def plain(text: str) -> str:
    """Lower case, without accents, dots and brackets: what aliases are compared with."""
    text = text.replace("\u266d", "b").replace("\u266f", "#").replace("\u00df", "ss")
    letters = unicodedata.normalize("NFKD", text.casefold())
    kept = "".join(c for c in letters if not unicodedata.combining(c))
    return " ".join(re.sub(r"[^a-z0-9#]+", " ", kept).split())


_KEY_WORDS: Final = (
    (re.compile(r"\b(?:b ?flat|bb|bes|si ?b(?:emolle?)?|sib)\b"), "bb"),
    (re.compile(r"\b(?:e ?flat|eb|es|mi ?b(?:emolle?)?|mib)\b"), "eb"),
    (re.compile(r"\b(?:in|en) (?:h|si|b nat(?:ural)?)\b"), "b"),
    (re.compile(r"\b(?:in|en) (?:a ?flat|ab|as|la ?b(?:emolle?)?)\b"), "ab"),
    (re.compile(r"\b(?:in|en) (?:d ?flat|db|des|re ?b(?:emolle?)?)\b"), "db"),
    (re.compile(r"\b(?:in|en) (?:f ?sharp|f#|fis|g ?flat|gb|ges|fa ?#|fa diese)(?!\w)"), "f#"),
    (re.compile(r"\b(?:in|en) (?:b|sib)\b"), "bb"),
    (re.compile(r"\b(?:in|en) (?:a|la)\b|^a (?=cl|kl)|\bcl(?:arinet|arinette)? a$"), "a"),
    (re.compile(r"\b(?:in|en) (?:c|do|ut)\b|^c (?=tr|tpt|cl)"), "c"),
    (re.compile(r"\b(?:in|en) (?:d|re)\b|^d (?=tr|tpt|cl)"), "d"),
    (re.compile(r"\b(?:in|en) (?:e|mi)\b"), "e"),
    (re.compile(r"\b(?:in|en) (?:f|fa)\b|^f (?=horn|hn|hrn|tr|tpt)"), "f"),
    (re.compile(r"\b(?:in|en) (?:g|sol)\b"), "g"),
)
"""How a name says which pitch an instrument is built in; German B is B flat, German H is B."""
_NUMBERING: Final = re.compile(r"\b(?:\d+(?:st|nd|rd|th|er|e|re)?|i{1,3}|iv|v|vi|solo|ripieno)\b")


def _key_in(name: str) -> str:
    return next((key for pattern, key in _KEY_WORDS if pattern.search(name)), "")


def _rows_called(name: str) -> list[InstrumentFact]:
    """The rows whose longest alias stands in the name as whole words."""
    padded = f" {_NUMBERING.sub(' ', name)} "
    padded = f" {' '.join(padded.split())} "
    best: list[InstrumentFact] = []
    longest = 0
    for fact in instrument_facts():
        for alias in fact.aliases:
            if f" {alias} " in padded and len(alias) >= longest:
                if len(alias) > longest:
                    best, longest = [], len(alias)
                best.append(fact)
    return best


def named_fact(name: str) -> InstrumentFact | None:
    """The row that a part's name means, as ``instrument_of`` finds it; None for no row."""
    told = plain(name)
    rows = _rows_called(told)
    return _chosen(rows, _key_in(told), None) if rows else None


def find_fact(name: str) -> InstrumentFact:
    """The row that a player means by a name, such as "Altsaxophon" or "trumpet in D".

    Raises UsageError, with the nearest names, for one that the table does not
    have, or does not have in the pitch that the name gives.
    """
    told = plain(name)
    rows, key = _rows_called(told), _key_in(told)
    if not rows:
        raise UsageError(f"{name!r} is no instrument that is known; {_nearest(told)}")
    chosen = _chosen(rows, key, None)
    if key and chosen.key and chosen.key != key:
        known = ", ".join(fact.name for fact in rows)
        raise UsageError(f"{name!r} is not known in that pitch; known are {known}")
    return chosen


def _nearest(told: str) -> str:
    """A few names for somebody who typed another: alike, or with the same word in them."""
    names = {alias: fact.name for fact in reversed(instrument_facts()) for alias in fact.aliases}
    alike = [names[alias] for alias in get_close_matches(told, names, 4, 0.7)]
    within = [fact.name for fact in instrument_facts() if told and told in plain(fact.name)]
    found = list(dict.fromkeys((*within, *alike)))[:6]
    if not found:
        return 'write it as a part would, such as "alto saxophone" or "horn in F"'
    return (
        f"did you mean {' or '.join((', '.join(found[:-1]), found[-1]) if found[1:] else found)}?"
    )


@lru_cache(maxsize=512)
def instrument_of(
    name: str,
    abbreviation: str = "",
    midi_program: int | None = None,
    sound: str = "",
    transposition: Transposition | None = None,
) -> Instrument:
    """What a part is played on.

    ``name`` and ``abbreviation`` as printed, ``midi_program`` from 1 to 128,
    ``sound`` a MusicXML sound identifier, ``transposition`` that of the file
    (None where it gives none, and then the part is taken as it stands).
    """
    moved = transposition or CONCERT
    for text in (plain(name), plain(abbreviation)):
        rows = _rows_called(text) if text else []
        if rows:
            return _instrument(_chosen(rows, _key_in(text), transposition), moved)
    for fact in _by_sound(sound, midi_program):
        return _instrument(_chosen([fact], "", transposition), moved)
    if not name and transposition is None:
        return UNNAMED
    return Instrument(name, "", moved)


def says_more(one: Instrument, other: Instrument) -> bool:
    """True for "Alto saxophone" beside the voice "Alto": a section's parts are called so."""
    voice = other.family == _SUNG and other.name.casefold() in one.name.casefold().split()
    return voice and one.known and one.family != _SUNG


_SUNG: Final = "voice"


def _instrument(fact: InstrumentFact, transposition: Transposition) -> Instrument:
    return Instrument(fact.name, fact.family, transposition, known=True)


def _chosen(
    rows: list[InstrumentFact], key: str, transposition: Transposition | None
) -> InstrumentFact:
    """Of several rows with one name: as the file transposes, then as the name says."""
    for fact in rows:
        if transposition is not None and fact.transposition == transposition:
            return fact
    return next((fact for fact in rows if key and fact.key == key), rows[0])


def _by_sound(sound: str, midi_program: int | None) -> list[InstrumentFact]:
    """The row of a sound identifier (the longest that fits), then of a program number."""
    fitting = [fact for fact in instrument_facts() if fact.sound and sound.startswith(fact.sound)]
    fitting.sort(key=lambda fact: -len(fact.sound))
    programs = [
        fact for fact in instrument_facts() if midi_program and fact.program == midi_program
    ]
    return [*fitting[:1], *programs[:1]]


def misses_transposition(instrument: Instrument) -> bool:
    """True for an instrument that normally transposes, in a part that does not."""
    fact = fact_of(instrument)
    return (
        fact is not None
        and fact.transposition != CONCERT
        and fact.transposition.chromatic % 12 != 0
        and instrument.transposition == CONCERT
    )
