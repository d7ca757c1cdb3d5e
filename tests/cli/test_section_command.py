"""``drills section`` as a player runs it: the real program, the real LilyPond."""

from __future__ import annotations

import json
from io import BytesIO

import mido
import pikepdf
import pytest

from drills.jobs.asked.table import CHOICES
from drills.resources import scores_folder
from drills.section.making import CELLS
from tests.cli.music import Player, pages_of, score
from tests.cli.music import _sixteenths as sixteenths

SHORT = ("--sizes", "2", "--rhythm", "even")
"""Few enough drills for one page each."""
NAMES = ("Flute", "Clarinet 1", "Clarinet 2")
FOLDER = "Harbour-March-A"


@pytest.fixture(name="band")
def _band(player: Player) -> Player:
    """A score of three, whose second clarinet rests in bar 2, which is marked A."""
    text = score(parts=NAMES)
    head, own = text.split('<part id="P3">')
    bar = '<measure number="2">'
    before, after = own.split(bar)
    rest = '<note><rest measure="yes"/><duration>16</duration></note>'
    player.write(
        "band.musicxml",
        f'{head}<part id="P3">{before}{bar}{after.replace(sixteenths(), rest, 1)}',
    )
    return player


def listed(player: Player, folder: str = FOLDER) -> list[str]:
    return sorted(path.name for path in (player.folder / folder).iterdir())


def words(player: Player, name: str, folder: str = FOLDER) -> list[str]:
    return pages_of((player.folder / folder / name).read_bytes())


def test_the_usual_number_of_cells_is_the_models() -> None:
    (row,) = [one for one in CHOICES if one.name == "section_cells"]
    assert row.usually.startswith(f"{CELLS};")


def test_one_call_makes_the_leaders_file_and_one_for_each_player(band: Player) -> None:
    done = band.run("section", "band.musicxml", "--at", "A", *SHORT)
    assert done.returncode == 0, done.stderr
    names = ["Clarinet-1.pdf", "Flute.pdf", "Section.pdf"]  # the second clarinet rests
    assert listed(band) == names
    assert done.stdout.splitlines()[0].startswith(f"{FOLDER}/Section.pdf (")
    assert [line.split()[0] for line in done.stdout.splitlines()] == [
        f"{FOLDER}/{name}" for name in ("Section.pdf", "Flute.pdf", names[0])
    ]
    assert band.left_behind() == []
    section = words(band, "Section.pdf")
    for name in ("Clarinet-1.pdf", "Flute.pdf"):
        assert not set(words(band, name)) & set(section), "the leader's pages are the leader's"
    assert "You play with Clarinet 1" in words(band, "Flute.pdf")[0]
    assert "Flute" in words(band, "Flute.pdf")[0]


def test_a_player_who_rests_is_told_so_and_gets_no_page(band: Player) -> None:
    done = band.run("section", "band.musicxml", "--at", "A", *SHORT)
    assert "Clarinet-2.pdf" not in listed(band)
    assert "Clarinet 2: rests" in done.stderr


def test_the_leaders_pages_alone(band: Player) -> None:
    done = band.run("section", "band.musicxml", "--at", "A", "--leader-only", *SHORT)
    assert done.returncode == 0, done.stderr
    assert listed(band) == ["Section.pdf"]


def test_a_staff_for_two_makes_a_file_for_each(player: Player) -> None:
    player.write("pair.musicxml", score(parts=("Flute", "Trombone 1, 2")))
    done = player.run("section", "pair.musicxml", "--at", "1", "-o", "pair", *SHORT)
    assert done.returncode == 0, done.stderr
    names = ["Flute.pdf", "Section.pdf", "Trombone-1.pdf", "Trombone-2.pdf"]
    assert listed(player, "pair") == names
    assert "may be for the first alone" in done.stderr
    assert "Trombone 2" in words(player, "Trombone-2.pdf", "pair")[0]
    text = " ".join(words(player, "Section.pdf", "pair"))
    assert "Trombone 1" in text


def test_doublings_are_told_to_both(band: Player) -> None:
    """The score writes the same notes for both, so a clarinet in B flat sounds a tone lower."""
    band.run("section", "band.musicxml", "--at", "1", *SHORT)
    assert "with Clarinet 2" in words(band, "Clarinet-1.pdf", "Harbour-March-1")[0]


