"""Honesty: do stated chances come true? `python -m bench.odds.honesty [--out FILE]`."""

import argparse
import sys
from pathlib import Path

from bench.odds.fetch import DataMissingError
from bench.odds.outcomes import outcomes
from bench.odds.tables import area_rows, brier_rows, reliability_rows


def main() -> int:
    """Print the tables, and write them if asked."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--out", type=Path)
    wanted = parser.parse_args()
    try:
        found = outcomes(tell=_tell if sys.stderr.isatty() else lambda text: None)
    except DataMissingError as error:
        sys.stderr.write(f"{error}\n")
        return 1
    blocks = (area_rows(found), reliability_rows(found), brier_rows(found))
    text = "\n\n".join("\n".join(rows) for rows in blocks) + "\n"
    text += "\nIn brackets: 5 to 95 %, days and places drawn anew.\n"
    sys.stdout.write(text)
    if wanted.out:
        wanted.out.write_text(text)
    return 0


def _tell(text: str) -> None:
    sys.stderr.write(text)


if __name__ == "__main__":
    sys.exit(main())
