"""What every request may need; one for the whole run."""

from __future__ import annotations

from dataclasses import dataclass

from starlette.requests import Request

from drills.stand.keeping import Kept
from drills.stand.pairing import Pairing
from drills.stand.shelf import Shelf
from drills.stand.work import Workers


@dataclass(frozen=True, slots=True)
class Stand:
    """The folder, the processes, and what was made lately."""

    shelf: Shelf
    workers: Workers
    kept: Kept
    pairing: Pairing | None = None


def stand_of(request: Request) -> Stand:
    """The one of this run."""
    stand: Stand = request.app.state.stand
    return stand
