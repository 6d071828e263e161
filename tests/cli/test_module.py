"""The package run as a module: the same command line."""

import subprocess
import sys


def test_the_package_runs_as_a_module() -> None:
    told = subprocess.run(
        [sys.executable, "-m", "farglide", "--help"], capture_output=True, text=True, check=True
    )
    assert "Can we bring it home, from where, until when?" in told.stdout
    assert "coverage" in told.stdout


def test_a_refusal_leaves_with_two() -> None:
    told = subprocess.run(
        [sys.executable, "-m", "farglide", "check", "none-such.toml"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert (told.returncode, told.stdout) == (2, "")
    assert "none-such.toml" in told.stderr
    assert "Traceback" not in told.stderr
