"""Logged: a rehearsal as the log of a ride, which the readers of logs read."""

from pathlib import Path

import numpy as np
import pytest

from farglide.errors import InputError
from farglide.live.rehearse.crew import ByRule
from farglide.live.rehearse.logged import begin_log, write_log
from farglide.live.rehearse.rehearsal import Named, rehearsed
from farglide.live.rehearse.sitting import Sitting
from farglide.track.journal.fixes import log_fixes
from farglide.track.journal.frame import Kind
from farglide.track.journal.head import Head
from farglide.track.journal.payload import document_of
from farglide.track.journal.reader import open_log, survey

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
    advised = [document_of(one) for one in records if one.kind is Kind.ADVICE]
    told = [one.advice.document() for one in found.told.happened if one.advice is not None]
    assert advised == told
    times = [one.monotonic_s for one in records]
    assert times == sorted(times)


def test_a_name_that_is_taken_is_refused_before_anything_is_flown(tmp_path: Path) -> None:
    path = tmp_path / "rehearsal.log"
    begin_log(path, HEAD, 0.0).close()
    with pytest.raises(InputError, match=r"the log is .*rehearsal\.log"):
        begin_log(path, HEAD, 0.0)
