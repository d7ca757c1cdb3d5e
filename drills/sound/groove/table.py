"""THE TABLE of grooves: drum patterns in the trade's words.

What a pattern plays is common practice of drum set and military band, written
down here by ourselves; the clave-like figures are those of G. T. Toussaint, The
Geometry of Musical Rhythm (2013).  The notation is explained in ``pattern``.

Only kinds of bars in which a groove is known have a pattern.  A groove in 4/4
is also played from 2/4 bars, two to each of its own (``_halved``), and a
pattern may be written in values of half or twice the length (``_scaled``), as a
samba in 2/4 is also written in cut time.  A turn may have other steps than its pattern.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from drills.music.time import TimeSignature
from drills.sound.groove.pattern import Grid, Groove, Pattern
from drills.sound.groove.swing import FOLLOWS_TEMPO, TRIPLET


def _times(text: str) -> tuple[TimeSignature, ...]:
    return tuple(TimeSignature.parse(one) for one in text.split())


def _pattern(times: str, grid: tuple[str, str], turn: tuple[str, str]) -> Pattern:
    """A pattern from time signatures, its rows and its turn, each with its step."""
    return Pattern(_times(times), Grid.parse(*grid), Grid.parse(*turn))


def _halved(times: str, pattern: Pattern) -> Pattern:
    """The pattern from bars of half the length; the turn is the second half of its own."""
    turn = pattern.turn.halved()
    return Pattern(_times(times), pattern.grid.halved(), Grid(turn.step, turn.bars[1:]))


def _scaled(times: str, pattern: Pattern, factor: Fraction) -> Pattern:
    """The pattern in other note values: half as long, twice as long."""
    grid, turn = (Grid(one.step * factor, one.bars) for one in (pattern.grid, pattern.turn))
    return Pattern(_times(times), grid, turn)


_HALF, _TWICE = Fraction(1, 2), Fraction(2)


_STRAIGHT: Final = _pattern(
    "4/4 2/2",
    (
        "eighth",
        """
        closed-hi-hat  xo xo xo xo | xo xo xo xo
        snare          .. X. .. X. | .. X. .. X.
        bass-drum      X. .. x. .. | X. .x x. ..
        """,
    ),
    (
        "sixteenth",
        """
        closed-hi-hat  x.o. x.o. .... ....
        snare          .... X... xoxx ....
        high-tom       .... .... .... xx..
        low-tom        .... .... .... ..xX
        bass-drum      X... .... x... x...
        """,
    ),
)

_STRAIGHT_IN_THREE: Final = _pattern(
    "3/4",
    (
        "eighth",
        """
        closed-hi-hat  xo xo xo
        snare          .. .. X.
        bass-drum      X. .. ..
        """,
    ),
    (
        "sixteenth",
        """
        closed-hi-hat  x.o. .... ....
        snare          .... xoxx ....
        high-tom       .... .... xx..
        low-tom        .... .... ..xX
        bass-drum      X... .... x...
        """,
    ),
)

_STRAIGHT_IN_FIVE: Final = _pattern(
    "5/4 3+2/4",
    (
        "eighth",
        """
        closed-hi-hat  xo xo xo xo xo
        snare          .. .. X. .. X.
        bass-drum      X. .. .. x. ..
        """,
    ),
    (
        "sixteenth",
        """
        closed-hi-hat  x.o. x.o. x.o. .... ....
        snare          .... .... X... xoxx ....
        high-tom       .... .... .... .... xx..
        low-tom        .... .... .... .... ..xX
        bass-drum      X... .... .... x... x...
        """,
    ),
)

_STRAIGHT_IN_TWO_AND_THREE: Final = _pattern(
    "2+3/4",
    (
        "eighth",
        """
        closed-hi-hat  xo xo xo xo xo
        snare          .. X. .. .. X.
        bass-drum      X. .. x. .. ..
        """,
    ),
    (
        "sixteenth",
        """
        closed-hi-hat  x.o. x.o. x.o. .... ....
        snare          .... X... .... xoxx ....
        high-tom       .... .... .... .... xx..
        low-tom        .... .... .... .... ..xX
        bass-drum      X... .... x... .... x...
        """,
    ),
)

_STRAIGHT_IN_SEVEN: Final = _pattern(
    "7/8 2+2+3/8",
    (
        "eighth",
        """
        closed-hi-hat  xo xo xoo
        snare          .. X. ..X
        bass-drum      X. .. x..
        """,
    ),
    (
        "sixteenth",
        """
        closed-hi-hat  x.o. x.o. ......
        snare          .... X... xoxx..
        low-tom        .... .... ....xX
        bass-drum      X... .... x.....
        """,
    ),
)

_SWING: Final = _pattern(
    "4/4 2/2",
    (
        "eighth",
        """
        ride           x. Xo x. Xo
        pedal-hi-hat   .. x. .. x.
        bass-drum      ,. ,. ,. ,.
        """,
    ),
    (
        "triplet",
        """
        ride           x.. X.. ... ...
        pedal-hi-hat   ... x.. ... x..
        snare          ... ..o X.x ...
        high-tom       ... ... ... xx.
        low-tom        ... ... ... ..X
        bass-drum      ,.. ,.. ,.. x..
        """,
    ),
)

_SHUFFLE: Final = _pattern(
    "4/4 2/2",
    (
        "eighth",
        """
        closed-hi-hat  xo xo xo xo
        snare          .. X. .. X.
        bass-drum      X. .. x. .o
        """,
    ),
    (
        "triplet",
        """
        closed-hi-hat  x.o x.. ... ...
        snare          ... X.. xox ...
        high-tom       ... ... ... xx.
        low-tom        ... ... ... ..X
        bass-drum      X.. ... x.. x..
        """,
    ),
)

_TWO_BEAT: Final = _pattern(
    "4/4 2/2",
    (
        "eighth",
        """
        closed-hi-hat  .. x. .. x.
        snare          o. xo o. xo
        bass-drum      X. .. X. ..
        """,
    ),
    (
        "eighth",
        """
        closed-hi-hat  .. x. .. ..
        snare          o. xo xx xX
        bass-drum      X. .. X. x.
        """,
    ),
)

_BOSSA: Final = _pattern(
    "4/4 2/2",
    (
        "eighth",
        """
        closed-hi-hat  oo oo oo oo | oo oo oo oo
        side-stick     x. .x .. x. | .. x. .x ..
        pedal-hi-hat   .. o. .. o. | .. o. .. o.
        bass-drum      X. .x X. .x | X. .x X. .x
        """,
    ),
    (
        "eighth",
        """
        closed-hi-hat  oo oo .. ..
        side-stick     x. .x .. ..
        snare          .. .. ox o.
        low-tom        .. .. .. .x
        pedal-hi-hat   .. o. .. o.
        bass-drum      X. .x X. .x
        """,
    ),
)

_SAMBA: Final = _pattern(
    "2/4",
    (
        "sixteenth",
        """
        maracas        xoox xoox | xoox xoox
        side-stick     x.x. .x.x | .x.. x.x.
        pedal-hi-hat   ..o. ..o. | ..o. ..o.
        bass-drum      x..o X..o | x..o X..o
        """,
    ),
    (
        "sixteenth",
        """
        maracas        xoox xoox
        snare          x.xx .xX.
        low-tom        .... ...x
        pedal-hi-hat   ..o. ..o.
        bass-drum      x..o X..o
        """,
    ),
)

_SON: Final = _pattern(
    "4/4 2/2",
    (
        "eighth",
        """
        claves         x. .x .. x. | .. x. x. ..
        maracas        xo xo xo xo | xo xo xo xo
        high-bongo     Xo oo xo .o | Xo oo xo .o
        low-bongo      .. .. .. x. | .. .. .. x.
        bass-drum      .. .x .. x. | .. .x .. x.
        """,
    ),
    (
        "eighth",
        """
        maracas        xo xo xo xo
        high-bongo     Xo ox Xx ..
        low-bongo      .. .. .. xX
        bass-drum      .. .x .. x.
        """,
    ),
)

_BALLAD: Final = _pattern(
    "4/4",
    (
        "eighth",
        """
        closed-hi-hat  o, o, o, o,
        side-stick     .. x. .. x.
        bass-drum      x. .o x. ..
        """,
    ),
    (
        "eighth",
        """
        closed-hi-hat  o, o, .. ..
        side-stick     .. x. .. ..
        high-tom       .. .. oo ..
        low-tom        .. .. .. ox
        bass-drum      x. .o x. ..
        """,
    ),
)

_BALLAD_IN_THREE: Final = _pattern(
    "3/4",
    (
        "eighth",
        """
        closed-hi-hat  o, o, o,
        side-stick     .. .. x.
        bass-drum      x. .. ..
        """,
    ),
    (
        "eighth",
        """
        closed-hi-hat  o, .. ..
        high-tom       .. oo ..
        low-tom        .. .. ox
        bass-drum      x. .. ..
        """,
    ),
)

_SLOW_TWELVE: Final = _pattern(
    "12/8",
    (
        "eighth",
        """
        closed-hi-hat  xoo xoo xoo xoo
        snare          ... X.. ... X..
        bass-drum      X.. ..o x.. ...
        """,
    ),
    (
        "eighth",
        """
        closed-hi-hat  xoo xoo ... ...
        snare          ... X.. xox ...
        high-tom       ... ... ... xx.
        low-tom        ... ... ... ..X
        bass-drum      X.. ..o x.. x..
        """,
    ),
)

_SLOW_NINE: Final = _pattern(
    "9/8",
    (
        "eighth",
        """
        closed-hi-hat  xoo xoo xoo
        snare          ... ... X..
        bass-drum      X.. ... ...
        """,
    ),
    (
        "eighth",
        """
        closed-hi-hat  xoo ... ...
        snare          ... xox ...
        high-tom       ... ... xx.
        low-tom        ... ... ..X
        bass-drum      X.. ... x..
        """,
    ),
)

_WALTZ: Final = _pattern(
    "3/4",
    (
        "eighth",
        """
        snare          .. o. o.
        bass-drum      X. .. ..
        """,
    ),
    (
        "eighth",
        """
        snare          .. oo xx
        bass-drum      X. .. ..
        """,
    ),
)

_JAZZ_WALTZ: Final = _pattern(
    "3/4",
    (
        "eighth",
        """
        ride           x. Xo x.
        pedal-hi-hat   .. x. ..
        bass-drum      o. .. ..
        """,
    ),
    (
        "triplet",
        """
        ride           x.. ... ...
        pedal-hi-hat   ... x.. ...
        snare          ..o X.x ...
        high-tom       ... ... xx.
        low-tom        ... ... ..X
        bass-drum      o.. ... x..
        """,
    ),
)

_MARCH_IN_TWO: Final = _pattern(
    "2/4",
    (
        "eighth",
        """
        snare          .x .x
        bass-drum      X. X.
        """,
    ),
    (
        "sixteenth",
        """
        snare          ..x. xoxx
        bass-drum      X... X...
        """,
    ),
)

_MARCH_IN_CUT_TIME: Final = _pattern(
    "2/2 4/4",
    (
        "eighth",
        """
        snare          .. x. .. xo
        bass-drum      X. .. X. ..
        """,
    ),
    (
        "eighth",
        """
        snare          .. x. xo xx
        bass-drum      X. .. X. ..
        """,
    ),
)

_MARCH_IN_SIX: Final = _pattern(
    "6/8",
    (
        "eighth",
        """
        snare          ..x ..x
        bass-drum      X.. X..
        """,
    ),
    (
        "eighth",
        """
        snare          ..x xox
        bass-drum      X.. X..
        """,
    ),
)

_SWING_IN_FIVE: Final = _pattern(
    "5/4 3+2/4",
    (
        "eighth",
        """
        ride           x. Xo x. x. Xo
        pedal-hi-hat   .. x. .. .. x.
        bass-drum      o. .. .. o. ..
        """,
    ),
    (
        "triplet",
        """
        ride           x.. X.. x.. ... ...
        pedal-hi-hat   ... x.. ... ... x..
        snare          ... ... ..o X.x ...
        high-tom       ... ... ... ... xx.
        low-tom        ... ... ... ... ..X
        bass-drum      o.. ... ... o.. x..
        """,
    ),
)

_SWING_IN_TWO_AND_THREE: Final = _pattern(
    "2+3/4",
    (
        "eighth",
        """
        ride           x. Xo x. Xo x.
        pedal-hi-hat   .. x. .. x. ..
        bass-drum      o. .. o. .. ..
        """,
    ),
    (
        "triplet",
        """
        ride           x.. X.. x.. ... ...
        pedal-hi-hat   ... x.. ... x.. ...
        snare          ... ... ..o X.x ...
        high-tom       ... ... ... ... xx.
        low-tom        ... ... ... ... ..X
        bass-drum      o.. ... o.. ... x..
        """,
    ),
)

_TABLE: Final = (
    Groove(
        "straight",
        "straight eighths (rock, pop)",
        (
            _STRAIGHT,
            _halved("2/4", _STRAIGHT),
            _STRAIGHT_IN_THREE,
            _STRAIGHT_IN_FIVE,
            _STRAIGHT_IN_TWO_AND_THREE,
            _STRAIGHT_IN_SEVEN,
        ),
    ),
    Groove("swing", "swing, ride cymbal", (_SWING, _halved("2/4", _SWING)), FOLLOWS_TEMPO),
    Groove("shuffle", "shuffle", (_SHUFFLE, _halved("2/4", _SHUFFLE)), TRIPLET),
    Groove("two-beat", "two-beat", (_TWO_BEAT, _halved("2/4", _TWO_BEAT)), FOLLOWS_TEMPO),
    Groove("bossa", "bossa nova", (_BOSSA, _scaled("2/4", _BOSSA, _HALF))),
    Groove("samba", "samba", (_SAMBA, _scaled("4/4 2/2", _SAMBA, _TWICE))),
    Groove("son", "son, clave 3-2", (_SON, _scaled("2/4", _SON, _HALF))),
    Groove("ballad", "slow ballad, cross-stick", (_BALLAD, _BALLAD_IN_THREE)),
    Groove(
        "slow-12-8",
        "slow 12/8",
        (_SLOW_TWELVE, _halved("6/8", _SLOW_TWELVE), _SLOW_NINE),
        phrase=4,
    ),
    Groove("waltz", "waltz", (_WALTZ, _scaled("3/8", _WALTZ, _HALF))),
    Groove("jazz-waltz", "jazz waltz", (_JAZZ_WALTZ,), FOLLOWS_TEMPO),
    Groove("march-2-4", "march in 2/4", (_MARCH_IN_TWO,)),
    Groove("march-cut", "march in cut time", (_MARCH_IN_CUT_TIME,)),
    Groove("march-6-8", "march in 6/8", (_MARCH_IN_SIX,)),
    Groove("swing-5-4", "swing in 5/4", (_SWING_IN_FIVE, _SWING_IN_TWO_AND_THREE), FOLLOWS_TEMPO),
)

GROOVES: Final[Mapping[str, Groove]] = MappingProxyType({one.key: one for one in _TABLE})
"""Every groove by its key: add a pattern and a row of the table to add one."""
