"""What is said of the rungs of a practice, from verdicts made by hand."""

from __future__ import annotations

from dataclasses import replace

from drills.jobs.judged_rung import JudgedRung, practice_sentence
from tests.listening.verdicts import verdict

CLEAN = verdict(0, 0, 0)
WRONG = verdict(0, 0, 0, calls=("right", "wrong", "right"))
SLIP = verdict(0, 0, 0, calls=("right", "right", "wrong"))
UNHEARD = replace(verdict(0, 0, 0, calls=("right", "unclear", "right")), doubt="others")


def test_what_breaks_in_most_of_the_times() -> None:
    """A slip beside it is not named."""
    rungs = (
        JudgedRung("96", "", (CLEAN, SLIP, CLEAN)),
        JudgedRung("104", "", (WRONG, SLIP, WRONG)),
    )
    assert [rung.clean for rung in rungs] == [True, False]
    assert rungs[1].breaks == (2,)
    said = practice_sentence(rungs)
    assert said.startswith("Clean up to 96; at 104 note 2 breaks it. Stay on 96")


def test_a_rung_that_was_not_heard_is_not_clean() -> None:
    rungs = (JudgedRung("96", "", (CLEAN,)), JudgedRung("104", "", (UNHEARD,)))
    assert rungs[1].unsure
    assert practice_sentence(rungs) == "Clean up to 96; at 104 not every note could be heard."
