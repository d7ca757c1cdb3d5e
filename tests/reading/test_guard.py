"""Files from strangers: hostile, broken and odd ones, each made for real and opened.

The attacks are those that the OWASP cheat sheet on XML security names (entity
expansion, external entities, oversized documents), and what the MusicXML format
adds: compressed files, numbers that ask for endless work.  A canary file and a
server on this machine show that nothing is read or fetched.
"""

from __future__ import annotations

import http.server
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from drills.errors import LimitError, NotMusicXMLError, ReadError
from drills.reading.limits import Limits
from drills.reading.musicxml import open_score, read_all
from tests.reading.made import (
    DOCTYPE,
    HEAD,
    attributes,
    bar,
    note,
    pitches,
    read,
    saved,
    scale_bar,
    score,
)

GOOD = score(scale_bar())


def opened(folder: Path, text: str, limits: Limits | None = None) -> None:
    """Open and read everything."""
    read_all(open_score(saved(folder, text), limits))


def with_doctype(declarations: str, title: str) -> str:
    return GOOD.replace(HEAD, f"{HEAD}<!DOCTYPE score-partwise [{declarations}]>").replace(
        "<part-list>", f"<movement-title>{title}</movement-title><part-list>"
    )


class _Counting(http.server.BaseHTTPRequestHandler):
    asked: list[str]

    def do_GET(self) -> None:
        self.asked.append(self.path)
        self.send_response(200)
        self.end_headers()
        self.wfile.write(b"secret")

    def log_message(self, *_: object) -> None:
        """Nothing on standard error."""


@pytest.fixture
def server() -> Iterator[tuple[str, list[str]]]:
    """A server on this machine that counts who asks it."""
    asked: list[str] = []
    handler = type("Handler", (_Counting,), {"asked": asked})
    with http.server.HTTPServer(("127.0.0.1", 0), handler) as running:
        thread = threading.Thread(target=running.serve_forever)
        thread.start()
        yield f"http://127.0.0.1:{running.server_address[1]}", asked
        running.shutdown()
        thread.join()


def test_a_good_score_opens(tmp_path: Path) -> None:
    assert pitches(read(tmp_path, GOOD).bars[0]) == ["C5", "D5", "E5", "F5"]


class TestEntities:
    def test_billion_laughs(self, tmp_path: Path) -> None:
        laughs = '<!ENTITY a "ha">' + "".join(
            f'<!ENTITY {chr(98 + n)} "{f"&{chr(97 + n)};" * 10}">' for n in range(9)
        )
        with pytest.raises(ReadError, match="declares entities of its own"):
            opened(tmp_path, with_doctype(laughs, "&j;"))

    def test_quadratic_blow_up(self, tmp_path: Path) -> None:
        declared = f'<!ENTITY a "{"x" * 100_000}">'
        with pytest.raises(ReadError, match="declares entities of its own"):
            opened(tmp_path, with_doctype(declared, "&a;" * 20))

    def test_declarations_behind_a_long_comment(self, tmp_path: Path) -> None:
        text = with_doctype('<!ENTITY a "ha">', "&a;")
        text = text.replace(HEAD, f"{HEAD}<!--{'x' * 100_000}-->")
        with pytest.raises(ReadError, match="declares entities of its own"):
            opened(tmp_path, text)

    def test_external_entity_of_a_file_is_not_read(self, tmp_path: Path) -> None:
        canary = tmp_path / "canary.txt"
        canary.write_text("the canary sang", encoding="utf-8")
        text = with_doctype(f'<!ENTITY x SYSTEM "{canary.as_uri()}">', "&x;")
        with pytest.raises(ReadError, match="declares entities of its own") as raised:
            opened(tmp_path, text)
        assert "canary sang" not in str(raised.value)

    def test_external_entity_of_a_server_is_not_fetched(
        self, tmp_path: Path, server: tuple[str, list[str]]
    ) -> None:
        address, asked = server
        with pytest.raises(ReadError, match="declares entities of its own"):
            opened(tmp_path, with_doctype(f'<!ENTITY x SYSTEM "{address}/x">', "&x;"))
        assert asked == []

    def test_parameter_entity(self, tmp_path: Path, server: tuple[str, list[str]]) -> None:
        address, asked = server
        with pytest.raises(ReadError, match="declares entities of its own"):
            opened(tmp_path, with_doctype(f'<!ENTITY % x SYSTEM "{address}/x"> %x;', "t"))
        assert asked == []

    def test_the_standard_doctype_is_fine_and_never_fetched(
        self, tmp_path: Path, server: tuple[str, list[str]]
    ) -> None:
        address, asked = server
        doctype = DOCTYPE.replace("http://www.musicxml.org", address)
        opened(tmp_path, score(scale_bar(), doctype=doctype))
        opened(tmp_path, score(scale_bar(), doctype=DOCTYPE))
        assert asked == []

    def test_xinclude_is_not_followed(self, tmp_path: Path) -> None:
        canary = saved(tmp_path, "the canary sang", "canary.txt")
        include = (
            '<movement-title><xi:include xmlns:xi="http://www.w3.org/2001/XInclude" '
            f'href="{canary.as_uri()}" parse="text"/></movement-title>'
        )
        file = saved(tmp_path, score(scale_bar(), head=include))
        assert "canary" not in open_score(file).credits.title

    def test_a_common_name_without_declaration_reads_as_its_character(self, tmp_path: Path) -> None:
        rights = "<identification><rights>&copy; the band</rights></identification>"
        file = saved(tmp_path, score(scale_bar(), head=rights, doctype=DOCTYPE))
        assert open_score(file).credits.rights == "\N{COPYRIGHT SIGN} the band"


