"""What is practised in which order, how often and for how long, as data."""

from __future__ import annotations

from drills.output.data.music import value_data
from drills.output.data.text import Data, exact
from drills.sheets.blocks import Block, seconds_of
from drills.sheets.ladder import Ladder
from drills.sheets.sheet import Sheet


def plan_data(sheet: Sheet) -> Data | None:
    """How the time of a sheet is spent; None where everything is printed."""
    plan = sheet.plan
    if plan is None:
        return None
    return {
        "minutes": exact(plan.minutes),
        "spent": exact((seconds_of(sheet.blocks) + plan.breaks) / 60),
        "breaks": exact(plan.breaks / 60),
        "why": plan.why,
        "left_out": [
            {"block": one.key, "title": one.title, "drills": one.count} for one in plan.left_out
        ],
    }


def blocks_data(sheet: Sheet) -> list[Data]:
    """The blocks in the order of the page, each with the places of its drills in the list."""
    found: list[Data] = []
    at = 0
    for block in sheet.blocks:
        found.append(_block_data(block, at))
        at += len(block.drills)
    return found


def _block_data(block: Block, first: int) -> Data:
    return {
        "key": block.key,
        "kind": block.kind.value,
        "title": block.title,
        "instruction": block.instruction,
        "minutes": exact(block.seconds / 60),
        "ladder": ladder_data(block.ladder),
        "fingerings": list(block.fingerings),
        "printed": block.printed,
        "drills": list(range(first, first + len(block.drills))),
    }


def ladder_data(ladder: Ladder) -> Data:
    return {
        "beat": value_data(ladder.beat),
        "rungs": [exact(rung) for rung in ladder.rungs],
        "repetitions": ladder.repetitions,
        "clicks": [
            {"words": click.words, "numbers": [exact(number) for number in click.numbers]}
            for click in ladder.clicks
        ],
    }
