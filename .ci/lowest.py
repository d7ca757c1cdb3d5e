"""The lowest versions that pyproject.toml allows, as constraints for pip.

python .ci/lowest.py > lowest.txt && pip install -c lowest.txt .
"""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

PROJECT = tomllib.loads((Path(__file__).parents[1] / "pyproject.toml").read_text("utf-8"))
HOOK = PROJECT["tool"]["hatch"]["metadata"]["hooks"]["custom"]

for requirement in HOOK["dependencies"]:
    name, version = re.match(r"([\w-]+)>=([\d.]+)", requirement).groups()
    print(f"{name}=={version}")
