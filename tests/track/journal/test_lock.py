"""One process holds a log, until it ends."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from farglide.track.journal.lock import is_locked
from farglide.track.journal.opening import begin, resume

from .made import HEAD, made_log, moment

HOLDS = """
import os, sys
from farglide.track.journal.lock import is_locked
handle = os.open(sys.argv[1], os.O_RDWR)
assert is_locked(handle)
print("held", flush=True)
sys.stdin.read()
"""


def test_two_handles_of_one_file_do_not_both_hold_it(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"")
    first, second = (os.open(path, os.O_RDWR) for _ in range(2))
    assert is_locked(first)
    assert not is_locked(second)
    os.close(first)
    assert is_locked(second)
    os.close(second)


def test_a_log_that_another_process_writes_is_refused_until_that_is_killed(tmp_path: Path) -> None:
    path = tmp_path / "a.log"
    made_log(path)
    command = [sys.executable, "-c", HOLDS, str(path)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == b"held\n"
        with pytest.raises(ValueError, match="another process writes this log; allowed: a log tha"):
            resume(path, HEAD)
        with pytest.raises(ValueError, match="a finished log of 24 records; allowed: a new name"):
            begin(path, HEAD, moment(0.0))
        other.kill()
    resume(path, HEAD).journal.close()
