"""How long a classic NetCDF file must be: the library reads zeros, without a word, past its end."""

from dataclasses import dataclass
from math import prod
from pathlib import Path
from typing import Any, Final

from farglide.sources.files import refused

_TYPE_BYTES: Final = {1: 1, 2: 1, 3: 2, 4: 4, 5: 4, 6: 8, 7: 1, 8: 2, 9: 4, 10: 8, 11: 8}
_STREAMING: Final = (0xFFFFFFFF, 0xFFFFFFFFFFFFFFFF)
_MOST_ITEMS: Final = 100_000  # of one list in the head: more is damage


@dataclass(slots=True)
class _Head:
    """The head of a classic file, read item by item."""

    data: bytes
    place: int
    size_bytes: int  # of a count: 4, in the 64-bit data format 8
    begin_bytes: int  # of an offset: 4, in both 64-bit formats 8

    def number(self, n_bytes: int) -> int:
        """Return the next unsigned number; raise `ValueError` where the file ends before it."""
        if self.place + n_bytes > len(self.data):
            raise ValueError("the file ends inside its head")
        value = int.from_bytes(self.data[self.place : self.place + n_bytes], "big")
        self.place += n_bytes
        return value

    def skip(self, n_bytes: int) -> None:
        """Pass over values, which are padded to four bytes."""
        self.place += n_bytes + -n_bytes % 4

    def count(self) -> int:
        """Return how many items a list has, after its tag."""
        self.number(4)
        n = self.number(self.size_bytes)
        if n > _MOST_ITEMS:
            raise ValueError(f"a list of {n} items in its head")
        return n

    def skip_name(self) -> None:
        """Pass over a name."""
        self.skip(self.number(self.size_bytes))

    def skip_attributes(self) -> None:
        """Pass over a list of attributes."""
        for _ in range(self.count()):
            self.skip_name()
            bytes_each = _TYPE_BYTES.get(self.number(4), 0)
            self.skip(bytes_each * self.number(self.size_bytes))


MOST_VALUES: Final = 1_000_000
"""Of one variable: ten readings a second over a day."""
_LARGEST_CHUNK: Final = 64 * 1024 * 1024


def check_sizes(dataset: Any, path: Path) -> None:
    """Raise where a variable announces more values, or larger blocks, than a sounding can have.

    Nothing is read yet: 7 kB of file may announce 15 GB.
    """
    for name, variable in dataset.variables.items():
        if prod(variable.shape) > MOST_VALUES:
            what = f"announces {prod(variable.shape)} values; allowed: {MOST_VALUES}."
            raise refused(path, what, "Give a file of one sounding.", where=f"variable {name}")
        blocks = variable.chunking()
        itemsize = getattr(variable.dtype, "itemsize", 8)
        if isinstance(blocks, list) and prod(blocks) * itemsize > _LARGEST_CHUNK:
            what = f"is kept in blocks of {prod(blocks)} values."
            raise refused(path, what, "Give a file of one sounding.", where=f"variable {name}")


def check_length(path: Path, data: bytes) -> None:
    """Raise when a file in a classic format ends before the last value it announces.

    Files in the HDF5 format are left alone: their library checks that itself.
    Source: NetCDF classic format specification (file_format_specifications.md of the library);
    checked on files that the library wrote.
    """
    if not data.startswith((b"CDF\x01", b"CDF\x02", b"CDF\x05")):
        return
    try:
        needed = _needed_bytes(data)
    except ValueError as error:
        what = f"cannot be read as NetCDF: {error}."
        raise refused(path, what, "Fetch it again, as binary.") from error
    if len(data) < needed:
        what = f"is cut short: {len(data)} of {needed} bytes are there."
        raise refused(path, what, "Fetch it again.")


def _needed_bytes(data: bytes) -> int:
    """Return where the last value ends."""
    version = data[3]
    head = _Head(data, 4, 8 if version == 5 else 4, 4 if version == 1 else 8)
    n_records = head.number(head.size_bytes)
    lengths = []
    for _ in range(head.count()):
        head.skip_name()
        lengths.append(head.number(head.size_bytes))
    head.skip_attributes()
    fixed_ends, records = [head.place], []
    for _ in range(head.count()):
        begin, n_bytes, is_record = _variable(head, lengths)
        if is_record:
            records.append((begin, n_bytes))
        else:
            fixed_ends.append(begin + n_bytes)
    fixed_ends.append(head.place)
    if not records or n_records in (0, *_STREAMING):
        return max(fixed_ends)
    padded = [n + -n % 4 for _, n in records]
    record_bytes = records[0][1] if len(records) == 1 else sum(padded)
    last = max(begin + n for begin, n in records)
    return max(*fixed_ends, last + (n_records - 1) * record_bytes)


def _variable(head: _Head, lengths: list[int]) -> tuple[int, int, bool]:
    """Return where a variable begins, its bytes (per record, if so), and whether it has records."""
    head.skip_name()
    n_dimensions = head.number(head.size_bytes)
    if n_dimensions > len(lengths):
        raise ValueError(f"a variable of {n_dimensions} dimensions in its head")
    places = [head.number(head.size_bytes) for _ in range(n_dimensions)]
    if any(place >= len(lengths) for place in places):
        raise ValueError("a variable over a dimension that is not there")
    shape = [lengths[place] for place in places]
    head.skip_attributes()
    bytes_each = _TYPE_BYTES.get(head.number(4), 0)
    head.number(head.size_bytes)  # its size, which is not kept right for large variables
    begin = head.number(head.begin_bytes)
    is_record = bool(shape) and shape[0] == 0
    return begin, bytes_each * prod(shape[1:] if is_record else shape), is_record
