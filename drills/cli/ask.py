"""The one question that the program asks: the tempo, where the score gives words only.

Asked on standard error, so that results stay alone on standard output, and only
where a player sits at both ends: in a script or a pipe nobody could answer.
"""

from __future__ import annotations

import sys

from drills.cli.screen import clean, complain, one_line
from drills.errors import UsageError
from drills.jobs.asked.values import read_tempo
from drills.music.tempo import Tempo
from drills.sheets.ladder import beats_named, shown


def can_ask() -> bool:
    """True where standard input and standard error are both a terminal."""
    try:
        return sys.stdin.isatty() and sys.stderr.isatty()
    except (AttributeError, ValueError):  # closed before we began
        return False


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
