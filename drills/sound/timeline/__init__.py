"""When everything on a sheet sounds: exact positions, and the same in seconds.

Problem.  A MIDI file, a click, a play-along and the check of a recording must
agree on when a note begins.  Method.  The drills of a sheet are laid end to
end, each after counted rest, ties are joined, repeats are played out, and only
then is an exact position turned into seconds.  Music that is played over and
over (a drill, the spot as it stands) is a passage, whose clock follows the
tempos of the music.  No other module makes a float of musical time.

Conventions.
  * Positions count from the start of the timeline, in quarters.  Seconds are
    position times seconds per quarter, each from its own exact position, so
    that nothing adds up rounding.
  * Before every drill, the first too, ``gap_bars`` bars of the drill's own
    first time signature are counted (one unless said otherwise).
  * A drill between repeat signs is played ``repetitions`` times without a gap;
    any other drill once.
  * Grace notes sound before the beat, so that the main note stays where the
    click is (common practice for slashed grace notes; used for all).  Each
    lasts an eighth of a quarter; together they take no more than half the time
    since the attack before, which is shortened by that much.  Before the first
    note of a drill they fall into the counted rest; where none is counted they
    begin on the beat and the note follows.
  * Grace notes after a note take their time from its end in the same way.
  * Staccato, fermatas and ornaments do not change a time here: the timeline
    holds what is written.
  * Cues and hidden notes do not sound.
"""

from drills.sound.timeline.laying import timeline
from drills.sound.timeline.passage import Passage, drill_passage, spot_passage, spot_start
from drills.sound.timeline.sounding import GRACE_LENGTH, Struck, struck
from drills.sound.timeline.times import BarTime, Beat, Clock, DrillTime, Sound, Timeline

__all__ = [
    "GRACE_LENGTH",
    "BarTime",
    "Beat",
    "Clock",
    "DrillTime",
    "Passage",
    "Sound",
    "Struck",
    "Timeline",
    "drill_passage",
    "spot_passage",
    "spot_start",
    "struck",
    "timeline",
]
