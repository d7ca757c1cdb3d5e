"""What a sheet says to a player: instructions, orders, counts, minutes.

The instruction is that of the trade: so many times right in a row, then a number up.  That
it counts what is right, and nothing else, has its source: retention goes with the share of
correct trials, not with their number or with time (R. A. Duke, A. L. Simmons and C. D. Cash,
Journal of Research in Music Education 56(4), 2009, 310-321).
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from drills.sheets.cells import Order

HOW_TO: Final = (
    "From top to bottom. Set the first number, and tick its box when everything under the "
    "heading was right as often as it says. Wrong twice: one number down, with fewer notes. "
    "Stop when the time is up, and go on tomorrow."
)
"""One line on every sheet."""

ORDERS: Final = {
    Order.MUSIC: "",
    Order.BACK: "From the last to the first.",
    Order.HARDEST: "The hardest first.",
    Order.GROW: "",
}
"""Said where the order is not that of the music."""

_COUNTS: Final = ("", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight")


def count_word(count: int) -> str:
    """ "Three", or the figure where it is larger than a cell."""
    return _COUNTS[count] if count < len(_COUNTS) else str(count)


def instruction(repetitions: int, order: str = "") -> str:
    """ "Five times right in a row, then one number up."."""
    times = "Once right" if repetitions == 1 else f"{count_word(repetitions)} times right in a row"
    return f"{order} {times}, then one number up.".lstrip()


def halves(seconds: Fraction) -> Fraction:
    """Seconds as minutes, to the nearest half."""
    return Fraction(round(seconds / 30), 2)


def minute_words(minutes: Fraction) -> str:
    """Minutes as a player says them, in halves: "2½ minutes", "1 minute"."""
    halves = int(minutes * 2)
    whole, half = divmod(halves, 2)
    text = f"{whole or ''}{'½' if half else ''}" or "0"
    return f"{text} minute{'' if halves in (1, 2) else 's'}"


def in_halves(seconds: Sequence[Fraction], total: Fraction) -> tuple[Fraction, ...]:
    """Minutes in halves that add up to ``total`` (in halves), each as near as can be.

    The largest remainders are rounded up; nothing that takes time is told as none.
    """
    exact = [one / 30 for one in seconds]
    wanted = int(total * 2)
    halves = [max(int(one), 1) for one in exact]
    while sum(halves) != wanted:
        step = 1 if sum(halves) < wanted else -1
        worst = max(
            range(len(exact)),
            key=lambda n: (step > 0 or halves[n] > 1, step * (exact[n] - halves[n]), -n),
        )
        if step < 0 and halves[worst] <= 1:
            break
        halves[worst] += step
    return tuple(Fraction(one, 2) for one in halves)
