"""What the program asks: the tempo, where the score gives words only; metre and key, where a
file of another format is silent about them.

Asked on standard error, so that results stay alone on standard output, and only
where a player sits at both ends: in a script or a pipe nobody could answer.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import TypeVar

from drills.cli.screen import clean, complain, one_line
from drills.errors import UsageError
from drills.jobs.asked.values import read_tempo
from drills.music.tempo import Tempo
from drills.reading.given import Given, Silence, read_key, read_metre
from drills.sheets.ladder import beats_named, shown

_T = TypeVar("_T")


def can_ask() -> bool:
    """True where standard input and standard error are both a terminal."""
    try:
        return sys.stdin.isatty() and sys.stderr.isatty()
    except (AttributeError, ValueError):  # closed before we began
        return False


def ask_silent(where: str, silence: Silence) -> Given:
    """Metre and key of a file that is silent about them; Enter takes what is in brackets.

    Answers are those of ``--metre`` and ``--key``.  Where the input ends nothing is given.
    """
    metre = key = None
    if silence.metre:
        told = f"{where} gives no metre. Metre, such as 6/8 [{silence.metre}]: "
        metre = _answered(told, read_metre)
    if silence.key:
        told = f"{where} gives no key. Key that sounds, such as F major [{silence.key}]: "
        key = _answered(told, read_key)
    return Given(metre, key)


def _answered(question: str, read: Callable[[str], _T]) -> _T | None:
    """An answer that can be read; None for an empty one."""
    while True:
        print(clean(question), end="", file=sys.stderr, flush=True)
        line = sys.stdin.readline()
        if not line.strip():
            if not line:
                print(file=sys.stderr)
            return None
        try:
            return read(line.strip())
        except UsageError as error:
            complain(str(error))


def ask_tempo(assumed: Tempo) -> Tempo:
    """The performing tempo that the player wants; Enter takes the number in brackets.

    Answers are those of ``--tempo``: ``66``, or ``half=33``.  Where the input ends
    the tempo stays assumed.
    """
    said = f' (it says "{one_line(assumed.assumed_from)}")' if assumed.assumed_from else ""
    counted, number = beats_named(assumed.beat), shown(assumed.number)
    print(f"The score gives no tempo in numbers{clean(said)}.", file=sys.stderr)
    while True:
        prompt = f"Performing tempo, {counted} a minute [{number}]: "
        print(prompt, end="", file=sys.stderr, flush=True)
        line = sys.stdin.readline()
        if not line:
            print(file=sys.stderr)
            return assumed
        try:
            value, asked = read_tempo(line.strip() or number)
        except UsageError as error:
            complain(str(error))
            continue
        return Tempo(asked, assumed.beat if value is None else value.length, "as asked")
