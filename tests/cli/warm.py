"""The program run in a child of a process that has imported it already.

Problem.  A hundred tests run the program to its end in a process of its own, and each would
spend more on importing than on what it tests.  Method.  One server a run of pytest
(multiprocessing, "forkserver") imports the slow modules once; each call is a fork of it with
the folder, environment and output of the call.  What a start itself does (encodings, the
order of hashes, missing streams) is not tried this way: that takes ``Player.cold``.
"""

from __future__ import annotations

import multiprocessing
import os
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Final

from drills.cli import main

LONGEST: Final = 120
"""Seconds for one call."""

_SERVER: Final = multiprocessing.get_context("forkserver")
_SERVER.set_forkserver_preload(
    [
        "tests.cli.warm",
        "drills.jobs.sheets",
        "drills.jobs.section",
        "drills.jobs.spots",
        "drills.output.engrave",
        "drills.reading.musicxml",
        "music21",
    ]
)


def run(
    arguments: Sequence[str], folder: Path, environment: Mapping[str, str]
) -> subprocess.CompletedProcess[str]:
    """Run the program to its end in a folder; what it wrote is read as UTF-8."""
    with tempfile.NamedTemporaryFile() as output, tempfile.NamedTemporaryFile() as errors:
        process = _SERVER.Process(
            target=_call,
            args=(tuple(arguments), folder, dict(environment), output.name, errors.name),
        )
        process.start()
        process.join(LONGEST)
        code = process.exitcode
        if code is None:
            process.kill()
            raise subprocess.TimeoutExpired(list(arguments), LONGEST)
        process.close()
        said, told = (Path(one.name).read_text("utf-8") for one in (output, errors))
    return subprocess.CompletedProcess(list(arguments), code, said, told)


def _call(
    arguments: Sequence[str], folder: Path, environment: dict[str, str], output: str, errors: str
) -> None:
    """What the child does: as a shell would start the program, and as its entry point does."""
    for number, name in enumerate((os.devnull, output, errors)):
        opened = os.open(name, os.O_RDONLY if number == 0 else os.O_WRONLY | os.O_APPEND)
        os.dup2(opened, number)
        os.close(opened)
    os.chdir(folder)
    os.environ.clear()
    os.environ.update(environment)
    tempfile.tempdir = None
    sys.argv = ["drills", *arguments]
    main()
