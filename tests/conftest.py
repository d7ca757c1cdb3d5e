"""What holds for all tests.

Property tests try other examples on every run at home; where CI is set in the
environment they try the same ones each time, so that a red check means a change.
"""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("ci", derandomize=True, deadline=None)
if os.environ.get("CI"):
    settings.load_profile("ci")
