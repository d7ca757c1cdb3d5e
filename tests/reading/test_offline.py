"""Reading brings no network client into the process, and takes none away."""

from __future__ import annotations

import subprocess
import sys

READER_ONLY = """
import sys
import drills.reading.musicxml
assert "requests" not in sys.modules and "urllib3" not in sys.modules
import requests
assert requests.get
"""
CLIENT_FIRST = """
import requests
import drills.reading.musicxml
import sys
assert sys.modules["requests"] is requests and requests.get
"""


def test_no_network_client_is_imported_for_reading() -> None:
    subprocess.run([sys.executable, "-c", READER_ONLY], check=True, timeout=60)


def test_a_client_that_is_there_stays() -> None:
    subprocess.run([sys.executable, "-c", CLIENT_FIRST], check=True, timeout=60)
