"""Small scores written in the tests, so that each can be read beside its check."""

from __future__ import annotations

from pathlib import Path

from drills.music.notes import Note, Rest
from drills.music.score import Bar, Part
from drills.reading.limits import Limits
from drills.reading.musicxml import open_score, read_part

HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n'
DOCTYPE = (
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">\n'
)
FOUR_FOUR = (
    "<attributes><divisions>{divisions}</divisions><key><fifths>0</fifths></key>"
    "<time><beats>4</beats><beat-type>4</beat-type></time>"
    "<clef><sign>G</sign><line>2</line></clef></attributes>"
)


def attributes(divisions: int = 2, time: str = "4/4", extra: str = "") -> str:
    """The attributes of a first bar."""
    beats, unit = time.split("/")
    return (
        f"<attributes><divisions>{divisions}</divisions><key><fifths>0</fifths></key>"
        f"<time><beats>{beats}</beats><beat-type>{unit}</beat-type></time>"
        f"<clef><sign>G</sign><line>2</line></clef>{extra}</attributes>"
    )


def note(
    pitch: str = "C5",
    duration: float | str = 2,
    kind: str = "quarter",
    *,
    inside: str = "",
    before: str = "",
    notations: str = "",
    voice: str = "1",
    attribute: str = "",
) -> str:
    """A note: ``pitch`` such as C5 or F#4, "rest" for a rest."""
    if pitch == "rest":
        head = "<rest/>"
    else:
        alter = {"#": "<alter>1</alter>", "b": "<alter>-1</alter>"}.get(pitch[1:-1], "")
        head = f"<pitch><step>{pitch[0]}</step>{alter}<octave>{pitch[-1]}</octave></pitch>"
    notation = f"<notations>{notations}</notations>" if notations else ""
    length = "" if duration == "" else f"<duration>{duration}</duration>"
    kind_element = f"<type>{kind}</type>" if kind else ""
    return (
        f"<note{attribute}>{before}{head}{length}<voice>{voice}</voice>{kind_element}{inside}"
        f"{notation}</note>"
    )


def bar(content: str, number: str = "1", attribute: str = "") -> str:
    """One ``<measure>``."""
    return f'<measure number="{number}"{attribute}>{content}</measure>'


def score(*parts: str, names: tuple[str, ...] = (), head: str = "", doctype: str = "") -> str:
    """A partwise score of these parts, each given as its bars."""
    listed = "".join(
        f'<score-part id="P{place}"><part-name>'
        f"{names[place - 1] if place <= len(names) else f'Player {place}'}</part-name></score-part>"
        for place in range(1, len(parts) + 1)
    )
    music = "".join(f'<part id="P{place}">{part}</part>' for place, part in enumerate(parts, 1))
    return (
        f'{HEAD}{doctype}<score-partwise version="4.0">{head}'
        f"<part-list>{listed}</part-list>{music}</score-partwise>"
    )


def scale_bar(number: str = "1", first: bool = True) -> str:
    """Four quarters in 4/4."""
    notes = "".join(note(pitch) for pitch in ("C5", "D5", "E5", "F5"))
    return bar((attributes() if first else "") + notes, number)


def saved(folder: Path, text: str, name: str = "score.musicxml") -> Path:
    """The text in a file."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def read(folder: Path, text: str, choice: str | None = None, limits: Limits | None = None) -> Part:
    """The part that a score's text gives."""
    return read_part(open_score(saved(folder, text), limits), choice)


def notes_of(where: Bar, voice: str = "1") -> list[Note]:
    """The notes of a voice in a bar."""
    found = where.voice(voice)
    events = () if found is None else found.events
    return [event for event in events if isinstance(event, Note)]


def rests_of(where: Bar, voice: str = "1") -> list[Rest]:
    """The rests of a voice in a bar."""
    found = where.voice(voice)
    events = () if found is None else found.events
    return [event for event in events if isinstance(event, Rest)]


def starts_and_lengths(where: Bar, voice: str = "1") -> list[tuple[str, str]]:
    """Where each note of a voice starts and how long it lasts, as texts of Fractions."""
    return [(str(note.start), str(note.length)) for note in notes_of(where, voice)]


def pitches(where: Bar, voice: str = "1") -> list[str]:
    """The pitches of a voice in a bar; the tones of a chord joined with a plus."""
    return ["+".join(str(tone) for tone in note.tones) for note in notes_of(where, voice)]
