"""Are the files of sixty calls the same as before, byte for byte?

    python bench/same_outputs.py > before.txt      # with the old code
    python bench/same_outputs.py > after.txt       # with the new code
    diff before.txt after.txt

For a change of the code that must not change what a player gets.  Every call runs in
a folder of its own with copies of the demo scores; a line is printed for each file that it
wrote, for what it printed and for its exit code.  Calls over all commands, errors included.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).resolve().parent.parent

CALLS: Final = """\
sheet march.musicxml --part 2 --at 33
sheet march.musicxml --part 2 --at D
sheet march.musicxml --part 2 --at 33 --also midi --also musicxml --also ly
sheet march.musicxml --part 2 --at 33 --also svg
sheet march.musicxml --part 2 --at 33@3-34@1 --approach --no-landing
sheet march.musicxml --part 2 --at 33 --rhythm dotted --rhythm bursts --rhythm 3:1:1:2
sheet march.musicxml --part 2 --at 33 --sizes 2,3 --order grow --cell-end round
sheet march.musicxml --part 2 --at 33 --order back --cell-end rest
sheet march.musicxml --part 2 --at D:4-D:5@1 --tempo 126 --start 50 --rungs 10
sheet march.musicxml --part 2 --at 33 --student --teacher --staff-size 22
sheet march.musicxml --part 2 --at 33 --paper letter
sheet march.musicxml --part 2 --at 33 --json
sheet march.musicxml --part 2 --at 33 --functions
sheet march.musicxml --part 2 --at 33 --chord 33=C9 --json
sheet march.musicxml --part 2 --at C:8 --for alto-saxophone
sheet march.musicxml --part 2 --at C:8 --for "alto saxophone"
sheet march.musicxml --part 2 --at C:8 --for "horn in F" --for-pitch written --json
sheet march.musicxml --part "Clarinet 1" --at 33 --hardest 2
sheet march.musicxml --part 99 --at 33
sheet march.musicxml --at 33
sheet march.musicxml --part 2 --at 999
sheet march.musicxml --part 2 --at D#9
sheet air.musicxml --part 1 --at 5-8
sheet air.musicxml --part 2 --at B --student --teacher --cell-end rest --order back
sheet air.musicxml --part 1 --at 5-8 --also musicxml --json
sheet swing.musicxml --part 2 --at 8-9 --rhythm swung --rhythm grouped-in-threes
sheet swing.musicxml --part 1 --at 8 -o page.png
spots march.musicxml --part "Clarinet 1" --top 3
spots march.musicxml --part 1 --json
spots march.musicxml --part 3 --instrument "alto saxophone"
spots march.musicxml --part "Clarinet 1" --plot march.svg
spots march.musicxml --part "Clarinet 1" --plot march.png
spots --move "D4 D5" --instrument "alto saxophone"
spots air.musicxml --part 2
spots swing.musicxml --part 1 --tempo 200
click march.musicxml --part "Clarinet 1" --at 33 --rungs 2
click march.musicxml --part 2 --at 33 --click beats --click 2,4 --click 4 --rungs 3
click march.musicxml --part 2 --at 33 --click "every 3 sixteenths" --accent none --rungs 2
click march.musicxml --part 2 --at 33 --json
click march.musicxml --part 2 --at 33 -o only.mid
click march.musicxml --part 2 --at 33 --with section --rungs 2 -o band.flac
click swing.musicxml --part 2 --at 8-9 --groove swing --click none --rungs 2 -o swing.ogg
click swing.musicxml --part 2 --at 8-9 --groove swing --with line --swing-line --rungs 2
click air.musicxml --part 1 --at 5-8 --with chord --tuning pure --pitch 442 --rungs 1
click march.musicxml --part 2 --at 33 --each --also pdf --rungs 2
click march.musicxml --part 2 --at 33 --groove polka --rungs 2
section march.musicxml --at 33
section march.musicxml --at 33 --parts "Clarinet 1,Clarinet 2" -o clarinets
section march.musicxml --at 33 --chord 33=C9 --json
section air.musicxml --at B
section air.musicxml --at 999
book harbour.toml
book harbour.toml --json
book harbour.toml -o book.ly
book --new spring
book nothing.toml
show march.musicxml
show air.musicxml --part 1
show swing.musicxml --json
show nothing.musicxml
demo
--help
""".splitlines()


def digest(content: bytes) -> str:
    """Enough of the hash to tell files apart."""
    return hashlib.sha256(content).hexdigest()[:20]


def told(call: str) -> str:
    """What one call wrote and printed, a line each."""
    import shlex  # noqa: PLC0415 - beside its use

    with tempfile.TemporaryDirectory() as folder:
        for path in (ROOT / "scores").iterdir():
            if path.is_file() and path.suffix in {".musicxml", ".toml"}:
                shutil.copy(path, folder)
        before = {path.name for path in Path(folder).iterdir()}
        home = os.environ | {"PYTHONPATH": str(ROOT), "COLUMNS": "80"}
        done = subprocess.run(
            [sys.executable, "-m", "drills", *shlex.split(call)],
            cwd=folder,
            env=home,
            capture_output=True,
            check=False,
            stdin=subprocess.DEVNULL,
        )
        lines = [f"drills {call}", f"  exit {done.returncode}"]
        for name, content in (("printed", done.stdout), ("told", done.stderr)):
            lines.append(f"  {name} {digest(content.replace(folder.encode(), b''))}")
        for path in sorted(Path(folder).rglob("*")):
            if path.is_file() and path.name not in before:
                lines.append(f"  {path.relative_to(folder)} {digest(path.read_bytes())}")
    return "\n".join(lines)


def main() -> None:
    """Two calls at a time, printed in their order."""
    with ThreadPoolExecutor(2) as pool:
        for lines in pool.map(told, CALLS):
            print(lines, flush=True)


if __name__ == "__main__":
    main()
