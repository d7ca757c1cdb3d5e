"""``drills click`` as a player runs it; files are read back by libraries that wrote none of it."""

from __future__ import annotations

import json
import re
import subprocess
import wave
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import mir_eval
import numpy as np
import pretty_midi
import pytest
import soundfile

from drills.cli import run
from drills.jobs.asked import sound_values
from drills.output.audio import FORMATS
from drills.output.files import ENDINGS
from drills.resources import scores_folder
from drills.sound.practice.voices import SOUNDS
from tests.cli.music import Player, pages_of, score
from tests.output.sound_font import NEEDS_LIBRARY, font
from tests.output.sound_readers import onsets_after_silence, pitch
from tests.output.test_data import errors

AT_ONE_TEMPO = ("--rungs", "1", "--no-signal")
"""Bar 1 and its landing note in bar 2: two bars of 4/4 at quarter = 120 take 4 seconds."""
COUNTED, ONCE, RINGS_OUT = 2.0, 4.0, 1.0
"""Seconds of one bar counted in, of one time through, and after the end."""
MARCH = scores_folder() / "march.musicxml"


@pytest.fixture(name="here")
def _here(player: Player, monkeypatch: pytest.MonkeyPatch) -> Player:
    """The player's folder is the current one."""
    monkeypatch.chdir(player.folder)
    return player


def clicked(*options: str, at: str = "1", file: str | Path = "march.musicxml") -> None:
    assert run(["click", str(file), "--at", at, *options]) == 0


def onsets(path: str) -> list[float]:
    """Seconds of every onset of a file of clicks, read from its samples."""
    rate = soundfile.info(path).samplerate
    return [sample / rate for sample in onsets_after_silence(Path(path))]


def struck(path: str) -> list[float]:
    """Seconds of every percussion note of a MIDI file."""
    drums = [one for one in pretty_midi.PrettyMIDI(path).instruments if one.is_drum]
    return sorted({note.start for one in drums for note in one.notes})


# --- files ------------------------------------------------------------------------------


def test_the_usual_file_climbs_and_its_cues_say_when(
    here: Player, capsys: pytest.CaptureFixture[str]
) -> None:
    """Of the 17 traditional numbers from 60 to 120 eight, evenly; hand-worked: ten bars each."""
    clicked("--start", "60")
    assert here.files() == ["Clarinet-2-1.txt", "Clarinet-2-1.wav", "march.musicxml"]
    told = capsys.readouterr().out.splitlines()
    with wave.open("Clarinet-2-1.wav") as file:
        samples = np.frombuffer(file.readframes(file.getnframes()), np.int16)
    highest = 20 * np.log10(np.abs(samples.astype(int)).max() / 32768)
    assert told[0].endswith(f" min, peak {highest:.1f} dB of full scale)")
    assert told[-2:] == [
        "from quarter = 60 to 120 in 8 tempos, 4 times through each",
        "clicks on every beat: 60 to 120 on a plain metronome",
    ]
    lines = (here.folder / "Clarinet-2-1.txt").read_text(encoding="utf-8").splitlines()
    assert lines[0] == "Harbour March · Clarinet 2 · Bar 1 to beat 1 of bar 2"
    cues = [re.fullmatch(r"\s*(\d+):(\d\d\.\d{3})  quarter = (\d+), .*", line) for line in lines]
    found = [(int(one[1]) * 60 + float(one[2]), int(one[3])) for one in cues if one]
    assert [number for _, number in found] == [60, 66, 76, 84, 92, 100, 112, 120]
    bars = 1 + 4 * 2 + 1
    expected = 0.0
    for at, number in found:
        assert at == pytest.approx(expected, abs=0.0006)
        expected += bars * 4 * 60 / number
    assert soundfile.info("Clarinet-2-1.wav").duration == pytest.approx(
        expected - 4 * 60 / 120 + RINGS_OUT, abs=1e-4
    )


@pytest.mark.parametrize("kind", FORMATS)
def test_every_format_has_the_right_length(here: Player, kind: str) -> None:
    ending = FORMATS[kind].ending
    clicked("-o", f"one{ending}", "--times", "3", *AT_ONE_TEMPO)
    info = soundfile.info(f"one{ending}")
    assert (info.format, info.channels) == (FORMATS[kind].container, 1)
    assert info.duration == pytest.approx(COUNTED + 3 * ONCE + RINGS_OUT, abs=0.001)
    assert here.files() == ["march.musicxml", *sorted([f"one{ending}", "one.txt"])]


