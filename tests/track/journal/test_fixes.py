"""The fixes of a log, straight from its records."""

from dataclasses import replace
from pathlib import Path

import pytest

from farglide.errors import SourceError
from farglide.track.journal.fixes import fixes_of, log_fixes
from farglide.track.journal.frame import Kind
from farglide.track.journal.opening import begin, resume
from farglide.track.journal.payload import fix_payload

from .made import HEAD, UTC_S, fix, made_log, moment, read, write_some


def test_fixes_come_in_order(tmp_path: Path) -> None:
    made_log(tmp_path / "a.log", 30)
    assert list(log_fixes(tmp_path / "a.log")) == [fix(n) for n in range(30)]


def test_fixes_of_one_feed_or_of_all(tmp_path: Path) -> None:
    journal = begin(tmp_path / "a.log", HEAD, moment(0.0))
    write_some(journal, [0])
    journal.append(Kind.FIX, fix_payload(replace(fix(1, "car"), t_s=None)), moment(4.0))
    journal.close()
    records = read(journal.path)
    came = replace(fix(1, "car"), t_s=UTC_S + 4.0)
    assert list(fixes_of(journal.path, records)) == [fix(0), came]
    assert list(fixes_of(journal.path, records, "car")) == [came]


def test_a_record_that_holds_no_fix_is_named(tmp_path: Path) -> None:
    made_log(tmp_path / "a.log", 2)
    journal = resume(tmp_path / "a.log", HEAD).journal
    journal.append(Kind.FIX, b"[]", moment(40.0))
    journal.close()
    with pytest.raises(SourceError, match=r"a.log, record 7: is no table\."):
        list(log_fixes(tmp_path / "a.log"))
