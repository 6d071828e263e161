"""BUFR messages cut out of a file and decoded to pairs of element and value."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final

from farglide.sources.files import content, refused
from farglide.sources.quiet import quiet

PRESSURE: Final = 7004
"""The element that begins a level. Source: table B, WMO-No. 306, volume I.2."""
QUALITY_FOLLOWS: Final = 222_000
"""Operator after which a message speaks of its own quality, no longer of the air."""


_LARGEST_BYTES: Final = 64_000_000
_LARGEST_MESSAGE_BYTES: Final = 1_000_000
"""Some 40 000 levels; the decoder takes a second for each 30 kB."""
_VERSIONS: Final = (
    "master_table_number", "originating_centre", "originating_subcentre", "master_table_version",
    "local_table_version",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class RawMessage:
    """The bytes of one message, and where it begins in the file."""

    start: int
    data: bytes


def raw_messages(path: Path) -> Iterator[RawMessage]:
    """Yield the messages of the file as bytes; raise when one is cut short.

    Between messages there may be bulletin headings. Source: WMO-No. 306, volume I.2, FM 94 BUFR,
    section 0 ("BUFR", total length in octets 5 to 7, edition in octet 8) and section 5 ("7777").
    """
    data = content(path, _LARGEST_BYTES)
    start = data.find(b"BUFR")
    while start >= 0:
        length = int.from_bytes(data[start + 4 : start + 7], "big")
        message = data[start : start + length]
        if start + 8 > len(data) or len(message) < length:
            what = f"is cut short: {len(data) - start} of {length} bytes are there."
            raise refused(path, what, "Fetch the file again.", where=f"message at byte {start}")
        if length < 12 or message[-4:] != b"7777":
            what = f"does not end with '7777' after its {length} bytes."
            remedy = "The file is damaged: fetch it again, as binary."
            raise refused(path, what, remedy, where=f"message at byte {start}")
        yield RawMessage(start=start, data=message)
        start = data.find(b"BUFR", start + length)


def subsets(message: RawMessage, path: Path) -> list[list[tuple[int, Any]]]:
    """Return for each subset of the message its elements (FXXYYY as a number) with their values.

    Raises `SourceError` for whatever the decoder stumbles over.
    """
    if len(message.data) > _LARGEST_MESSAGE_BYTES:
        what = f"holds {len(message.data)} bytes; allowed: {_LARGEST_MESSAGE_BYTES} at most."
        remedy = "Is it of soundings? Give one report a message."
        raise refused(path, what, remedy, where=f"message at byte {message.start}")
    try:
        with quiet():
            decoded = _decoder().process(message.data, wire_template_data=False)
        template = decoded.template_data.value
        pairs = zip(
            template.decoded_descriptors_all_subsets,
            template.decoded_values_all_subsets,
            strict=True,
        )
        return [
            [(int(element.id), value) for element, value in zip(*each, strict=True)]
            for each in pairs
        ]
    except Exception as error:  # the decoder raises whatever its tables and bit reader raise
        what = f"cannot be decoded: {type(error).__name__}: {str(error)[:120]}."
        remedy = "Fetch the file again."
        raise refused(path, what, remedy, where=f"message at byte {message.start}") from error


def table_b(versions: tuple[int, ...]) -> Any:
    """Return the tables of elements and sequences that a message names.

    `versions`: of the master table, the centre, its sub-centre, the table and the local table.
    """
    from pybufrkit.tables import TableGroupCacheManager

    with quiet():
        return TableGroupCacheManager.get_table_group(
            **dict(zip(_VERSIONS, versions, strict=True)),
            tables_root_dir=_decoder().tables_root_dir,
            tables_local_dir=_decoder().tables_local_dir,
            normalize=1,
        )


@cache
def _decoder() -> Any:
    """Return the decoder, which keeps its tables from one message to the next."""
    from pybufrkit.decoder import Decoder

    return Decoder()