def test_rate_and_bits(here: Player) -> None:
    clicked("-o", "one.wav", "--also", "flac", "--rate", "48000", "--bits", "24", *AT_ONE_TEMPO)
    for name in ("one.wav", "one.flac"):
        info = soundfile.info(name)
        assert (info.samplerate, info.subtype, info.channels) == (48_000, "PCM_24", 1)
    assert len(here.files()) == 4


def test_sound_and_midi_of_one_call_have_the_same_clicks(here: Player) -> None:
    """Exact times by hand; onsets from the samples, notes by pretty_midi, F by mir_eval."""
    options = ("--rungs", "3", "--times", "2", "--click", "beats", "--click", "2,4", "--no-signal")
    clicked("-o", "one.wav", "--also", "midi", "--start", "60", *options)
    expected: list[float] = []
    begin = Fraction(0)
    for number, beats in ((60, {1, 2, 3, 4}), (88, {2, 4}), (120, {2, 4})):
        beat = Fraction(60, number)
        expected += [float(begin + beat * n) for n in range(4)]  # counted in
        music = begin + 4 * beat
        expected += [float(music + beat * n) for n in range(16) if n % 4 + 1 in beats]
        begin = music + 20 * beat
    heard, read = onsets("one.wav"), struck("one.mid")
    assert len(heard) == len(read) == len(expected) == 44
    f_measure, _, _ = mir_eval.onset.f_measure(np.array(expected), np.array(heard), window=0.001)
    assert f_measure == 1.0
    assert np.abs(np.array(heard) - expected).max() <= 1 / 44_100
    tick = 0.0006  # of 960 to the quarter at quarter = 120, and the whole microseconds of a tempo
    assert np.abs(np.array(read) - expected).max() <= tick
    assert len(here.files()) == 4


def test_half_an_hour(here: Player) -> None:
    """As near as possible to the length asked for, and not over."""
    clicked("-o", "long.flac", "--minutes", "30", "--rungs", "4")
    length = soundfile.info("long.flac").duration - RINGS_OUT
    assert 30 * 60 - 4 * ONCE * 2 <= length <= 30 * 60
    assert len(here.files()) == 3


def test_one_file_for_each_heading_and_their_names_on_the_page(here: Player) -> None:
    clicked("--each", "--also", "pdf", "--sizes", "2", "--rhythm", "dotted", "--times", "1",
            "--rungs", "2")  # fmt: skip
    names = [
        "Clarinet-2-1-1-excerpt.wav",
        "Clarinet-2-1-2-two-notes-at-a-time.wav",
        "Clarinet-2-1-3-dotted.wav",
    ]
    assert here.files() == sorted(
        [*names, "Clarinet-2-1.pdf", "Clarinet-2-1.txt", "march.musicxml"]
    )
    cues = (here.folder / "Clarinet-2-1.txt").read_text(encoding="utf-8")
    assert [line for line in cues.splitlines() if line.endswith(".wav")] == names
    (page,) = pages_of((here.folder / "Clarinet-2-1.pdf").read_bytes())
    printed = [names[0], "Two notes at a time", "…2-two-notes-at-a-time.wav",
               "The whole line, dotted", "…3-dotted.wav"]  # fmt: skip
    places = [page.find(words.replace("…", "")) for words in printed]
    assert -1 not in places
    assert places == sorted(places)


@pytest.mark.parametrize(
    ("options", "rungs", "four"),  # a quarter of the rung; none below 30 is printed
    [
        (
            ("--step", "even", "--rungs", "3", "--start", "60"),
            ("60", "90", "120"),
            "\u2013 \u2013 30",
        ),
        (
            ("--rungs", "2", "--past", "10", "--start", "60"),
            ("60", "120", "126", "132"),
            "\u2013 30 32 33",
        ),
        (("--rungs", "1"), ("120",), "30"),
    ],
)
def test_the_ladder_on_the_page_is_the_one_that_sounds(
    here: Player, options: tuple[str, ...], rungs: tuple[str, ...], four: str
) -> None:
    given = ("--tempo", "120", "--times", "1", "-o", "loud.mid", "--also", "pdf")
    clicked(*options, *given)
    assert here.files() == ["loud.mid", "loud.pdf", "loud.txt", "march.musicxml"]
    cues = (here.folder / "loud.txt").read_text(encoding="utf-8")
    assert re.findall(r"quarter = (\d+),", cues) == list(rungs)
    pages = pages_of((here.folder / "loud.pdf").read_bytes())
    printed = " ".join(" ".join(pages).split())
    assert " ".join(rungs) in printed
    assert f"on beat 4 only {four}" in printed


