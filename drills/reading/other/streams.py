"""music21's readers of other formats -> a MusicXML document.

Problem: music21 reads Humdrum and MEI into streams, with lengths as fractions.
Method: its own writer of MusicXML tells each note's printed value, dots and tuplet beside
a duration, and the MusicXML reader computes exact times from what is printed, so that
nothing is rounded on the way (timing.py).  Whatever music21 raises on a file becomes a
ReadError here.
"""

from __future__ import annotations

import contextlib
import io
import logging
import warnings
from collections.abc import Callable, Iterator
from typing import Final

from drills.errors import ReadError
from drills.reading.offline import without_network_client

with without_network_client():
    from music21.duration import Duration
    from music21.exceptions21 import Music21Exception
    from music21.musicxml.m21ToXml import GeneralObjectExporter
    from music21.stream import Measure, Opus, Score, Stream

_FOREIGN: Final = (
    Music21Exception,
    ArithmeticError,
    AssertionError,
    AttributeError,
    LookupError,
    TypeError,
    ValueError,
)
"""What music21 may raise on a file that it cannot make sense of."""


def read_stream(read: Callable[[], Stream], kind: str, where: str) -> Score:
    """The one score that music21 makes of a file; of several the first.

    Raises ReadError for a file that music21 stumbles over or finds no notes in.
    """
    with _quietly(kind, where):
        found = read()
        score = found.scores[0] if isinstance(found, Opus) and found.scores else found
        if not isinstance(score, Score) or not score.recurse().notesAndRests:
            raise ReadError(f"{where}: the {kind} file holds no notes that can be read")
        return score


def document(score: Score, kind: str, where: str) -> bytes:
    """A score of music21 as MusicXML; raises ReadError where it cannot be written."""
    with _quietly(kind, where):
        _leave_short(score)
        return bytes(GeneralObjectExporter(score).parse())


def _leave_short(score: Score) -> None:
    """Let bars that their notes do not fill be short, in place of rests that nobody wrote.

    The first bar lacks its beginning (a pickup), any other its end.  A bar is as long as in
    the part that fills it best.
    """
    rows = [list(part.getElementsByClass(Measure)) for part in score.parts]
    for place, column in enumerate(zip(*rows, strict=False)):
        filled = max(measure.highestTime for measure in column)
        for measure in column:
            full = measure.barDuration.quarterLength
            if 0 < filled < full:
                measure.duration = Duration(filled)
                if place:
                    measure.paddingRight = full - filled
                else:
                    measure.paddingLeft = full - filled


@contextlib.contextmanager
def _quietly(kind: str, where: str) -> Iterator[None]:
    """Nothing on the screen, and every error of music21 as one of ours."""
    try:
        with warnings.catch_warnings(), contextlib.redirect_stderr(io.StringIO()):
            warnings.simplefilter("ignore")
            logging.disable(logging.CRITICAL)
            yield
    except _FOREIGN as error:
        reason = str(error).splitlines()[0][:120] if str(error) else type(error).__name__
        raise ReadError(
            f"{where}: the {kind} file cannot be read ({reason}); export the score as MusicXML"
        ) from error
    finally:
        logging.disable(logging.NOTSET)