class TestBroken:
    @pytest.mark.parametrize(
        ("content", "message"),
        [
            (b"", "the file is empty"),
            (b"  \n\n", "the file is empty"),
            (b"\x00" * 100, "the file is empty"),
            (b"%PDF-1.7\n", "this is a PDF"),
            (b"RIFF\x00\x00\x00\x00WAVEfmt ", "this is a sound file"),
            (b'\\version "2.24.3"\n{ c d e }', "this is LilyPond text"),
            (b"just some words", "this is no format that is read"),
            (b"\x89PNG\r\n\x1a\n", "this is a picture"),
            (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "XML of another kind .*<svg>"),
            (b"<museScore version='4'/>", "XML of another kind .*<museScore>"),
            (b"<opus/>", "XML of another kind .*<opus>"),
        ],
    )
    def test_not_musicxml(self, tmp_path: Path, content: bytes, message: str) -> None:
        path = tmp_path / "score.musicxml"
        path.write_bytes(content)
        with pytest.raises(NotMusicXMLError, match=message):
            open_score(path)

    @pytest.mark.parametrize(
        ("old", "new"),
        [
            ("</note>", "</nte>"),
            ("</part>", ""),
            ("<part-list>", "<part-list"),
            ("</score-partwise>", ""),
            ("version", 'version="4.0" version'),
            ("<measure", "<measure &"),
        ],
    )
    def test_malformed(self, tmp_path: Path, old: str, new: str) -> None:
        with pytest.raises(ReadError, match="not well-formed XML"):
            opened(tmp_path, GOOD.replace(old, new, 1))

    def test_malformed_in_one_part_of_several(self, tmp_path: Path) -> None:
        text = score(scale_bar(), scale_bar()).replace("</note>", "</nte>", 1)
        with pytest.raises(ReadError, match="not well-formed XML"):
            opened(tmp_path, text)

    def test_cut_off_in_the_middle(self, tmp_path: Path) -> None:
        with pytest.raises(ReadError, match="not well-formed XML"):
            opened(tmp_path, GOOD[: len(GOOD) // 2])

    @pytest.mark.parametrize(
        "text",
        [
            "<score-partwise/>",
            "<score-partwise><part-list/></score-partwise>",
            '<score-partwise><part-list/><part id="P1"/></score-partwise>',
            "<score-timewise/>",
        ],
    )
    def test_an_empty_score(self, tmp_path: Path, text: str) -> None:
        with pytest.raises(NotMusicXMLError, match="the score is empty: it has no bars"):
            opened(tmp_path, text)

    def test_a_file_that_is_not_there(self, tmp_path: Path) -> None:
        with pytest.raises(ReadError, match=r"none\.musicxml: no such file"):
            open_score(tmp_path / "none.musicxml")

    def test_a_folder(self, tmp_path: Path) -> None:
        with pytest.raises(ReadError, match="a folder, not a file"):
            open_score(tmp_path)

    def test_a_name_that_no_file_system_has(self, tmp_path: Path) -> None:
        with pytest.raises(ReadError, match="check the name"):
            open_score(tmp_path / ("x" * 5_000))


class TestLimits:
    """One real file beyond each limit; the message says how to raise it, and that works."""

    def refused(self, folder: Path, text: str, name: str, enough: int, **lower: int) -> None:
        limits = Limits().with_values({key: str(value) for key, value in lower.items()})
        with pytest.raises(LimitError, match=f"raise the limit with --limit {name}=") as raised:
            opened(folder, text, limits)
        assert f"limit of {getattr(limits, name):,}" in str(raised.value)
        opened(folder, text, limits.with_values({name: str(enough)}))

    def test_file_size(self, tmp_path: Path) -> None:
        text = GOOD + " " * 5_000
        self.refused(tmp_path, text, "file_size", len(text), file_size=5_000)

    def test_a_file_without_end_is_not_read_to_its_end(self) -> None:
        with pytest.raises(LimitError, match="file_size"):
            open_score(Path("/dev/zero"), Limits(file_size=100_000))

    def test_depth(self, tmp_path: Path) -> None:
        nested = "<credit>" * 70 + "</credit>" * 70
        self.refused(tmp_path, score(scale_bar(), head=nested), "depth", 80)

    @pytest.mark.parametrize("depth", [300, 100_000])
    def test_depth_that_the_parser_refuses(self, tmp_path: Path, depth: int) -> None:
        nested = "<credit>" * depth + "</credit>" * depth
        with pytest.raises(LimitError, match=r"nested more than 256 deep.*--limit depth="):
            opened(tmp_path, score(scale_bar(), head=nested))

    def test_depth_can_be_raised_above_what_the_parser_allows_by_itself(
        self, tmp_path: Path
    ) -> None:
        nested = "<credit>" * 300 + "</credit>" * 300
        opened(tmp_path, score(scale_bar(), head=nested), Limits(depth=400))

    def test_parts(self, tmp_path: Path) -> None:
        self.refused(tmp_path, score(*[scale_bar()] * 5), "parts", 5, parts=4)

    def test_bars(self, tmp_path: Path) -> None:
        rest = "<note><rest/><duration>8</duration></note>"
        text = score(scale_bar() + bar(rest) * 10_000)
        self.refused(tmp_path, text, "bars", 10_001)

    def test_hundred_thousand_bars_are_refused_before_they_are_read(self, tmp_path: Path) -> None:
        with pytest.raises(LimitError, match=r"a part has 100,001 bars.*limit of 10,000"):
            opened(tmp_path, score(scale_bar() + "<measure/>" * 100_000))

    def test_notes(self, tmp_path: Path) -> None:
        self.refused(tmp_path, score(scale_bar() * 3), "notes", 12, notes=11)

    def test_notes_of_a_bar(self, tmp_path: Path) -> None:
        crowd = bar(attributes(divisions=256) + note(duration=1, kind="1024th") * 40)
        self.refused(tmp_path, score(crowd), "bar_notes", 42, bar_notes=39)

    def test_jumps_in_a_bar(self, tmp_path: Path) -> None:
        jumps = "<forward><duration>1</duration></forward>" * 20
        self.refused(tmp_path, score(bar(attributes() + jumps)), "bar_notes", 30, bar_notes=15)

    @pytest.mark.parametrize("beats", ["10000000", "1+" * 5_000 + "1", "9" * 6_000])
    def test_beats(self, tmp_path: Path, beats: str) -> None:
        text = score(bar(attributes(time=f"{beats}/4") + note()))
        with pytest.raises(LimitError, match=r"bar 1: a time signature of .* --limit beats="):
            opened(tmp_path, text)

    def test_beats_can_be_raised(self, tmp_path: Path) -> None:
        text = score(bar(attributes(time="300/64") + note()))
        self.refused(tmp_path, text, "beats", 300)

    def test_divisions(self, tmp_path: Path) -> None:
        text = score(bar(attributes(divisions=20_000_000) + note(duration=20_000_000)))
        self.refused(tmp_path, text, "divisions", 20_000_000)

    def test_staves(self, tmp_path: Path) -> None:
        text = score(bar(attributes(extra="<staves>1000000</staves>") + note()))
        with pytest.raises(LimitError, match=r"1,000,000 staves.*limit of 16.*--limit staves="):
            opened(tmp_path, text)

    def test_dots(self, tmp_path: Path) -> None:
        text = score(bar(attributes() + note(inside="<dot/>" * 100_000)))
        with pytest.raises(LimitError, match=r"100,000 dots.*--limit dots="):
            opened(tmp_path, text)

    def test_tuplet(self, tmp_path: Path) -> None:
        inside = (
            "<time-modification><actual-notes>5000</actual-notes>"
            "<normal-notes>4</normal-notes></time-modification>"
        )
        text = score(bar(attributes(divisions=5_000) + note(duration=4, inside=inside)))
        self.refused(tmp_path, text, "tuplet", 5_000)

    def test_length_of_a_bar(self, tmp_path: Path) -> None:
        text = score(bar(attributes() + note(duration=3_000, kind="")))
        self.refused(tmp_path, text, "bar_quarters", 1_500)

    def test_absurd_length_of_a_bar(self, tmp_path: Path) -> None:
        text = score(bar(attributes() + note(duration="9" * 15, kind="")))
        with pytest.raises(LimitError, match="--limit bar_quarters="):
            opened(tmp_path, text)

    def test_a_long_empty_forward(self, tmp_path: Path) -> None:
        jump = "<forward><duration>99999999</duration></forward>"
        with pytest.raises(LimitError, match="--limit bar_quarters="):
            opened(tmp_path, score(bar(attributes() + note() + jump)))

    def test_number_of_a_bar(self, tmp_path: Path) -> None:
        self.refused(tmp_path, score(scale_bar("1" * 40)), "number_text", 40)

    def test_number_of_an_ending(self, tmp_path: Path) -> None:
        line = '<barline><ending number="1-100000000" type="start"/></barline>'
        text = score(bar(attributes() + note() + line))
        with pytest.raises(LimitError, match="100,000,000 is above the limit of 100"):
            opened(tmp_path, text)

    def test_text_of_an_ending(self, tmp_path: Path) -> None:
        line = f'<barline><ending number="{"1, " * 40}2" type="start"/></barline>'
        self.refused(tmp_path, score(bar(attributes() + note() + line)), "ending_text", 200)

    def test_times_of_a_repeat(self, tmp_path: Path) -> None:
        line = '<barline><repeat direction="backward" times="400000"/></barline>'
        text = score(bar(attributes() + note() + line))
        self.refused(tmp_path, text, "ending_number", 400_000)

    def test_numbers_of_six_thousand_digits(self, tmp_path: Path) -> None:
        line = f'<barline><repeat direction="backward" times="{"9" * 6_000}"/></barline>'
        with pytest.raises(LimitError, match="--limit ending_number="):
            opened(tmp_path, score(bar(attributes() + note() + line)))

    def test_long_names_are_cut_not_refused(self, tmp_path: Path) -> None:
        text = score(scale_bar(), names=("x" * 100_000,))
        assert len(open_score(saved(tmp_path, text)).entries[0].name) == Limits().text


class TestNumbersThatMakeNoSense:
    @pytest.mark.parametrize("duration", ["-2", "two", "1e99", "", "NaN", "9" * 400, "1/2"])
    def test_duration(self, tmp_path: Path, duration: str) -> None:
        broken = note().replace("<duration>2<", f"<duration>{duration}<")
        with pytest.raises(ReadError, match=r"bar 1: a duration of .* makes no sense"):
            opened(tmp_path, score(bar(attributes() + broken)))

    @pytest.mark.parametrize("divisions", ["0", "-4", "", "many", "1e3"])
    def test_divisions(self, tmp_path: Path, divisions: str) -> None:
        text = score(bar(attributes().replace(">2<", f">{divisions}<", 1) + note()))
        with pytest.raises(ReadError, match=r"bar 1: .*(makes? no sense|not a number)"):
            opened(tmp_path, text)

    @pytest.mark.parametrize("pitch", ["H5", "?5", "Cx", "C", "C99", "C-9"])
    def test_pitch(self, tmp_path: Path, pitch: str) -> None:
        broken = note().replace(
            "<step>C</step><octave>5</octave>",
            f"<step>{pitch[0]}</step><octave>{pitch[1:]}</octave>",
        )
        with pytest.raises(ReadError, match=r"bar 1: .* is no pitch"):
            opened(tmp_path, score(bar(attributes() + broken)))

    @pytest.mark.parametrize("alter", ["12", "-4", "sharp", "1e9"])
    def test_alteration(self, tmp_path: Path, alter: str) -> None:
        broken = note("C#5").replace("<alter>1<", f"<alter>{alter}<")
        with pytest.raises(ReadError, match=r"bar 1: an alteration of .* is no pitch"):
            opened(tmp_path, score(bar(attributes() + broken)))