def test_several_places(here: Player) -> None:
    clicked("-o", "mine.mid", *AT_ONE_TEMPO, at="1,2")
    assert here.files() == [
        *("march.musicxml", "mine-1.mid", "mine-1.txt", "mine-2.mid", "mine-2.txt")
    ]


def test_its_own_files_are_written_anew_and_no_others(
    here: Player, capsys: pytest.CaptureFixture[str]
) -> None:
    clicked("-o", "one.wav", *AT_ONE_TEMPO)
    clicked("-o", "one.wav", "--times", "1", *AT_ONE_TEMPO)
    here.write("one.txt", "shopping list")
    again = ["click", "march.musicxml", "--at", "1", "-o", "one.wav", *AT_ONE_TEMPO]
    assert run(again) == 7
    assert "one.txt is there already" in capsys.readouterr().err
    assert (here.folder / "one.txt").read_text(encoding="utf-8") == "shopping list"
    assert soundfile.info("one.wav").duration == pytest.approx(COUNTED + ONCE + RINGS_OUT)
    clicked("-o", "one.wav", "--force", *AT_ONE_TEMPO)


# --- what is heard ------------------------------------------------------------------------


def test_every_three_sixteenths_come_round_after_three_bars(here: Player) -> None:
    """Quarter = 120: 160 clicks a minute, and the first of every fourth bar is a downbeat."""
    every = "every 3 sixteenths"
    clicked("-o", "one.wav", "--times", "3", "--click", every, "--count-in", "0", *AT_ONE_TEMPO)
    heard = onsets("one.wav")
    assert np.diff(heard) == pytest.approx(60 / 160, abs=2 / 44_100)
    assert len(heard) == 3 * 2 * 4 * 4 / 3
    assert here.files() == ["march.musicxml", "one.txt", "one.wav"]


