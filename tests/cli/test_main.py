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


def test_help_needs_none_of_the_heavy_imports() -> None:
    program = (
        "import sys; from typer.testing import CliRunner; from farglide.cli.main import app\n"
        "result = CliRunner().invoke(app, ['--help'])\n"
        "assert result.exit_code == 0 and 'check' in result.output\n"
        "heavy = {'numba', 'numpy', 'scipy', 'pyproj', 'rich', 'pydantic', 'rasterio'}\n"
        "print(sorted(heavy & set(sys.modules)))"
    )
    told = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert told.stdout.strip() == "[]"
