"""What each player of a section plays in a stretch, on the common time line."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from drills.harmony.chord import Harmony
from drills.music.lines import Sound, VoiceLine, voice_lines
from drills.music.pitch import Pitch
from drills.music.score import Part
from drills.places.aligning import Aligned
from drills.places.bar_names import bar_name
from drills.places.finding import Span
from drills.sheets.chord_notes.playing import Played, between, with_functions
from drills.sheets.chord_notes.spot import AROUND, played_sound


@dataclass(frozen=True, slots=True)
class PlayerLine:
    """One player's voice in the stretch and a few notes around it, in common time."""

    index: int
    """Of the part among those that are aligned."""
    part: Part
    span: Span | None
    """The stretch in the part; None where it has no bars there."""
    voice: str
    """The voice that is followed; empty where nothing sounds."""
    others: tuple[str, ...]
    """Voices that play here too and are left aside."""
    played: tuple[Played, ...]
    """In order of their starts."""
    starts: tuple[Fraction, ...]

    def between(self, low: Fraction, high: Fraction) -> Sequence[Played]:
        """The notes that sound between two times, one that began before included."""
        return between(self.played, low, high)

    def attacks(self, low: Fraction, high: Fraction) -> Sequence[Played]:
        """The notes that begin from ``low`` on and before ``high``."""
        return self.played[bisect_left(self.starts, low) : bisect_left(self.starts, high)]


NO_HARMONIES: Final[tuple[Harmony, ...]] = ()


def line_of(
    aligned: Aligned,
    index: int,
    span: Span | None,
    stretch: tuple[Fraction, Fraction],
    *,
    voice: str | None = None,
    harmonies: Sequence[Harmony] = NO_HARMONIES,
) -> PlayerLine:
    """The line of one part; the voice with most attacks in the stretch unless one is named.

    Where nothing is attacked, the first voice that still sounds.  ``stretch`` in
    common time.  A named voice that the part has not counts as none named.
    """
    part = aligned.parts[index]
    own = list(aligned.own(index, *stretch))
    if span is None or not own:
        return PlayerLine(index, part, span, "", (), (), ())
    low, high = own[0][0], own[-1][1]
    voices = voice_lines(part)
    counts = {name: len(_inside(line, low, high)) for name, line in voices.items()}
    sounding = {
        name: counts[name] + (_held(line, low) is not None) for name, line in voices.items()
    }
    names = [voice] if voice is not None and voice in voices else list(voices)
    chosen = max(names, key=lambda name: (counts[name], sounding[name]), default="")
    if not chosen or not sounding[chosen]:
        return PlayerLine(index, part, span, "", (), (), ())
    sounds = voices[chosen].sounds
    inside = _inside(voices[chosen], low, high)
    near = sounds[max(inside.start - 1 - AROUND, 0) : inside.stop + AROUND]
    plain = [_in_common(aligned, index, sound) for sound in near]
    near_bars = aligned.bars[
        bisect_right(aligned.starts, plain[0].start) - 1 : bisect_left(
            aligned.starts, plain[-1].end
        )
    ]
    played = with_functions(plain, harmonies, near_bars)
    others = tuple(name for name, count in counts.items() if count and name != chosen)
    return PlayerLine(index, part, span, chosen, others, played, tuple(one.start for one in played))


def _inside(line: VoiceLine, low: Fraction, high: Fraction) -> range:
    return line.between(low, high, includes_high=False)


def _held(line: VoiceLine, low: Fraction) -> Sound | None:
    """The sound that began before a time and still lasts."""
    before = bisect_left(line.starts, low) - 1
    return line.sounds[before] if before >= 0 and line.sounds[before].end > low else None


def _in_common(aligned: Aligned, index: int, sound: Sound) -> Played:
    start = aligned.common(index, sound.start)
    end = aligned.common(index, sound.end, ending=True)
    return replace(played_sound(aligned.parts[index], sound), start=start, end=max(start, end))


def silence_of(line: PlayerLine, low: Fraction, high: Fraction) -> str:
    """Why a player has nothing to drill from ``low`` to ``high``; empty where they have.

    Nothing to drill is a rest, no bars, or one note that is held through.
    """
    if line.span is None:
        return f"{line.part.name} has no bars here"
    sounding = line.between(low, high)
    where = _where(line)
    if not sounding:
        return f"rests {where}"
    if any(played.start >= low for played in sounding[1:]) or len(sounding) > 1:
        return ""
    only = sounding[0]
    if only.start >= low and (only.start > low or only.end < high):
        return ""
    held = f"holds {_spoken(only)} {_since(line, only)}"
    return held if only.end >= high else f"{held}, then rests"


def _where(line: PlayerLine) -> str:
    """ "in bar 33", "from bar 33 to bar 36"."""
    if line.span is None:
        return ""
    first, last = (bar_name(line.part, at.bar) for at in (line.span.first, line.span.end))
    return f"in bar {first}" if first == last else f"from bar {first} to bar {last}"


def _spoken(played: Played) -> str:
    tones = " ".join(str(tone) for tone in played.attack.tones if isinstance(tone, Pitch))
    return f"written {tones}" if tones else "a note"


def _since(line: PlayerLine, played: Played) -> str:
    origin = played.attack.origin
    return "" if origin is None else f"from bar {bar_name(line.part, origin.bar)}"
