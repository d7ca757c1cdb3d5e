"""Joining and dividing engraved PDFs, with a title, bookmarks and the same bytes every time.

Format: ISO 32000-1 (PDF 1.7), document information dictionary and outlines.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from io import BytesIO
from typing import Final, Self

import pikepdf

from drills.errors import EngraveError

CREATOR: Final = "drills"
MARK_KEY: Final = "/DrillsMark"
"""The entry of the document information dictionary that holds the mark."""


@dataclass(frozen=True, slots=True)
class Bookmark:
    """A line of the outline."""

    title: str
    page: int
    """From 0."""


def join_pdf(
    parts: Sequence[bytes],
    title: str,
    subject: str,
    mark: str,
    outline: Sequence[Bookmark] = (),
    *,
    empty_before: Sequence[int] = (),
) -> bytes:
    """All pages of ``parts`` in order as one PDF.

    ``empty_before`` are pages of the parts, from 0, before each of which an empty one goes;
    the pages of ``outline`` count those too.

    The same input gives the same bytes: dates are left out and the identifier
    is made from the content.  ``mark`` stands in the bytes as plain text.
    Raises EngraveError for a part that is no PDF.
    """
    try:
        return _joined(parts, (title, subject), mark, outline, empty_before)
    except pikepdf.PdfError as error:
        raise EngraveError(f"LilyPond's PDF cannot be read ({error}); try again") from error


def _joined(
    parts: Sequence[bytes],
    about: tuple[str, str],
    mark: str,
    outline: Sequence[Bookmark],
    empty_before: Sequence[int],
) -> bytes:
    with pikepdf.open(BytesIO(parts[0])) as whole:
        for part in parts[1:]:
            with pikepdf.open(BytesIO(part)) as more:
                whole.pages.extend(more.pages)
        for page in sorted(empty_before, reverse=True):
            box = whole.pages[page].mediabox
            whole.add_blank_page(page_size=(float(box[2]), float(box[3])))
            whole.pages.insert(page, whole.pages[-1])
            del whole.pages[-1]
        producer = str(whole.docinfo.get("/Producer", ""))
        for key in list(whole.docinfo.keys()):
            del whole.docinfo[key]
        return _finished(whole, (*about, producer), mark, outline)


class PageStore:
    """Engraved PDFs whose pages go into several documents, some pages into many.

    Used as a context; raises EngraveError for what is no PDF.
    """

    def __init__(self, sources: Sequence[bytes]) -> None:
        self._stack = ExitStack()
        try:
            self._sources = [
                self._stack.enter_context(pikepdf.open(BytesIO(source))) for source in sources
            ]
        except pikepdf.PdfError as error:
            self._stack.close()
            raise EngraveError(f"LilyPond's PDF cannot be read ({error}); try again") from error

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._stack.close()

    def document(
        self,
        pages: Sequence[tuple[int, int]],
        title: str,
        subject: str,
        mark: str,
        outline: Sequence[Bookmark] = (),
    ) -> bytes:
        """A PDF of these pages, each by its source and its number there, from 0.

        The same input gives the same bytes, as for join_pdf.
        """
        producer = str(self._sources[0].docinfo.get("/Producer", ""))
        with pikepdf.new() as made:
            for source, page in pages:
                made.pages.append(self._sources[source].pages[page])
            return _finished(made, (title, subject, producer), mark, outline)


def _finished(
    document: pikepdf.Pdf, about: tuple[str, str, str], mark: str, outline: Sequence[Bookmark]
) -> bytes:
    """The bytes of a document with ``about`` it (title, subject, producer), mark and outline."""
    title, subject, producer = about
    told = {"/Title": title, "/Subject": subject, "/Creator": CREATOR, "/Producer": producer}
    for key, text in {**told, MARK_KEY: mark}.items():
        if text:
            document.docinfo[key] = pikepdf.String(printable(text))
    if outline:
        with document.open_outline() as lines:
            lines.root.extend(
                pikepdf.OutlineItem(printable(one.title), one.page) for one in outline
            )
    written = BytesIO()
    document.save(
        written,
        deterministic_id=True,
        object_stream_mode=pikepdf.ObjectStreamMode.disable,
    )
    return written.getvalue()


def printable(text: str) -> str:
    """``text`` without lone surrogates, which no PDF string can hold."""
    return text.encode("utf-8", "replace").decode("utf-8")
