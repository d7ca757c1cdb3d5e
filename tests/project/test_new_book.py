"""A first book that reads well, and a book brought up to date that loses nothing."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drills.errors import BookError
from drills.project.book import BookSpot, parse_book
from drills.project.new_book import FoundPart, FoundSpot, extended, new_book, quoted

PATH = Path("harbour/book.toml")
MARCH = FoundPart(
    "march.musicxml",
    "Clarinet 2",
    (FoundSpot("33-34@1", "bar 33, the first bar of E, to beat 1 of bar 34"),),
    number=2,
    others=("Clarinet 1", "Tenor \\ Sax"),
)
AIR = FoundPart("air.musicxml", None, (), has_tempo=False)

FIRST = """\
title = "Harbour concert"
# The day of the first rehearsal; take the # away and set your own.
# first-rehearsal = 2027-03-01

[[part]]
file = "march.musicxml"
part = "Clarinet 2"
# Also in this score: "Clarinet 1", "Tenor \\\\ Sax"
# Marked in the score: "33-34@1"

[[part.spot]]
at = "33-34@1"  # bar 33, the first bar of E, to beat 1 of bar 34

[[part]]
file = "air.musicxml"
# The score gives no tempo; take the # away and set the performing tempo, in
# beats a minute.
# tempo = 120
"""

OWN = """\
title = "Mine"   # my title

# the march first
[[part]]
file = "march.musicxml" # loud
part = "Clarinet 2"

[[part.spot]]
at = "12"
note = \"\"\"
[[part]] is only text here\"\"\"
# done by Friday

# then the air
[[part]]
file = "air.musicxml"
# the end
"""


def test_a_first_book() -> None:
    text = new_book("Harbour concert", [MARCH, AIR])
    assert text.endswith(FIRST)
    assert all(line.startswith("#") for line in text.removesuffix(FIRST).splitlines() if line)
    book = parse_book(text.encode(), PATH)
    assert [(part.file, part.part) for part in book.parts] == [
        ("march.musicxml", "Clarinet 2"),
        ("air.musicxml", None),
    ]
    assert book.parts[0].spots == (BookSpot("33-34@1"),)


def test_the_commented_lines_are_right_once_they_are_taken_in() -> None:
    text = new_book("x", [AIR]).replace("# first-re", "first-re").replace("# tempo", "tempo")
    book = parse_book(text.encode(), PATH)
    assert book.parts[0].tempo == 120
    assert book.first_rehearsal is not None


def test_what_is_new_goes_to_its_part_and_all_else_stays() -> None:
    waltz = FoundPart("waltz.mxl", None, (FoundSpot("G", "bar 60"),))
    plain = OWN.replace('"""\n[[part]] is only text here"""', '"mine"')
    text = extended(plain.encode(), PATH, [MARCH, AIR, waltz])
    remembered = '\n# Marked in the score: "33-34@1"\n'
    before, after = text.split(f'{remembered}\n[[part.spot]]\nat = "33-34@1"', 1)
    assert before.endswith('note = "mine"\n')
    assert after.startswith("  # bar 33, the first bar of E, to beat 1 of bar 34\n# done by Friday")
    assert '# then the air\n[[part]]\nfile = "air.musicxml"\n# the end\n' in text
    assert text.endswith(
        '\n[[part]]\nfile = "waltz.mxl"\n# Marked in the score: "G"\n'
        '\n[[part.spot]]\nat = "G"  # bar 60\n'
    )
    lines = iter(text.splitlines())
    assert all(own in lines for own in plain.splitlines())  # each one, in the same order


def test_nothing_new_changes_nothing() -> None:
    text = new_book("Harbour concert", [MARCH, AIR])
    assert extended(text.encode(), PATH, [MARCH, AIR]) == text


def test_a_spot_that_was_taken_out_stays_out_and_a_new_mark_comes_in() -> None:
    text = new_book("Harbour concert", [MARCH, AIR])
    shorter = text.replace('\n[[part.spot]]\nat = "33-34@1"', "#")
    assert extended(shorter.encode(), PATH, [MARCH, AIR]) == shorter
    marked = replace(MARCH, spots=(*MARCH.spots, FoundSpot("G", "bar 60")))
    longer = extended(shorter.encode(), PATH, [marked, AIR])
    assert '\n# Marked in the score: "33-34@1", "G"\n' in longer
    assert parse_book(longer.encode(), PATH).parts[0].spots == (BookSpot("G"),)
    emptied = longer.replace('\n[[part.spot]]\nat = "G"', "#")
    assert extended(emptied.encode(), PATH, [marked, AIR]) == emptied


def test_a_remembering_line_that_was_spoilt_is_no_hindrance() -> None:
    text = new_book("x", [MARCH]).replace('score: "33-34@1"', 'score: "33-')
    assert extended(text.encode(), PATH, [MARCH]) == text


def test_a_part_named_by_its_number_is_told_by_its_name() -> None:
    text = new_book("x", [FoundPart("a.xml", "2", number=2, name="Horn\n3")])
    assert 'part = "2"  # Horn3\n' in text


def test_a_part_may_be_named_by_its_number() -> None:
    own = '[[part]]\nfile = "march.musicxml"\npart = 2\n'
    text = extended(own.encode(), PATH, [MARCH])
    assert text.count("[[part]]") == 1
    assert text.startswith(own)


def test_windows_line_ends_stay() -> None:
    own = '[[part]]\r\nfile = "air.musicxml"\r\n'
    text = extended(own.encode(), PATH, [MARCH])
    assert text.replace("\r\n", "").count("\n") == 0


def test_a_book_into_which_lines_cannot_be_put() -> None:
    own = '[[part]]\nfile = "march.musicxml"\nspot = [{at = "1"}]\n'
    with pytest.raises(BookError, match=r"write each part under \[\[part\]\]"):
        extended(own.encode(), PATH, [MARCH])
    with pytest.raises(BookError, match=r"write each part under \[\[part\]\]"):
        extended(OWN.encode(), PATH, [MARCH])


def test_a_book_that_is_wrong_is_not_touched() -> None:
    with pytest.raises(BookError, match="no key 'titel'"):
        extended(b"titel = 1\n", PATH, [MARCH])


# Scores cannot hold lone surrogates: XML 1.0, production 2 (Char).
_TEXT = st.text(st.characters(exclude_categories=["Cs"]))


@given(_TEXT)
def test_any_text_comes_back(text: str) -> None:
    book = parse_book(f"title = {quoted(text)}\n[[part]]\nfile = 'a'\n".encode(), PATH)
    assert book.title == text.strip()


@given(_TEXT, _TEXT, _TEXT, _TEXT)
def test_any_names_make_a_book(title: str, name: str, words: str, other: str) -> None:
    part = FoundPart("a.xml", f"x{name}x", (FoundSpot("12", words),), False, 1, (other,))
    book = parse_book(new_book(title, [part]).encode(), PATH)
    assert (book.title, book.parts[0].part) == (title.strip(), f"x{name}x")
    assert book.parts[0].spots == (BookSpot("12"),)