def test_a_drone_in_pure_tuning_at_another_pitch(here: Player) -> None:
    """B flat 7 stands over bar 33 of the march; its bass is equal, A being 442 Hz.

    Third and fifth have the ratios of just intonation, 5/4 and 3/2, measured in the spectrum.
    """
    options = ("--part", "2", "--with", "bass,chord", "--tuning", "pure", "--pitch", "442")
    clicked("-o", "one.wav", *options, "--click", "none", "--count-in", "0", *AT_ONE_TEMPO,
            at="33", file=MARCH)  # fmt: skip
    assert here.files() == ["march.musicxml", "one.txt", "one.wav"]
    samples, rate = soundfile.read("one.wav")
    first = samples[rate // 4 : rate // 4 + rate]
    bass = 442 * 2 ** ((58 - 69) / 12)
    for ratio in (1, 5 / 4, 3 / 2):
        assert pitch(first, rate, bass * ratio) == pytest.approx(bass * ratio, rel=0.0002)


# --- data ---------------------------------------------------------------------------------


@NEEDS_LIBRARY
def test_a_sound_font_plays_the_line_and_leaves_the_clicks(
    here: Player, capsys: pytest.CaptureFixture[str]
) -> None:
    """Without a voice that holds notes the file is the same; what the font lacks is said once."""
    Path("own.sf2").write_bytes(font())
    alone = ("--with", "line", "--click", "none", *AT_ONE_TEMPO)
    clicked(*alone, "--sound-font", "own.sf2", "-o", "font.wav")
    told = capsys.readouterr().err
    assert told.count("the sound font has no General MIDI program") == 1
    clicked(*alone, "-o", "ours.wav")
    assert Path("font.wav").read_bytes() != Path("ours.wav").read_bytes()
    clicked(*AT_ONE_TEMPO, "--sound-font", "own.sf2", "-o", "with.wav")
    clicked(*AT_ONE_TEMPO, "-o", "without.wav")
    np.testing.assert_array_equal(soundfile.read("with.wav")[0], soundfile.read("without.wav")[0])
    assert {"own.sf2", "font.wav", "ours.wav"} < set(here.files())


@NEEDS_LIBRARY
def test_a_sound_font_that_does_not_serve(here: Player, capsys: pytest.CaptureFixture[str]) -> None:
    Path("own.sf2").write_bytes(font())
    assert run(["click", "march.musicxml", "--at", "1", "--sound-font", "march.musicxml"]) == 3
    assert "not a SoundFont 2 file" in capsys.readouterr().err
    also = ("--sound-font", "own.sf2", "-o", "own.mid")
    assert run(["click", "march.musicxml", "--at", "1", *also]) == 2
    assert "no sound file is asked for" in capsys.readouterr().err
    assert here.files() == ["march.musicxml", "own.sf2"]


def test_the_plan_as_data(here: Player, capsys: pytest.CaptureFixture[str]) -> None:
    clicked(
        "--json", "--start", "60", "--rungs", "2", "--click", "every 3 sixteenths", "--times", "3"
    )
    assert here.files() == ["march.musicxml"]
    data = json.loads(capsys.readouterr().out)
    assert errors(data, "practice") == []
    (spot,) = data["spots"]
    (file,) = spot["files"]
    assert file["file"] == "Clarinet-2-1.wav"
    slow, fast = file["stages"]
    assert slow["click"] == {"words": "clicks every three sixteenths", "number": "80"}
    assert fast["click"]["number"] == "160"
    assert [one["exact"] for one in slow["times"]] == ["4", "12", "20"]
    assert (slow["end"]["exact"], fast["start"]["seconds"]) == ("32", 32.0)
    assert [step["seconds_per_quarter"] for step in file["tempos"]] == ["1", "1/2"]


def test_data_and_files_together(here: Player, capsys: pytest.CaptureFixture[str]) -> None:
    clicked("--json", "--also", "midi", *AT_ONE_TEMPO)
    json.loads(capsys.readouterr().out)
    assert here.files() == ["Clarinet-2-1.mid", "Clarinet-2-1.txt", "march.musicxml"]


# --- what goes wrong ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("given", "says"),
    [
        (["--tempo", "0"], "--tempo: '0' is not a metronome number"),
        (["--tempo", "2000"], "--tempo: '2000' is not a metronome number"),
        (["--tempo", "900"], "a performing tempo of 900 quarters a minute is out of bounds"),
        (["--start", "200"], "the ladder cannot start at 200"),
        (["--click", "5"], "beat 5 does not exist: a bar of 4/4 has 4 beats"),
        (["--click", "clik"], "--click: 'clik' is not a click pattern"),
        (
            ["--click", "every 7 sixteenths", "--times", "1"],
            "does not meet a downbeat again within 2 bars, only after 7",
        ),
        (["--click", "2 with 8 without", "--times", "1"], "comes round after 10 bars"),
        (["--with", "lyne"], "--with: 'lyne' is not a voice to play along; did you mean line?"),
        (["--with", "section"], "has one part only; the voice section needs a full score"),
        (["--with", "bass", "--play", "lines"], "no harmony is known for the voice 'bass'"),
        (["--play", "all"], "--play: 'all' is not something to play"),
        (["--click-sound", "cowbel"], "'cowbel' is not a sound; did you mean cowbell?"),
        (["--accent-sound", "gong"], "'gong' is not a sound; there are bass-drum"),
        (["--louder", "clack"], "--louder: 'clack' is not a voice; did you mean click?"),
        (["--softer", ",".join(["click"] * 40)], "out of range"),
        (["--groove", "swng"], "--groove: there is no groove 'swng'; did you mean swing?"),
        (["--groove", "waltz"], "has no bars in 4/4; these have: straight, swing"),
        (["--swing", "9"], "--swing: a swing of 9 is out of range"),
        (["--octave", "0"], "--octave: '0' is no octave"),
        (["--pitch", "500"], "--pitch: '500' is not an A in hertz"),
        (["--step", "5"], "--step: '5' is no step"),
        (["--step", "80%"], "--step: '80%': choose a step from 1% to 50%"),
        (["--past", "60"], "--past: '60' is not a percentage"),
        (["--up-and-back", "1-3"], "'1-3' never gets to the top"),
        (["--up-and-back", "up"], "'up' is not a way up; write 3-1"),
        (["--times", "0"], "--times: '0' is not a whole number from 1 to 1000"),
        (["--times", "2", "--minutes", "5"], "leave --times out"),
        (["--minutes", "999"], "--minutes: '999' is not a length in minutes"),
        (["--minutes", "0.1"], "6 seconds is too short"),
        (["--times", "1000", "--rungs", "39"], "more than 240 minutes"),
        (["--uneven", "x"], "--uneven: 'x' is not a whole number"),
        (["-o", "one.aiff"], "-o one.aiff: end the name in one of .wav, .flac"),
        (["-o", "one"], "-o one: end the name in one of .wav, .flac"),
        (["--also", "aac"], "--also: 'aac' is not a format"),
        (["--rate", "8000"], "WAV is not written with 8000 samples a second"),
        (["--bits", "20"], "WAV is not written with 20 bits a sample"),
        (["-o", "one.wav", "--phone"], "--phone is for a small file"),
        (["-o", "one.mp3", "--bits", "16"], "bits are for .wav and .flac"),
        (["-o", "one.mid", "--rate", "48000"], "a rate is for sound"),
        (["--click", "none", "--count-in", "0", "--no-signal"], "only the count-in would sound"),
        (["--clik", "4"], "there is no option --clik; did you mean --click?"),
    ],
)
def test_what_makes_no_sense(
    here: Player, capsys: pytest.CaptureFixture[str], given: list[str], says: str
) -> None:
    assert run(["click", "march.musicxml", "--at", "1", *given]) == 2
    told = capsys.readouterr()
    assert (told.out, told.err.count("\n")) == ("", 1)
    assert told.err.startswith("drills: ")
    assert says in told.err
    assert here.files() == ["march.musicxml"]


