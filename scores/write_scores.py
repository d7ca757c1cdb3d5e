"""Write the demo scores: source/*.txt in, one MusicXML 4.0 file each out.

    python scores/write_scores.py              into this folder
    python scores/write_scores.py FOLDER       into another one

The same sources give the same bytes.  source/README.md describes the notation.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Final

from maker.text import SourceError, read_piece
from maker.xml import to_musicxml

HERE: Final = Path(__file__).resolve().parent


def main() -> int:
    """Write every score; 1 where a source cannot be read."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("folder", nargs="?", type=Path, default=HERE, help="where to write")
    folder: Path = parser.parse_args().folder
    for source in sorted(HERE.glob("source/*.txt")):
        target = folder / f"{source.stem}.musicxml"
        try:
            target.write_bytes(to_musicxml(read_piece(source)))
        except SourceError as error:
            print(error, file=sys.stderr)
            return 1
        print(target)
    return 0


if __name__ == "__main__":
    sys.exit(main())
