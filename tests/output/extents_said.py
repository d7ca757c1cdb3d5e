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
from drills.output.engrave.results import Engraved

_HOOK: Final = r"""
#(define (tell-fill page)
  (ly:message "drills: fill ~a ~a"
    (length (ly:prob-property page 'lines))
    (apply + (map (lambda (line)
                    (let ((tall (ly:stencil-extent (ly:prob-property line 'stencil) Y)))
                      (if (interval-sane? tall) (interval-length tall) 0)))
                  (ly:prob-property page 'lines)))))

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

_FILL: Final = re.compile(r"^drills: fill (\d+) (\S+)$")
_BETWEEN: Final = 1.5
"""Staff spaces between what stands on a page, at least."""
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


def engraved_with_boxes(text: str) -> tuple[Engraved, list[list[Box]]]:
    """A LilyPond text of ours engraved, and the boxes of every system."""
    told = text.replace("#(define (count-pages", _HOOK + "\n#(define (count-pages", 1)
    told = told.replace(
        '(ly:message "drills: pages ~a" (length pages))',
        '(ly:message "drills: pages ~a" (length pages))\n  (for-each tell-fill pages)'
        "(for-each tell-boxes pages)",
        1,
    )
    made = engrave([told], ("pdf",))
    found: list[list[Box]] = []
    for line in made.said.splitlines():
        if line.startswith("drills: system"):
            found.append([])
        elif (box := _BOX.match(line)) and found:
            name, *edges = box.groups()
            found[-1].append(Box(name, *map(float, edges)))
    return made, found


def page_heights(made: Engraved) -> list[list[float]]:
    """For each book part what each of its pages holds, in staff spaces, set as close as can be."""
    found: list[list[float]] = []
    for line in made.said.splitlines():
        if line.startswith("drills: pages"):
            found.append([])
        elif (fill := _FILL.match(line)) and found:
            found[-1].append(float(fill[2]) + _BETWEEN * int(fill[1]))
    return found


def collisions(
    boxes: Sequence[Box], texts: Sequence[str], others: Sequence[str], allowed: float = 0.1
) -> Iterator[tuple[Box, Box]]:
    """Texts that lie over something by more than ``allowed`` staff spaces both ways."""
    for text in (box for box in boxes if box.name in texts):
        for other in (box for box in boxes if box.name in others):
            if min(text.overlap(other)) > allowed:
                yield text, other
