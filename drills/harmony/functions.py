"""What each note of a line does in the chord that sounds.

Problem.  A note that belongs to the chord is named by its place in it; one that does
not is named by how it comes and goes.  Method.  The note before and the note after
(of a chord in the line: of the same voice; none across a rest longer than a beat), whether
each is a step, a leap or the same pitch, and how strong the places are.  The terms are
common practice of harmony books:

- passing: by step from and to, in one direction; neighbour: by step and back, also
  around the main note from both sides, or (an incomplete one) not reached by step but left
  by step on a weaker place;
- suspension: a tone of the chord before, struck again on the stronger place or with
  the new chord, resolved by step, downwards also after another tone of the chord;
- anticipation: short, weak, and a tone of the next chord, struck again or held there;
- appoggiatura: not reached by step, left by step, on the stronger place or with the
  new chord; escape: reached by step, left by leap;
- pedal: repeated or held through chords to which it does not belong, a tone of the chord
  where it begins and where it ends.

A sixth, seventh or ninth that lasts (two beats, or one if it is neither reached nor left
as an ornament is) and does not resolve while its chord sounds colours the chord: it is a
chord tone with its own name; so does an eleventh or thirteenth over a chord that has a
seventh.  Over a plain triad a fourth is melody: an escape, a passing note or a suspension;
so is what is begun on a weak place and left by step.

A suspension is printed with its number, sus4, sus7, sus9: what the player is to hear.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from drills.harmony.chord import Chord, Harmony, Heard, NoteFunction, Role
from drills.harmony.kinds import number_words, tone_label, tone_words
from drills.harmony.melody import Linked, goes_on, is_step, linked, same, steps_in, steps_out
from drills.harmony.stress import MIDDLE, Stress
from drills.harmony.tones import belongs, function_tone, is_tone
from drills.music.grid import GridBar
from drills.music.pitch import Pitch

PRINTED: Final = {
    Role.PASSING: ("p", "passing note"),
    Role.NEIGHBOUR: ("n", "neighbour note"),
    Role.SUSPENSION: ("sus", "suspension"),
    Role.ANTICIPATION: ("ant", "anticipation"),
    Role.APPOGGIATURA: ("app", "appoggiatura"),
    Role.ESCAPE: ("esc", "escape note"),
    Role.PEDAL: ("ped", "pedal point"),
    Role.OTHER: ("x", "not of the chord"),
    Role.NO_CHORD: ("", "no chord"),
}
"""Label and words of every role but the chord tone's, which is named by its tone."""

_COLOURS: Final = (6, 7, 9)
"""The tones that may colour a chord without being named in it."""
_HIGH_COLOURS: Final = (11, 13)
"""The same over a chord with a seventh."""
_SUSPENDED: Final = {11: 4, 13: 6}
"""How a suspension is counted where it is not counted from the root as other tones are."""
_HELD_BEATS: Final = 2
"""Beats from which on a foreign note is no ornament, unless it resolves."""


def functions(
    line: Sequence[Heard], harmonies: Sequence[Harmony], bars: Sequence[GridBar] = ()
) -> tuple[NoteFunction, ...]:
    """The function of each note of one melodic line, in the order of ``line``.

    ``line`` by start; notes with one start are a chord, whose notes are judged voice by
    voice (see ``melody``).  ``harmonies`` by start, on the same time line,
    as are ``bars``; without bars, 4/4 from 0 on is assumed.  A held note has the
    function that it has where it begins (see ``functions_through``); where no harmony
    covers that, it has none.
    """
    stress, chords = Stress(bars), _Chords(harmonies)
    notes = linked(line, stress)
    pedals = _pedals(notes, chords)
    return tuple(_function(note, chords, pedals, stress) for note in notes)


