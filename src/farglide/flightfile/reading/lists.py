"""List keys: lists of names and tables of pairs, read and checked from a section."""

from itertools import pairwise
from typing import Final

from farglide.flightfile.reading.keys import Reader, tidy

Table = tuple[tuple[float, float], ...]

_LONGEST_NAME: Final = 60
_MOST_NAMES: Final = 40
_MOST_ROWS: Final = 40
_CELSIUS: Final = (-70.0, 75.0)
_SHARES: Final = (0.0, 1.2)


def names_of(reader: Reader, key: str) -> tuple[str, ...]:
    """Return a list of names without repeats, empty where the key is missing."""
    reader.known_keys.add(key)
    rows = reader.table.get(key, [])
    example = f'Write {key} = ["car receiver", "feed cable"].'
    if not isinstance(rows, list) or len(rows) > _MOST_NAMES:
        reader.refuse(key, f"is {tidy(rows)}, not a list of up to {_MOST_NAMES} names.", example)
        return ()
    found: dict[str, str] = {}
    for row in rows:
        name = " ".join(row.split()) if isinstance(row, str) else ""
        if not name or len(name) > _LONGEST_NAME or not name.isprintable():
            what = f"holds {tidy(row)}; allowed: names of 1 to {_LONGEST_NAME} characters."
            reader.refuse(key, what, example)
        else:
            found.setdefault(name.casefold(), name)
    return tuple(found.values())


def cold_table_of(reader: Reader, key: str) -> Table | None:
    """Return a table of Celsius and the share of energy left, None where it is missing."""
    reader.known_keys.add(key)
    if key not in reader.table:
        return None
    rows = reader.table[key]
    example = f"Write {key} = [[-20, 0.6], [0, 0.85], [20, 1.0]], Celsius and share."
    if not isinstance(rows, list) or not 2 <= len(rows) <= _MOST_ROWS:
        what = f"is {tidy(rows)}, not a list of 2 to {_MOST_ROWS} pairs."
        reader.refuse(key, what, example)
        return ()
    found: list[tuple[float, float]] = []
    for i, row in enumerate(rows, start=1):
        if not isinstance(row, list) or len(row) != 2 or not all(map(_is_number, row)):
            reader.refuse(key, f"row {i} is {tidy(row)}, not two numbers.", example)
        elif not _within(row[0], _CELSIUS) or not _within(row[1], _SHARES):
            allowed = "allowed: -70 to 75 °C, share 0 to 1.2."
            reader.refuse(key, f"row {i} is {tidy(row)}; {allowed}", "Write 60 % as 0.6.")
        else:
            found.append((float(row[0]), float(row[1])))
    if any(b[0] <= a[0] for a, b in pairwise(found)):
        reader.refuse(key, "has temperatures that do not rise.", "Sort the rows, coldest first.")
    return tuple(found)


def _within(value: float, span: tuple[float, float]) -> bool:
    return span[0] <= value <= span[1]


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)