WRITTEN_WITH_OTHERS = ("--with", "section", "--for", "tuba", "--for-pitch", "written")


@pytest.mark.parametrize(
    ("given", "code", "says"),
    [
        (["march.musicxml"], 4, "no place is named and the score marks none"),
        (["march.musicxml", "--at", "99"], 4, "there is no bar or mark '99'"),
        (["march.musicxml", "--at", "4"], 4, "4"),
        (["none.musicxml", "--at", "1"], 3, "none.musicxml"),
        (["march.musicxml", "--at", "1", "-o", "no/one.wav"], 7, "no; make it first"),
        (["duo.musicxml", "--at", "1"], 2, "choose one with --part 1 (Flute), 2 (Oboe)"),
        (
            ["duo.musicxml", "--at", "1", "--part", "1", *WRITTEN_WITH_OTHERS],
            2,
            "sounds in another key than the other parts",
        ),
    ],
)
def test_scores_and_places_that_do_not_serve(
    here: Player, capsys: pytest.CaptureFixture[str], given: list[str], code: int, says: str
) -> None:
    here.write("duo.musicxml", score(parts=("Flute", "Oboe")))
    assert run(["click", *given]) == code
    told = capsys.readouterr()
    assert says in told.err
    assert told.err.count("\n") == 1
    assert here.files() == ["duo.musicxml", "march.musicxml"]


@pytest.fixture(name="small_disk")
def _small_disk(player: Player) -> Iterator[Path]:
    """A real file system of 64 KiB in the player's folder, where the system lets us have one."""
    place = player.folder / "small"
    place.mkdir()
    try:
        options = ["-t", "tmpfs", "-o", "size=64k", "tmpfs", str(place)]
        subprocess.run(["mount", *options], check=True, capture_output=True)
    except (OSError, subprocess.CalledProcessError):
        pytest.skip("this system does not let the tests mount a small disk")
    yield place
    subprocess.run(["umount", str(place)], check=True)


@pytest.mark.parametrize("ending", [kind.ending for kind in FORMATS.values()])
def test_a_full_disk(player: Player, small_disk: Path, ending: str) -> None:
    done = player.run("click", "march.musicxml", "--at", "1", "-o", f"small/one{ending}",
                      "--times", "40")  # fmt: skip
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (7, "", 1)
    assert "no space left" in done.stderr
    assert list(small_disk.iterdir()) == []


# --- tables -------------------------------------------------------------------------------


def test_formats_are_those_of_the_outputs() -> None:
    sounds = {name: kind.ending for name, kind in FORMATS.items()}
    printed = {name: ENDINGS[name] for name in ("midi", "pdf")}
    assert {**sounds, **printed} == sound_values.SOUND_FORMATS


def test_sounds_named_in_the_help_exist(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["click", "--help"]) == 0
    told = " ".join(capsys.readouterr().out.split())
    named = re.search(r"What clicks: (.*?) and others", told)
    assert named is not None
    assert set(named[1].split(", ")) <= set(SOUNDS)


def test_help_warns_of_the_level_and_imports_nothing_heavy(player: Player) -> None:
    heavy = {"music21", "numpy", "soundfile", "lxml", "mido", "jinja2", "drills.jobs.sheets"}
    code = (
        "import sys; from drills.cli import run; run(['click', '--help']); "
        f"sys.exit(sorted({heavy!r} & set(sys.modules)) != [])"
    )
    done = subprocess.run(
        [*player.command()[:1], "-c", code],
        env=player.environment,
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0
    told = " ".join(done.stdout.split())
    assert "In headphones start at the lowest level" in told
    assert "rest often, stop at the first sign of pain" in told
