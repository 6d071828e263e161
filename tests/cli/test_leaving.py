"""Leaving: a program ends though a thread of it hangs, and what it said is out."""

import subprocess
import sys

from farglide.cli.leaving import HUNG_CODE

HANGS = """
import threading
from concurrent.futures import ThreadPoolExecutor
from farglide.cli.leaving import leave

ThreadPoolExecutor(1).submit(threading.Event().wait)
print("said", end="")
leave()
"""


def test_a_thread_that_hangs_holds_no_command() -> None:
    done = subprocess.run(
        [sys.executable, "-c", HANGS],
        capture_output=True, timeout=60.0, check=False,
    )  # fmt: skip
    assert (done.returncode, done.stdout) == (HUNG_CODE, b"said")
