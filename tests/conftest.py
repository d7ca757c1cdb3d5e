"""What holds for all tests.

Property tests try other examples on every run at home; where CI is set in the
environment they try the same ones each time, so that a red check means a change.
Nowhere has an example a time limit: no test asserts a time.

Where no LilyPond can be run, a test that fails for want of it is skipped, with the
program's own message as the reason; where there is one, nothing is.
"""

from __future__ import annotations

import os
from collections.abc import Generator

import pytest
from hypothesis import settings

from drills.errors import NoEngraverError
from drills.output.engrave import find_lilypond
from drills.output.engrave.program import HOW_TO_GET_ONE

settings.register_profile("home", deadline=None)
settings.register_profile("ci", derandomize=True, deadline=None)
settings.load_profile("ci" if os.environ.get("CI") else "home")


def _why_no_lilypond() -> str:
    try:
        find_lilypond()
    except NoEngraverError as error:
        return str(error)
    return ""


NO_LILYPOND = _why_no_lilypond()
"""Why no LilyPond can be run; empty where one can."""


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item,
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Skip what fails for want of LilyPond."""
    report = yield
    if NO_LILYPOND and report.failed:
        said = " ".join((report.longreprtext, report.capstderr, report.capstdout))
        if HOW_TO_GET_ONE[:30] in said or "NoEngraverError" in said:
            report.outcome = "skipped"
            report.longrepr = (str(item.path), item.location[1] or 0, f"Skipped: {NO_LILYPOND}")
    return report
