"""Sheets and parts as plain data, for other programs.

The fields are described in docs/json.md and checked by the JSON Schemas in
docs/schema/.  What is exact stays exact: lengths, positions and metronome
numbers are strings such as "3/2".  ``SCHEMA`` grows when a field changes its
meaning or goes; a new field leaves it as it is.
"""

from drills.output.data.efforts import moves_data, project_data, spots_data
from drills.output.data.parts import part_data
from drills.output.data.practice import practices_data
from drills.output.data.section import section_data
from drills.output.data.sheets import sheets_data
from drills.output.data.takes import TakeRow, takes_data
from drills.output.data.text import SCHEMA, json_text

__all__ = [
    "SCHEMA",
    "TakeRow",
    "json_text",
    "moves_data",
    "part_data",
    "practices_data",
    "project_data",
    "section_data",
    "sheets_data",
    "spots_data",
    "takes_data",
]
