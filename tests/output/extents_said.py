"""Where LilyPond has put everything, asked of LilyPond itself.

The text of a sheet gets a hook that is called with the finished pages: for every system it
says the name of each object and its box, relative to the system, in staff spaces, the
system's own size, and where it lies on the page.  Nothing is read off a picture.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from drills.output.engrave import engrave

_HOOK: Final = r"""
#(define (tell-boxes page)
  (let ((number 0))
    (for-each
      (lambda (line)
        (let ((system (ly:prob-property line 'system-grob #f)))
          (if (ly:grob? system)
            (begin
              (set! number (1+ number))
              (ly:message "drills: system ~a" number)
              (for-each
                (lambda (grob)
                  (let ((x (ly:grob-extent grob system X)) (y (ly:grob-extent grob system Y)))
                    (if (and (interval-sane? x) (interval-sane? y)
                             (ly:stencil? (ly:grob-property grob 'stencil #f)))
                      (ly:message "drills: box ~a ~a ~a ~a ~a"
                        (assoc-get 'name (ly:grob-property grob 'meta))
                        (car x) (cdr x) (car y) (cdr y)))))
                (ly:grob-array->list (ly:grob-object system 'all-elements)))))))
      (ly:prob-property page 'lines))))

#(define (interval-sane? x) (and (< -inf.0 (car x)) (< (cdr x) +inf.0) (<= (car x) (cdr x))))
"""

_BOX: Final = re.compile(r"^drills: box (\S+) (\S+) (\S+) (\S+) (\S+)$")


@dataclass(frozen=True, slots=True)
class Box:
    """One object of a system, in staff spaces."""

    name: str
    left: float
    right: float
    low: float
    high: float

    def overlap(self, other: Box) -> tuple[float, float]:
        """How far two boxes lie over each other, across and up; negative where they do not."""
        return (
            min(self.right, other.right) - max(self.left, other.left),
            min(self.high, other.high) - max(self.low, other.low),
        )


def systems_of(text: str) -> list[list[Box]]:
    """The boxes of every system of a LilyPond text of ours."""
    told = text.replace("#(define (count-pages", _HOOK + "\n#(define (count-pages", 1)
    told = told.replace(
        '(ly:message "drills: pages ~a" (length pages))',
        '(ly:message "drills: pages ~a" (length pages))\n  (for-each tell-boxes pages)',
        1,
    )
    said = engrave([told], ("pdf",)).said
    found: list[list[Box]] = []
    for line in said.splitlines():
        if line.startswith("drills: system"):
            found.append([])
        elif (box := _BOX.match(line)) and found:
            name, *edges = box.groups()
            found[-1].append(Box(name, *map(float, edges)))
    return found


def collisions(
    boxes: Sequence[Box], texts: Sequence[str], others: Sequence[str], allowed: float = 0.1
) -> Iterator[tuple[Box, Box]]:
    """Texts that lie over something by more than ``allowed`` staff spaces both ways."""
    for text in (box for box in boxes if box.name in texts):
        for other in (box for box in boxes if box.name in others):
            if min(text.overlap(other)) > allowed:
                yield text, other
