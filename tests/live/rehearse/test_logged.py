"""Logged: a rehearsal as the log of a ride, which the readers of logs read."""

from pathlib import Path

import numpy as np
import pytest

from farglide.errors import InputError
from farglide.live.rehearse.crew import ByRule
from farglide.live.rehearse.logged import begin_log, write_log
from farglide.live.rehearse.rehearsal import Named, rehearsed
from farglide.live.rehearse.sitting import Sitting
from farglide.live.resume import ride_in
from farglide.present.say.advice import spoken
from farglide.present.say.aloud import Speech, said_next
from farglide.present.say.text import FlightClock
from farglide.track.journal.fixes import log_fixes
from farglide.track.journal.frame import Kind
from farglide.track.journal.head import Head
from farglide.track.journal.payload import document_of
from farglide.track.journal.reader import open_log, survey
from farglide.track.typed.entries import Mark, MarkKind

HEAD = Head(flight="a flight", manifest="", winds="{}", program="some")


def test_the_log_holds_what_was_heard_advised_and_done(sitting: Sitting, tmp_path: Path) -> None:
    path = tmp_path / "rehearsal.log"
    launch_t_s = sitting.planned.sortie.launch.t_s
    found = rehearsed(sitting, ByRule("low", 5000.0, np.inf), Named((), 0))
    write_log(begin_log(path, HEAD, launch_t_s), sitting, found, 1)
    assert survey(path).is_finished
    fixes = list(log_fixes(path))
    assert max(one.height_m or 0.0 for one in fixes) == pytest.approx(5100.0, abs=150.0)
    with open_log(path) as (_, scan):
        records = list(scan.of((Kind.ADVICE, Kind.MARK)))
    marks = [document_of(one)["mark"] for one in records if one.kind is Kind.MARK]
    assert marks == [one.what.value for one in found.told.happened if one.what.value != "advised"]
    advised = [document_of(one)["advice"] for one in records if one.kind is Kind.ADVICE]
    told = [one.advice.document() for one in found.told.happened if one.advice is not None]
    assert advised == told
    times = [one.monotonic_s for one in records]
    assert times == sorted(times)


def test_the_log_is_read_as_that_of_a_ride(sitting: Sitting, tmp_path: Path) -> None:
    path, sortie = tmp_path / "rehearsal.log", sitting.planned.sortie
    found = rehearsed(sitting, ByRule("low", 5000.0, np.inf), Named((), 0))
    write_log(begin_log(path, HEAD, sortie.launch.t_s), sitting, found, 1)
    ride = ride_in(path, sortie)
    marks = [one.entry.kind for one in ride.entries if isinstance(one.entry, Mark)]
    assert marks == [MarkKind.LAUNCHED, MarkKind.SENT, MarkKind.RELEASED, MarkKind.LANDED]
    assert ride.is_over
    assert ride.told.at_s is not None
    before = ride_in(path, sortie, sortie.launch.t_s + 300.0)
    assert [one.entry for one in before.entries] == [Mark(kind=MarkKind.LAUNCHED)]
    assert max(one.t_s or 0.0 for one in before.fixes()) <= sortie.launch.t_s + 300.0


def test_a_name_that_is_taken_is_refused_before_anything_is_flown(tmp_path: Path) -> None:
    path = tmp_path / "rehearsal.log"
    begin_log(path, HEAD, 0.0).close()
    with pytest.raises(InputError, match=r"the log is .*rehearsal\.log"):
        begin_log(path, HEAD, 0.0)


def test_what_is_spoken_over_a_rehearsal_is_short_and_seldom(sitting: Sitting) -> None:
    """Nobody lets go: it waits, the window opens, is counted down, and passes."""
    found = rehearsed(sitting, ByRule("never", 60_000.0, np.inf), Named((), 0))
    launch = sitting.planned.sortie.launch
    clock, speech = FlightClock(launch_t_s=launch.t_s, zone=launch.zone), Speech()
    said: list[tuple[float, str]] = []
    advices = [one.advice for one in found.told.happened if one.advice is not None]
    for advice in advices:
        release = advice.release
        if release is not None and advice.place.amsl_m >= release.from_amsl_m:
            assert not spoken(advice, clock).startswith("Wait.")
        speech, now = said_next(speech, advice, clock)
        if now is not None:
            said.append((advice.after_launch_s, now.words))
    assert sum("Release now" not in words for _, words in said) <= 8
    assert all(len(words.split()) <= 9 for _, words in said)
    first = [words.split()[0] for _, words in said]
    assert first.index("Wait.") < first.index("Window")
    assert "Release now" in " ".join(words for _, words in said)
    last: dict[str, float] = {}
    for t_s, words in said:
        assert t_s - last.get(words, -1e9) >= 20.0
        last[words] = t_s
