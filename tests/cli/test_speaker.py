"""The speaker: a line for each sentence, and a pipe that breaks ends no ride."""

from dataclasses import replace
from pathlib import Path

import pytest
from tests.live.advice import ADVICE

from farglide.cli.speaker import Speaker
from farglide.errors import InputError
from farglide.outlook.advice import Level
from farglide.present.say.text import FlightClock

CLOCK = FlightClock(launch_t_s=1_800_000_000.0, zone="UTC")


def test_sentences_are_lines_and_one_that_breaks_off_is_marked(tmp_path: Path) -> None:
    path = tmp_path / "said.txt"
    speaker = Speaker(path)
    speaker(ADVICE, CLOCK)
    speaker(replace(ADVICE, after_launch_s=3601.0, level=Level.NOW), CLOCK)
    assert path.read_text(encoding="utf-8").splitlines() == [
        "Wait. Window opens at 23.2 kilometres, about 09:08.",
        "! Release now, for Home strip.",
    ]
    speaker.close()


def test_where_nothing_can_be_written_it_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"--aloud is .*none/said: No such file"):
        Speaker(tmp_path / "none" / "said")


def test_a_full_disk_ends_the_speech_alone(capsys: pytest.CaptureFixture[str]) -> None:
    speaker = Speaker(Path("/dev/full"))
    speaker(ADVICE, CLOCK)
    speaker(replace(ADVICE, after_launch_s=3700.0, release=None), CLOCK)
    speaker.close()
    assert "Nothing is spoken any more" in capsys.readouterr().err