def functions_through(
    note: Heard, harmonies: Sequence[Harmony], after: Sequence[Pitch] = ()
) -> tuple[tuple[Fraction, NoteFunction], ...]:
    """What a held note does in each harmony that it sounds through, with the time it begins.

    ``after`` are the one or two pitches that its player plays next.  Where the note does
    not belong: a pedal if it belongs both before and later, an anticipation if it only
    will, and a suspension if it did and resolves by step (or, where ``after`` is not
    given, ends before the chord does).
    """
    heard = [one for one in harmonies if one.start < note.end and one.end > note.start]
    own = [one.chord.is_told and is_tone(one.chord, note.pitch) for one in heard]
    found = []
    for index, (harmony, is_own) in enumerate(zip(heard, own, strict=True)):
        role = Role.CHORD_TONE
        if not harmony.chord.is_told:
            role = Role.NO_CHORD
        elif not is_own:
            role = _held_role(any(own[:index]), any(own[index + 1 :]))
            if role is Role.SUSPENSION and not _resolves(note, harmony, after):
                role = _colour_or_other(harmony.chord, note.pitch)
        found.append((max(note.start, harmony.start), _named(role, harmony.chord, note.pitch)))
    return tuple(found)


def _held_role(belonged: bool, will_belong: bool) -> Role:
    if belonged:
        return Role.PEDAL if will_belong else Role.SUSPENSION
    return Role.ANTICIPATION if will_belong else Role.OTHER


def _resolves(note: Heard, harmony: Harmony, after: Sequence[Pitch]) -> bool:
    return _leads_on(note.pitch, after, harmony.chord) if after else note.end < harmony.end


def _leads_on(pitch: Pitch, after: Sequence[Pitch], chord: Chord) -> bool:
    """Whether a suspended pitch resolves: by step, or down after another tone of the chord."""
    if is_step(pitch, after[0]):
        return True
    falls = len(after) > 1 and after[1].midi < pitch.midi and is_step(pitch, after[1])
    return falls and all(is_tone(chord, one) for one in after[:2])


def _colour_or_other(chord: Chord, pitch: Pitch) -> Role:
    has_seventh = any(tone.number == 7 for tone in chord.tones)
    possible = (*_COLOURS, *(_HIGH_COLOURS if has_seventh else ()))
    is_colour = pitch.alter.denominator == 1 and function_tone(chord, pitch).number in possible
    return Role.CHORD_TONE if is_colour else Role.OTHER


class _Chords:
    """The harmony at any time."""

    def __init__(self, harmonies: Sequence[Harmony]) -> None:
        self._harmonies = harmonies
        self._starts = [one.start for one in harmonies]

    def at(self, time: Fraction) -> Harmony | None:
        """The harmony that sounds; None where there is none, "no chord", or hardly one."""
        index = bisect_right(self._starts, time) - 1
        if index < 0 or time >= self._harmonies[index].end:
            return None
        return self._harmonies[index] if self._harmonies[index].chord.is_told else None

    def has(self, note: Linked, time: Fraction | None = None) -> bool:
        """Whether a note is a tone of the chord where it begins, or at a time."""
        harmony = self.at(note.start if time is None else time)
        return harmony is not None and is_tone(harmony.chord, note.pitch)


def _function(note: Linked, chords: _Chords, pedals: set[Linked], stress: Stress) -> NoteFunction:
    harmony = chords.at(note.start)
    if harmony is None:
        return NoteFunction(Role.NO_CHORD, None, *PRINTED[Role.NO_CHORD])
    chord = harmony.chord
    if chords.has(note):
        role = Role.CHORD_TONE
    elif note in pedals:
        role = Role.PEDAL
    elif belongs(chord, note.pitch):  # a bass that is none of the tones
        role = Role.CHORD_TONE
    else:
        role = _foreign_role(note, harmony, chords, stress)
    return _named(role, chord, note.pitch)


def _foreign_role(note: Linked, harmony: Harmony, chords: _Chords, stress: Stress) -> Role:
    """The role of a note that is not of the chord."""
    if _is_suspension(note, harmony, chords, stress):
        return Role.SUSPENSION
    if _is_anticipation(note, harmony, chords, stress):
        return Role.ANTICIPATION
    role = _by_ways(note, harmony, chords, stress)
    beats = (min(note.heard.end, harmony.end) - note.start) / stress.beat_at(note.start)
    resolves = steps_out(note) and (
        stress.level(note.start) > MIDDLE
        or (note.after is not None and note.after.start < harmony.end)
    )
    least = 1 if role in (Role.OTHER, Role.ESCAPE) else _HELD_BEATS
    if beats >= least and not resolves and role is not Role.NEIGHBOUR:
        colour = _colour_or_other(harmony.chord, note.pitch)
        return Role.CHORD_TONE if colour is Role.CHORD_TONE else role
    return role


