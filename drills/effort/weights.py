"""What each part of a move costs: the one table of constants, with a reason each.

Unit.  1 is the work of one quick finger (an index finger) that opens or closes
one key while lips, air and everything else stay as they are: the easiest trill
of an instrument.  All other values are round multiples of it, thought out from
the mechanics and our own choice.  They are fitted to no data.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Weight:
    """One constant."""

    value: float
    """In fingers: 1 is one index finger that moves."""
    reason: str


FINGER: Final = Weight(1.0, "the unit: one index finger opens or closes one key")
FURTHER_FINGER: Final = Weight(
    0.1, "fingers that move together go as one block: each more costs little"
)
SLOW_FINGER: Final = Weight(
    0.25,
    "the ring and the little finger tap more slowly than the others "
    "(Aoki, Furuya and Kinoshita, Motor Control 9, 2005; abstract read)",
)
SLOW_FINGERS: Final = ("ring", "little")
SLIDE: Final = Weight(
    2.0, "one finger must leave a key, travel and land on the next: three movements, not one"
)
JUMP: Final = Weight(
    3.0, "to a key that does not touch the first it must rise and be aimed too: one movement more"
)
LITTLE_TRAVELS: Final = Weight(
    1.0,
    "the little finger is the weakest and shares its tendons with the ring finger: it travels "
    "at half the pace, and the other fingers must wait for it",
)
ROCK: Final = Weight(0.5, "a finger that lies over two keys rocks from one to the other")
ROLL: Final = Weight(0.25, "a finger that keeps one key and takes or leaves another turns its tip")
SIDEWAYS: Final = Weight(
    1.0, "a finger that stays on one key and shifts along to its neighbour: half a slide"
)
HALF_HOLE: Final = Weight(0.5, "the finger must stop at the right opening, not at an end")
PALM: Final = Weight(
    0.25, "a palm key alone is a short push of a hand that lies on it: hardly slower than a finger"
)
SIDE: Final = Weight(0.25, "a side key is a push of the side of a finger, from the wrist")
TURN: Final = Weight(
    1.0,
    "between its main keys and its palm or side keys the whole hand turns: a movement of its own",
)
HEAVY_KEY: Final = Weight(
    0.5, "the last pads of the bell are the largest, with the longest levers and strongest springs"
)
WHOLE_TUBE: Final = Weight(
    1.0,
    "from a nearly open tube to a nearly closed one: no pad may leak when the last, the slowest, "
    "comes down, and the air must fill the whole length: once more the time of a finger",
)
WHOLE_TUBE_FINGERS: Final = 6
"""Fingers that fall or rise together from which it counts: all but two of the eight."""
BESIDE: Final = Weight(
    0.25, "a finger that moves beside one that stays down pulls at the tendons of its neighbour"
)
CONTRARY: Final = Weight(
    0.5, "fingers of one hand that exchange (up against down) must meet in one moment"
)
FURTHER_CONTRARY: Final = Weight(0.25, "each further pair of fingers that exchange")
TWO_HANDS: Final = Weight(0.2, "both hands must move in the same moment")
AGAINST: Final = Weight(0.25, "one hand goes down while the other goes up")

SEMITONE: Final = Weight(
    0.1,
    "lips, air and throat go with the distance; an octave asks for about as much as a finger",
)
TUBE_SEMITONE: Final = Weight(
    0.05, "within one register of a woodwind the tube makes the note, and the air follows a little"
)
REGISTER: Final = Weight(
    1.0,
    "where the same tube must speak in another mode, the air does the work of a finger; where "
    "another mode of another tube sounds nearly the same note, the standing wave hardly changes: "
    "in proportion to the interval, up to that of the two modes (an octave, on the clarinet a "
    "twelfth)",
)
FURTHER_REGISTER: Final = Weight(0.5, "each further register that is passed over")
SLOW_NOTE: Final = Weight(
    0.25,
    "a note that answers late, or must be placed, where one enters its zone; inside it lips and "
    "throat are there already",
)
TOGETHER: Final = Weight(
    0.5,
    "hands and air move at the same time, so the slower of both sets the pace; but the two must "
    "arrive together, which costs some of the quicker one: half",
)
PARTIAL: Final = Weight(
    1.0, "on one tube the lips alone find another partial: no quicker than a finger"
)
CAUGHT_PARTIAL: Final = Weight(
    0.5, "the tube changes too, and the lips must still leave its nearest partial for another"
)
SKIPPED_PARTIAL: Final = Weight(
    0.25, "each partial between the two that the lips must pass without catching it"
)
CLOSE_PARTIAL: Final = Weight(
    0.25, "from the eighth up partials lie a tone or less apart: each such note is easily missed"
)
STUFFY: Final = Weight(
    0.25, "valves 1-3 and 1-2-3 are sharp and answer late: going there the note must be helped"
)
SLIDE_START: Final = Weight(0.75, "an arm starts and stops a slide")
SLIDE_STEP: Final = Weight(
    0.35, "for each second-position distance; time grows more slowly than distance"
)
SLIDE_TURN: Final = Weight(0.25, "the slide turns back where it could have gone on")

ALTERNATE: Final = Weight(
    0.2, "an alternate fingering differs a little in colour and tuning: taken where it helps"
)
POOR: Final = Weight(
    2.0, "a fingering out of tune or colour: taken where it saves a whole movement and more"
)
MISPLACED: Final = Weight(
    3.0, "a trill fingering beside a note that it is not for: hardly ever an answer"
)

OUTSIDE: Final = Weight(
    1.0, "a note that the table does not have is taken for one difficult fingering"
)
UNSPECIFIED: Final = Weight(
    1.0, "where there is no table a change of pitch is taken for one finger that moves"
)
EDGE: Final = Weight(
    0.25, "for each note in the lowest or highest fourth of the usual range, without a table"
)
OTHER_DRUM: Final = Weight(1.0, "a stick goes to another drum")
