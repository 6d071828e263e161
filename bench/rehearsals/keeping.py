"""Keeping: sorties that were flown, one after the other in a file: hours are not lost."""

import pickle
from collections.abc import Iterator
from pathlib import Path

from bench.rehearsals.sorties import Flown


def keep(file: Path, one: Flown) -> None:
    """Write a sortie behind those of a file."""
    with file.open("ab") as out:
        pickle.dump(one, out)


def kept(file: Path) -> Iterator[Flown]:
    """Yield the sorties of a file that this program wrote; what was cut off at its end is left."""
    if not file.exists():
        return
    with file.open("rb") as sorties:
        while True:
            try:
                yield pickle.load(sorties)
            except (EOFError, pickle.UnpicklingError):
                return
