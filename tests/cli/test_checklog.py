"""farglide check LOG, as a person runs it."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from farglide.cli.checklog import log_check_text
from farglide.track.journal.frame import Kind
from farglide.track.journal.head import Head
from farglide.track.journal.journal import Moment
from farglide.track.journal.opening import begin

Said = Callable[..., tuple[int, str, str]]
HEAD = Head(flight="[flight]\n", manifest="{}", winds="[]", program="0.1.0")
T_S = 1_800_697_200.0


def logged(path: Path, *kinds: Kind, utc_s: float = T_S) -> Path:
    journal = begin(path, HEAD, Moment(0.0, utc_s))
    for n, kind in enumerate(kinds):
        journal.append(kind, b"{}", Moment(30.0 * (n + 1), utc_s))
    journal.close()
    return path


def test_a_finished_log_is_told(said: Said, tmp_path: Path) -> None:
    path = logged(tmp_path / "a.log", Kind.RAW, Kind.TICK, Kind.TICK, Kind.ADVICE, Kind.END)
    assert said("check", path) == (
        0,
        f"{path}: a finished log of 6 records\n"
        "\n"
        "  begun: Saturday 23 January 2027, 09:40 UTC by farglide 0.1.0\n"
        "  length: 2.5 min\n"
        "  records: head 1, bytes of feeds 1, ticks 2, advice 1, ends 1\n",
        "",
    )


def test_every_kind_has_its_word(tmp_path: Path) -> None:
    text = log_check_text(logged(tmp_path / "a.log", *list(Kind)[1:]))
    assert text.count(" 1,") == len(Kind) - 1


def test_an_unfinished_log_is_told_with_what_is_left_over(said: Said, tmp_path: Path) -> None:
    path = logged(tmp_path / "a.log", Kind.RAW, Kind.TICK)
    path.write_bytes(path.read_bytes()[:-3])
    code, told, _ = said("check", path)
    assert code == 0
    assert told.startswith(f"{path}: an unfinished log of 2 records\n")
    assert "  36 bytes after byte " in told
    assert told.endswith("\nNothing that stands in it is lost: the ride can go on with it.\n")


def test_what_never_reached_the_log_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    journal = begin(tmp_path / "a.log", HEAD, Moment(0.0, T_S))
    monkeypatch.setattr(journal, "last", replace(journal.last, number=4))
    journal.append(Kind.NOTE, b"{}", Moment(1.0, T_S))
    journal.close()
    assert "  lost: 4, which never reached the log" in log_check_text(journal.path)


def test_a_clock_that_was_never_set_is_told(tmp_path: Path) -> None:
    path = logged(tmp_path / "a.log", utc_s=-5.0)
    assert "begun: at a time that its clock did not know by" in log_check_text(path)


def test_a_log_whose_head_is_damaged_is_refused(said: Said, tmp_path: Path) -> None:
    path = logged(tmp_path / "a.log", Kind.RAW)
    data = bytearray(path.read_bytes())
    data[60] ^= 1
    path.write_bytes(data)
    code, told, error = said("check", path)
    assert (code, told) == (2, "")
    assert "is no log of a ride, or its head is damaged" in error