def _by_ways(note: Linked, harmony: Harmony, chords: _Chords, stress: Stress) -> Role:
    """The role that follows from the way in and the way out."""
    if _surrounds(note, chords):
        return Role.NEIGHBOUR
    reached, left = steps_in(note), steps_out(note)
    if reached and left:
        return Role.PASSING if goes_on(note) else Role.NEIGHBOUR
    if left:
        return Role.APPOGGIATURA if _is_accented(note, harmony, stress) else Role.NEIGHBOUR
    if reached and note.after is not None and note.after.pitch.midi != note.pitch.midi:
        return Role.ESCAPE
    return Role.OTHER


def _is_suspension(note: Linked, harmony: Harmony, chords: _Chords, stress: Stress) -> bool:
    prepared = note.before is not None and same(note, note.before) and chords.has(note.before)
    if not prepared or note.after is None or not _is_accented(note, harmony, stress):
        return False
    then = note.after.after
    after = [one.pitch for one in (note.after, then) if one is not None]
    return _leads_on(note.pitch, after, harmony.chord)


def _is_anticipation(note: Linked, harmony: Harmony, chords: _Chords, stress: Stress) -> bool:
    """Short, weak, and struck again in, or held into, the next chord."""
    if harmony.end - note.start > stress.beat_at(note.start):
        return False
    if note.heard.end > harmony.end:
        return chords.has(note, harmony.end)
    after = note.after
    if after is None or not same(note, after) or after.start < harmony.end:
        return False
    return chords.has(after) and stress.level(note.start) > stress.level(after.start)


def _pedals(notes: Sequence[Linked], chords: _Chords) -> set[Linked]:
    """The notes inside a row of one pitch that begins and ends in the chord."""
    begun: set[Linked] = set()
    for note in notes:
        before = note.before
        if chords.has(note) or (before in begun and before is not None and same(note, before)):
            begun.add(note)
    ending: set[Linked] = set()
    for note in reversed(notes):
        after = note.after
        if chords.has(note) or (after in ending and after is not None and same(note, after)):
            ending.add(note)
    return begun & ending


def _surrounds(note: Linked, chords: _Chords) -> bool:
    """Whether two foreign notes, one above and one below, stand around their main note."""
    for first, second in ((note, note.after), (note.before, note)):
        if first is None or second is None or chords.has(first) or chords.has(second):
            continue
        main, goal = first.before, second.after
        if main is None or goal is None or not same(main, goal):
            continue
        above = first.pitch.midi > main.pitch.midi
        if above != (second.pitch.midi > goal.pitch.midi):
            return is_step(main.pitch, first.pitch) and is_step(second.pitch, goal.pitch)
    return False


def _is_accented(note: Linked, harmony: Harmony, stress: Stress) -> bool:
    """Whether a note stands on a stronger place than its resolution, or with the new chord."""
    if note.start == harmony.start or note.after is None:
        return note.start == harmony.start
    return stress.level(note.start) < stress.level(note.after.start)


def _named(role: Role, chord: Chord, pitch: Pitch) -> NoteFunction:
    if role is Role.NO_CHORD:
        return NoteFunction(role, None, *PRINTED[role])
    tone = function_tone(chord, pitch)
    if role is Role.CHORD_TONE:
        return NoteFunction(role, tone, tone_label(tone), tone_words(tone))
    label, words = PRINTED[role]
    if role is Role.SUSPENSION and tone.number > 1:
        number = _SUSPENDED.get(tone.number, tone.number)
        return NoteFunction(role, tone, f"{label}{number}", f"suspended {number_words(number)}")
    return NoteFunction(role, tone, label, words)
