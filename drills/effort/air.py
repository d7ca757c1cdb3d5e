"""What lips, throat and air do between two notes, whatever the fingers do.

Woodwinds change register: the air column goes from one mode to another, with a
register key, a half hole or by air alone.  Brass changes the partial by the
lips, past those that lie between.  On all of them a wider interval asks for
more, and some notes answer late.  Symmetric: which direction is the harder one
differs from instrument to instrument and is left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from drills.effort import weights
from drills.effort.terms import Term, together
from drills.instruments.fingering import Fingering, Table, Use

_INTERVALS: Final = (
    *("a unison", "a semitone", "a tone", "a minor third", "a third", "a fourth", "a tritone"),
    *("a fifth", "a minor sixth", "a sixth", "a minor seventh", "a seventh"),
)
_OCTAVES: Final = ("", "an octave", "two octaves", "three octaves", "four octaves")
_CLOSE_FROM: Final = 8
_STUFFY: Final = ({"1", "3"}, {"1", "2", "3"})


def interval_words(semitones: int) -> str:
    """ "a fifth", "an octave", "two octaves and a third"."""
    octaves, rest = divmod(abs(semitones), 12)
    if octaves >= len(_OCTAVES):
        return f"{abs(semitones)} semitones"
    parts = [_OCTAVES[octaves]] * bool(octaves) + [_INTERVALS[rest]] * bool(rest or not octaves)
    return " and ".join(parts)


def interval_term(
    first: float, second: float, weight: weights.Weight = weights.SEMITONE
) -> list[Term]:
    """The distance between two notes (MIDI numbers, perhaps microtonal)."""
    distance = abs(second - first)
    if not distance:
        return []
    whole = int(distance) == distance
    words = interval_words(int(distance)) if whole else f"{distance:g} semitones"
    return [Term("interval", round(weight.value * distance, 3), f"moves {words}")]


def register_terms(
    table: Table, notes: tuple[int, int], fingerings: tuple[Fingering, Fingering]
) -> list[Term]:
    """The change of mode of a woodwind.

    The wider the interval the more the standing wave changes, up to the interval of
    two modes of one tube: C sharp to D on the saxophone changes mode and tube at once,
    and hardly the wave; D to D changes the mode alone.
    """
    first, second = fingerings
    low, high = sorted(notes)
    passed = abs(second.register - first.register)
    share = min(high - low, table.modes) / table.modes
    value = round(weights.REGISTER.value * share, 2)
    value += weights.FURTHER_REGISTER.value * (passed - 1)
    if not passed or value <= 0:
        return []
    words = " to ".join(table.registers[fingering.register].name for fingering in fingerings)
    crosses = low <= table.break_after < high
    return [Term("register", value, f"crosses the break, {words}" if crosses else words)]


def slow_terms(table: Table, notes: tuple[int, int], names: tuple[str, str]) -> list[Term]:
    """Zones of notes that answer late, where a move enters one."""
    found = []
    for zone in table.slow:
        inside = [name for midi, name in zip(notes, names, strict=True) if zone.holds(midi)]
        if len(inside) == 1:
            words = f"{inside[0]} is {_article(zone.name)} {zone.name}: {zone.why}"
            found.append(Term("late answer", weights.SLOW_NOTE.value, words))
    return found


def _article(noun: str) -> str:
    return "an" if noun[0] in "aeio" else "a"


def partial_terms(
    notes: tuple[int, int], fingerings: tuple[Fingering, Fingering], names: tuple[str, str]
) -> list[Term]:
    """The work of the lips on a brass instrument."""
    first, second = fingerings
    found = _lips(notes, first, second)
    stuffy = []
    for fingering, name in zip(fingerings, names, strict=True):
        valves = set(fingering.keys) - {"T"}
        if fingering.partial >= _CLOSE_FROM:
            words = f"{name} is partial {fingering.partial}, close to its neighbours"
            found.append(Term("close partial", weights.CLOSE_PARTIAL.value, words))
        if valves in _STUFFY:
            stuffy.append(f"{name} with valves {'-'.join(sorted(valves))} is stuffy")
    if len(stuffy) == 1:
        found.append(Term("stuffy", weights.STUFFY.value, stuffy[0]))
    return found


def _lips(notes: tuple[int, int], first: Fingering, second: Fingering) -> list[Term]:
    """How many partials the lips pass.

    On one tube it is the difference of the two.  Where the tube changes with the
    note, a partial that stays the same is carried along; otherwise the lips stand
    near some partial of the new tube already (C4 on an open trumpet near the third
    of D4's tube), and only those farther away count.  The larger count of the two
    directions is taken.
    """
    passed, weight = abs(second.partial - first.partial), weights.PARTIAL
    if (first.keys, first.position) != (second.keys, second.position):
        ratio = 2 ** ((notes[1] - notes[0]) / 12)
        there = abs(round(second.partial / ratio) - second.partial)
        back = abs(round(first.partial * ratio) - first.partial)
        passed, weight = min(passed, max(there, back)), weights.CAUGHT_PARTIAL
    if not passed:
        return []
    value = weight.value + weights.SKIPPED_PARTIAL.value * (passed - 1)
    past = "the next" if passed == 1 else f"the {_ORDINALS.get(passed, f'{passed}th')}"
    way = "up" if notes[1] > notes[0] else "down"
    return [Term("partial", value, f"lips leave one partial for {past} {way}")]


_ORDINALS: Final = {2: "second", 3: "third"}


def with_lips(
    hands: Sequence[Term],
    notes: tuple[int, int],
    fingerings: tuple[Fingering, Fingering],
    names: tuple[str, str],
) -> tuple[Term, ...]:
    """The move on a brass instrument: what the hands do, and the lips at the same time."""
    air = (*partial_terms(notes, fingerings, names), *interval_term(*notes))
    return (*together(hands, air), *choice_terms(notes, fingerings, names))


def choice_terms(
    notes: tuple[int, int], fingerings: tuple[Fingering, Fingering], names: tuple[str, str]
) -> list[Term]:
    """What it costs to leave the standard fingering, half for each move of a note."""
    found = []
    ends = zip(fingerings, names, reversed(notes), strict=True)
    for fingering, name, other in ends:
        words = f"{name} as {fingering.name or fingering.label}"
        if fingering.use in _CHOICES:
            found.append(Term("alternate", _CHOICES[fingering.use].value / 2, words))
        if fingering.beside and other not in fingering.beside:
            words = f"{words}, which is for other neighbours"
            found.append(Term("misplaced", weights.MISPLACED.value, words))
    return found


_CHOICES: Final = {Use.ALTERNATE: weights.ALTERNATE, Use.POOR: weights.POOR}
