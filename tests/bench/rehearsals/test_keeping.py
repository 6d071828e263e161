"""Keeping: what was flown is there again, a file cut off at its end loses its last sortie alone."""

from pathlib import Path

from bench.rehearsals.keeping import keep, kept
from bench.rehearsals.sorties import Flown, Tried


def test_sorties_are_kept_one_behind_the_other(tmp_path: Path) -> None:
    file = tmp_path / "sorties"
    assert list(kept(file)) == []
    flown = [Flown(k, "a day", {}, [Tried(k, 0.5, came=k > 1)]) for k in (1, 2, 3)]
    for one in flown:
        keep(file, one)
    assert list(kept(file)) == flown
    file.write_bytes(file.read_bytes()[:-5])
    assert list(kept(file)) == flown[:2]
