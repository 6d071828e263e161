"""Source: where one kind of the world's data is asked for, whose it is, and what it holds."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final, NamedTuple

HOUR_S: Final = 3600.0


class Kind(StrEnum):
    """How a source is asked."""

    CROPPED = "cropped"  # the server cuts an area out of the file of a step
    WHOLE = "whole"  # whole fields, by the bytes that an index names
    TILES = "tiles"  # one file for each degree of latitude and longitude
    CLIENT = "client"  # through the producer's own package


class Gives(StrEnum):
    """What a source is asked for."""

    WINDS = "winds"
    MEMBERS = "members"
    MORE_LEVELS = "more levels of the members"
    TERRAIN = "terrain"
    SECOND = "a second opinion"


class Steps(NamedTuple):
    """Hours of a forecast that are there: every so many, up to an hour."""

    every_h: int
    to_h: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One section of the file of addresses.

    `addresses`: the main one, then its mirrors, which hold the same bytes. `also`: fields that are
    taken where they are there. `lacking`: pairs of a field and a level that are not published.
    """

    key: str
    kind: Kind
    gives: Gives
    producer: str
    product: str
    licence: str
    attribution: str
    addresses: tuple[str, ...]
    package: str = ""  # the producer's own
    index_suffix: str = ""
    field_part: str = ""
    level_part: str = ""
    grid_deg: float = 0.0
    run_hours: tuple[int, ...] = ()
    appears_after_h: float = 0.0
    complete_after_h: float = 0.0
    steps_h: tuple[Steps, ...] = ()
    levels_hpa: tuple[float, ...] = ()
    fields: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    lacking: frozenset[tuple[str, float]] = frozenset()
    least_messages: int = 0
    members: tuple[str, ...] = ()
    pause_s: float = 1.0

    @property
    def hours(self) -> tuple[int, ...]:
        """Return every step that a run has, in hours after it.

        From 0 on; a stretch begins where the one before it ended.
        """
        found = [0]
        for every_h, to_h in self.steps_h:
            found += range(found[-1] + every_h, to_h + 1, every_h)
        return tuple(found)

    def pairs(self, levels_hpa: tuple[float, ...]) -> tuple[tuple[str, float], ...]:
        """Return the fields on these levels that the producer publishes."""
        return tuple(
            (field, hpa)
            for hpa in levels_hpa
            for field in self.fields
            if (field, hpa) not in self.lacking
        )

    def also_pairs(self, levels_hpa: tuple[float, ...]) -> tuple[tuple[str, float], ...]:
        """Return the fields on these levels that may be there and need not be."""
        return tuple((field, hpa) for hpa in levels_hpa for field in self.also)
