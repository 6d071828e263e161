"""Quiet: nothing printed within is seen, whatever prints it, and all that is printed after is."""

import subprocess
import sys

import pytest

from farglide.sources.quiet import quiet

CODE = """
import ctypes, logging, os, sys
from farglide.sources.quiet import quiet
libc = ctypes.CDLL(None)
print("before")
{closing}
with quiet():
    print("python")
    print("python", file=sys.stderr)
    logging.getLogger("other").error("logged")
    os.write(1, b"system")
    os.write(2, b"system")
    libc.printf(b"kept by C until the end")
print("after")
logging.getLogger("other").error("told")
"""


def test_who_prints_within_is_not_heard() -> None:
    done = subprocess.run(
        [sys.executable, "-c", CODE.format(closing="")], capture_output=True, text=True, check=True
    )
    assert (done.stdout, done.stderr) == ("before\nafter\n", "told\n")


def test_closed_outputs_stay_closed() -> None:
    code = CODE.format(closing="sys.stdout.flush(); os.close(2)").replace(
        'os.write(2, b"system")', ""
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert (done.stdout, done.stderr) == ("before\nafter\n", "")


def test_an_error_passes_and_the_outputs_come_back(capfd: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(KeyError), quiet():
        raise KeyError("x")
    print("after")
    assert capfd.readouterr().out == "after\n"
