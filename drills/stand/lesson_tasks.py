"""What the stand's processes do for a lesson: one file for a student, the one of ``hand-out``.

It is kept in the player's folder as ``hand-outs/STUDENT/NAME.zip``, so that a teacher finds again
what each student took home, and is given to the page to be saved or sent.
"""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Final

from drills.errors import UsageError
from drills.jobs.hand_out import HandOut, hand_out, spots_to_hand_out
from drills.jobs.request import Settings, Tell
from drills.jobs.sheets import file_name
from drills.output.files import OutputFile, make_folder, safe_name, write_files
from drills.stand.given import given_of
from drills.stand.telling import Told
from drills.stand.wishes import settings_of

FOLDER: Final = "hand-outs"
NOBODY: Final = "everybody"
"""The folder of what is for no student by name."""
MOST: Final = 500
"""Students and files of a student, more than which are refused."""


def students() -> list[str]:
    """Those who took something home already, by their folders."""
    folder = Path(FOLDER)
    if not folder.is_dir():
        return []
    found = sorted(path.name for path in folder.iterdir() if path.is_dir())
    return [name for name in found if name != NOBODY][:MOST]


def hand(
    of: tuple[str, str], places: tuple[str, ...], student: str, instrument: str, tell: Tell
) -> Told:
    """What ``drills hand-out SCORE --part PART --at PLACE --student NAME --for WHAT`` packs.

    ``of``: score and part; ``student`` and ``instrument`` may be empty.
    """
    score, part = of
    words = {"for_instrument": instrument} if instrument else {}
    settings, style = settings_of(words)
    known = given_of(Path(score))
    settings = Settings(rewriting=settings.rewriting, given=known)  # as the command: of all
    title, spots = spots_to_hand_out(Path(score), places, part, settings, tell)
    asked = [spot.sheet.spot.span.asked for spot in spots]
    name = HandOut(student=student).name_for(file_name(spots[0].sheet.part, asked))
    with tempfile.TemporaryDirectory() as folder:
        wanted = HandOut(Path(folder) / name, student, style=style)
        made = hand_out(title, spots, wanted, tell)
        packed, page = made.archive.read_bytes(), (made.folder / "open-me.html").read_bytes()
    kept = keep(student, name, packed)
    return {
        "files": [(f"{name}.zip", packed), (f"{name}.html", page)],
        "kept": kept,
        "remarks": list(made.remarks),
    }


def keep(student: str, name: str, packed: bytes) -> str:
    """Put a hand-out into the folder and say where; one of the same name is replaced."""
    own = Path(FOLDER) / (safe_name(student) if student else NOBODY)
    if len(students()) >= MOST or (own.is_dir() and len(list(own.iterdir())) >= MOST):
        raise UsageError(f"{FOLDER} is full ({MOST}); take something out of it first")
    make_folder(own)
    path = own / f"{name}.zip"
    write_files([OutputFile(path, packed)], force=True)
    return path.as_posix()