def test_chosen_parts_by_name_number_and_again(band: Player) -> None:
    done = band.run(
        *("section", "band.musicxml", "--at", "1", "--parts", "clarinet 2,2", "--parts", "3"),
        *("-o", "two", *SHORT),
    )
    assert done.returncode == 0
    assert listed(band, "two") == ["Clarinet-1.pdf", "Clarinet-2.pdf", "Section.pdf"]
    assert "Flute" not in "".join(words(band, "Section.pdf", "two"))


def test_several_places_are_pages_of_the_same_files(band: Player) -> None:
    done = band.run("section", "band.musicxml", "--at", "1,A", "-o", "both", *SHORT)
    assert done.returncode == 0
    pages = words(band, "Section.pdf", "both")
    assert any("Bar 1" in page for page in pages)
    assert any("the first bar of A" in page for page in pages)
    assert len(words(band, "Flute.pdf", "both")) == 2


def test_data_tells_who_sounds_what(band: Player) -> None:
    done = band.run("section", "band.musicxml", "--at", "1", "--json")
    (section,) = json.loads(done.stdout)
    assert [one["part"] for one in section["players"]] == list(NAMES)
    assert len(section["slices"]) == 16
    both = json.loads(band.run("section", "band.musicxml", "--at", "1,A", "--json").stdout)
    assert [one["asked"] for one in both] == ["1", "A"]
    assert both[0] == section
    assert band.files() == ["band.musicxml", "march.musicxml"]


def test_every_format_for_the_players(band: Player) -> None:
    done = band.run(
        *("section", "band.musicxml", "--at", "A", "--also", "midi,musicxml,ly", "--also", "svg"),
        *("-o", "all", "--midi-tempo", "60", *SHORT),
    )
    assert done.returncode == 0, done.stderr
    names = listed(band, "all")
    assert {"Flute.pdf", "Flute.mid", "Flute.musicxml", "Flute.ly"} <= set(names)
    assert "Clarinet-2.mid" not in names  # nothing to hear
    assert "Section.ly" in names
    assert any(name.startswith("Flute") and name.endswith(".svg") for name in names)
    midi = mido.MidiFile(file=BytesIO((band.folder / "all" / "Flute.mid").read_bytes()))
    assert {m.tempo for m in midi if m.type == "set_tempo"} == {1_000_000}


def test_what_the_player_says_overrules(band: Player) -> None:
    done = band.run("section", "band.musicxml", "--at", "1", "--chord", "1=Ebmaj9", "--json")
    (section,) = json.loads(done.stdout)
    first = section["slices"][0]["chord"]
    assert (first["source"], first["name"]) == ("player", "Ebmaj9")
    assert "as you said: Ebmaj9" in done.stderr


@pytest.mark.parametrize(
    ("options", "code", "said"),
    [
        ((), 2, "name the place with --at"),
        (("--at", "99"), 4, "99"),
        (
            ("--at", "1", "--parts", "Tuba"),
            2,
            "no part is called 'Tuba'; choose one with --parts 1",
        ),
        (("--at", "1", "--chord", "C7"), 2, "--chord: 'C7' is not a place with a chord"),
        (("--at", "1", "--chord", "1=Hm"), 2, "--chord: chord 'Hm'"),
        (("--at", "1", "--for", "oboe"), 2, "name them with --parts"),
        (("--at", "1", "--section-cells", "x"), 2, "--section-cells"),
        (("--at", "4"), 4, "nobody of the section plays"),
        (("--at", "1", "--lilypond", "no-such-program"), 6, "no-such-program"),
    ],
)
def test_errors_leave_nothing(band: Player, options: tuple[str, ...], code: int, said: str) -> None:
    done = band.run("section", "band.musicxml", *options)
    assert (done.returncode, done.stdout) == (code, "")
    assert said in done.stderr
    assert done.stderr.count("\n") == 1
    assert band.files() == ["band.musicxml", "march.musicxml"]
    assert band.left_behind() == []


def test_reruns_replace_their_own_and_nothing_else(band: Player) -> None:
    command = ("section", "band.musicxml", "--at", "A", "-o", "mine", *SHORT)
    assert band.run(*command).returncode == 0
    first = {name: (band.folder / "mine" / name).read_bytes() for name in listed(band, "mine")}
    assert band.run(*command).returncode == 0
    assert {name: (band.folder / "mine" / name).read_bytes() for name in first} == first
    (band.folder / "mine" / "Flute.pdf").write_text("my own notes")
    done = band.run(*command, "--student")
    assert done.returncode == 7
    assert "Flute.pdf is there already" in done.stderr
    assert (band.folder / "mine" / "Section.pdf").read_bytes() == first["Section.pdf"]
    assert band.run(*command, "--force").returncode == 0


