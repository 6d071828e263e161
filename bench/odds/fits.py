"""Fits: `python -m bench.odds.fits [--out FILE]` fits winds, climbs and falls to the open data."""

import argparse
import sys
from pathlib import Path

from bench.odds.fetch import DataMissingError
from bench.odds.fit_climb import climb_rows
from bench.odds.held import held_rows
from bench.odds.left_out import left_out_rows
from bench.odds.told_wind import wind_rows


def main() -> int:
    """Print what was fitted, and write it if asked."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--out", type=Path)
    parser.add_argument("--times", type=int, default=60, help="resamples for the intervals")
    wanted = parser.parse_args()
    try:
        rows = [*wind_rows(wanted.times), "", *held_rows(), "", *climb_rows(), ""]
        rows += left_out_rows()
    except DataMissingError as error:
        sys.stderr.write(f"{error}\n")
        return 1
    text = "\n".join(rows) + "\n"
    sys.stdout.write(text)
    if wanted.out:
        wanted.out.write_text(text)
    return 0


if __name__ == "__main__":
    sys.exit(main())
