"""THE TABLE OF RULES by which days are planned: what each says, and where it comes from.

Every figure that the planner uses stands here, beside its reason.  Research on practising
is young, its groups are small, and no study says how one should plan a week; what is
marked as common practice is no more than that.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

SLOT: Final = 3
"""Minutes that one block of a sheet is played before another passage takes its turn."""
VISIT_SLOTS: Final = 3
"""Blocks in a day for a passage that is on its way up."""
MOST_SLOTS: Final = 6
"""Blocks in a day for one passage where there is time to spare."""
KEEP_SLOTS: Final = 1
"""Blocks in a day for a passage that has reached its tempo and comes back."""
FIRST_SLOTS: Final = 1
"""Blocks on the first day with a passage, which only finds out where it stands."""
PLAY: Final = 25
"""Minutes of playing without a break, at most."""
BREAK: Final = 5
"""Minutes of a break."""
MOST_A_DAY: Final = 120
"""Minutes of a day that are planned, breaks included, however many there are."""
FIRST_GAIN: Final = 6.0
"""Numbers above half its tempo at which a passage is expected to be found on its first day."""
USUAL_GAIN: Final = 4.0
"""Numbers that the second day is expected to bring, until the log shows otherwise; later days
bring less by the logarithm of their count, as the power law of practice has it."""
LEAST_GAIN: Final = 0.5
MOST_GAIN: Final = 8.0
"""Numbers of a second day between which the log is believed."""
IN_HAND: Final = 1
"""Numbers above the performing tempo that are aimed at, so that a bad day still reaches it."""
FIRST_HOLD: Final = 3
"""Days for which what was reached is taken to hold after the first day with a passage."""
MOST_HOLD: Final = 14
"""Days for which anything is taken to hold."""
CLOSED: Final = 2
"""Days before the rehearsal on which nothing is begun."""
LIGHT: Final = 2
"""The last day has the minutes of a day divided by this."""
WARM_UP: Final = 2
"""Numbers below what was reached with which a day begins."""


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule."""

    key: str
    says: str
    """What the plan does."""
    source: str
    """The study, with what it showed; empty for common practice."""
    common: bool = False
    """Common practice rather than a finding."""


RULES: Final = (
    Rule(
        "short-blocks",
        f"A passage is played for {SLOT} minutes, then another takes its turn.",
        "Carter and Grahn 2016, Frontiers in Psychology 7:1251: ten clarinettists were rated "
        "better after blocks of 3 minutes in turn than after 12 minutes at a stretch. Stambaugh "
        "2011, Journal of Research in Music Education 58:368: 41 beginners were faster a day "
        "later after mixed practice, and as accurate.",
    ),
    Rule(
        "first-look",
        f"The first day with a passage is a look at it, {FIRST_SLOTS * SLOT} minutes to find the "
        "number at which notes begin to fail; what is planned for it then follows from that.",
        "",
        common=True,
    ),
    Rule(
        "separate-days",
        "A passage is spread over several days rather than played twice as long on one.",
        "Simmons 2012, Journal of Research in Music Education 59:357: of 29 players those with "
        "a night between two sessions became more accurate.",
    ),
    Rule(
        "growing-gaps",
        f"What has reached its tempo comes back after growing gaps: {FIRST_HOLD}, 6, 12 days and "
        f"so on, at most {MOST_HOLD}.",
        "Kang, Lindsey, Mozer and Pashler 2014, Psychonomic Bulletin and Review: words reviewed "
        "after growing gaps were known better on the way and as well at the end. For moves of "
        "the fingers this is carried over, not shown; Wiseheart, D'Souza and Chae 2017, PLoS ONE "
        "12:e0182986, found nothing for gaps within minutes.",
    ),
    Rule(
        "main-passage-last",
        "An evening ends with the passage that it began with.",
        "Allen 2013, Psychology of Music, 60 players: a second melody learned just after a first "
        "one took away what the night adds to it, and playing the first once more gave it back.",
    ),
    Rule(
        "breaks",
        f"After at most {PLAY} minutes of playing there is a break of {BREAK}.",
        "Klickstein, The Musician's Way, on taking breaks: 5 minutes after 25.",
    ),
    Rule(
        "cap",
        f"At most {MOST_A_DAY} minutes of a day are planned, breaks included.",
        "",
        common=True,
    ),
    Rule(
        "realistic",
        f"A passage is raised by no more numbers a day than the log shows; before there is a log "
        f"by {USUAL_GAIN:.0f} on the second day with it and fewer on every later one.",
        "That gains get smaller with the logarithm of practice is the power law of Newell and "
        "Rosenbloom 1981; the figures are ours.",
    ),
    Rule(
        "in-hand",
        f"{IN_HAND} number above the performing tempo is aimed at: what goes once goes on a bad "
        "day too.",
        "",
        common=True,
    ),
    Rule(
        "hard-first",
        "Hard passages come first, in the days and in an evening, and get more days.",
        "",
        common=True,
    ),
    Rule(
        "nothing-new",
        f"Nothing is begun on the last {CLOSED} days, unless there is no other day.",
        "",
        common=True,
    ),
    Rule(
        "light-last-day",
        "The last day has half the minutes and goes through everything in the order of the "
        "programme.",
        "Horvath's rules for musicians ask for a lighter load on the day before a concert "
        "(Daily Herald, 9 August 2009).",
    ),
    Rule(
        "start-below",
        f"A day begins {WARM_UP} numbers below what was reached, and stops at the number where "
        "notes begin to fail.",
        "Duke, Simmons and Cash 2009, Journal of Research in Music Education 56:310: among 17 "
        "pianists the share of correct trials went with what was kept, not their number.",
    ),
)
