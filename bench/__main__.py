"""Every bar of the plan, measured in one run as ratios: `python -m bench [--out FILE]`."""

import argparse
import platform
import sys
from pathlib import Path

from bench.around import around_rows
from bench.asking import asking_rows
from bench.beside.drifts import drift_rows
from bench.beside.filters import filter_rows
from bench.comparing import comparing_rows
from bench.coverage import coverage_rows
from bench.feeds import feeds_rows
from bench.flights import flights_rows
from bench.hearing import hearing_rows
from bench.log import log_rows
from bench.process import process_rows
from bench.ride import ride_rows
from bench.tables import reach_rows, state_rows
from bench.warmth import warmth_rows


def machine() -> str:
    """The machine in one line."""
    model = "unknown processor"
    info = Path("/proc/cpuinfo")
    if info.exists():
        names = [line for line in info.read_text().splitlines() if line.startswith("model name")]
        model = names[0].split(":")[1].strip() if names else model
    return f"{model}, Python {platform.python_version()}, {platform.system()}"


def main() -> None:
    """Run all benchmarks and print one table."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--out", type=Path)
    parser.add_argument("--flights", type=int, default=20_000)
    wanted = parser.parse_args()
    rows = [
        *flights_rows(wanted.flights),
        *around_rows(wanted.flights),
        *reach_rows(),
        *state_rows(),
        *warmth_rows(),
        *hearing_rows(),
        *coverage_rows(),
        *log_rows(),
        *feeds_rows(),
        *ride_rows(),
        *filter_rows(),
        *drift_rows(),
        *asking_rows(),
        *comparing_rows(),
        *process_rows(),
    ]
    wide = [max(len(row[i]) for row in rows) for i in range(3)]
    lines = [f"measured on {machine()}", ""]
    lines += ["  ".join(cell.ljust(wide[i]) for i, cell in enumerate(row)).rstrip() for row in rows]
    text = "\n".join(lines) + "\n"
    sys.stdout.write(text)
    if wanted.out:
        wanted.out.write_text(text)


if __name__ == "__main__":
    main()