def test_names_that_clash_get_numbers(player: Player) -> None:
    player.write("twins.musicxml", score(parts=("Section", "flute", "Flute")))
    done = player.run("section", "twins.musicxml", "--at", "1", "-o", "twins", *SHORT)
    assert done.returncode == 0, done.stderr
    assert listed(player, "twins") == ["Flute-2.pdf", "Section-2.pdf", "Section.pdf", "flute.pdf"]


def test_a_colleagues_instrument(band: Player) -> None:
    done = band.run(
        *("section", "band.musicxml", "--at", "1", "--parts", "Flute", "--for", "alto saxophone"),
        *("-o", "alto", *SHORT),
    )
    assert done.returncode == 0, done.stderr
    assert any("axophone" in name for name in listed(band, "alto"))


def test_the_same_written_notes_keep_their_functions(band: Player) -> None:
    """Two clarinets in B flat read on alto saxophones: all sounds a fifth lower, chords too."""
    march = scores_folder() / "march.musicxml"
    asked = ("section", str(march), "--at", "33", "--parts", "2,3", "--json")
    own, moved = (
        json.loads(band.run(*asked, *more).stdout)[0]["slices"]
        for more in ((), ("--for", "alto saxophone", "--for-pitch", "written"))
    )
    labels = [
        [note["function"]["label"] for one in found for note in one["notes"]]
        for found in (own, moved)
    ]
    assert labels[0] == labels[1]
    assert {"b7", "n"} <= set(labels[0])
    assert (own[0]["chord"]["name"], moved[0]["chord"]["name"]) == ("Bb7", "Eb7")


def test_the_same_written_notes_are_refused_where_they_would_not_fit(band: Player) -> None:
    """A clarinet in B flat and a flute that read the same would sound a tone apart."""
    march = scores_folder() / "march.musicxml"
    done = band.run(
        *("section", str(march), "--at", "33", "--parts", "1,2"),
        *("--for", "alto saxophone", "--for-pitch", "written"),
    )
    assert done.returncode == 2
    assert "would not sound together" in done.stderr
    assert band.left_behind() == []


def test_bookmarks_are_not_needed_but_titles_are(band: Player) -> None:
    band.run("section", "band.musicxml", "--at", "A", *SHORT)
    with pikepdf.open(band.folder / FOLDER / "Flute.pdf") as pdf:
        assert pdf.docinfo["/Title"] == "Harbour March"
        assert "Flute" in str(pdf.docinfo["/Subject"])


# The same chords on a single sheet


def test_a_sheet_with_functions(band: Player) -> None:
    plain = band.run("sheet", "band.musicxml", "--part", "2", "--at", "1", "-o", "a.ly", *SHORT)
    done = band.run(
        *("sheet", "band.musicxml", "--part", "2", "--at", "1", "-o", "b.ly", "--functions", *SHORT)
    )
    assert (plain.returncode, done.returncode) == (0, 0)
    before, after = ((band.folder / name).read_text(encoding="utf-8") for name in ("a.ly", "b.ly"))
    assert "functionsUnder" not in before
    assert "functionsUnder" in after
    assert "from the notes" in after


def test_a_chord_as_the_part_writes_it(band: Player) -> None:
    """The clarinet reads Dm7 where C minor sounds, a tone lower."""
    done = band.run(
        *("sheet", "band.musicxml", "--part", "2", "--at", "1", "--chord", "1=Dm7", "--json"),
    )
    assert done.returncode == 0
    assert "as you said: Dm7" in done.stderr
    chords = [drill["chords"] for drill in drills_of(json.loads(done.stdout))]
    assert (chords[0][0]["root"], chords[0][0]["kind"]) == ("D", "minor-seventh")


def drills_of(data: object) -> list[dict[str, list[dict[str, str]]]]:
    """Every drill in the data of a sheet, wherever it stands."""
    if isinstance(data, list):
        return [drill for one in data for drill in drills_of(one)]
    if not isinstance(data, dict):
        return []
    own = [data] if "chords" in data and "bars" in data else []
    return own + [drill for one in data.values() for drill in drills_of(one)]
