"""What the crew's own transmitters may do to its receivers and to people."""

from dataclasses import dataclass

from farglide.radio.clash import Clash


@dataclass(frozen=True, slots=True, kw_only=True)
class Deaf:
    """A transmitter that may be too strong for a receiver on the same side."""

    sender: str
    receiver: str
    level_dbm: float
    apart_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Exposure:
    """What people before an antenna are given; `keep_away_m`: None where no limit is stated."""

    link: str
    density_wpm2: float
    at_m: float
    limit_wpm2: float | None
    keep_away_m: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Neighbours:
    """What to test on the bench before the day."""

    clashes: tuple[Clash, ...]
    deaf: tuple[Deaf, ...]
    exposures: tuple[Exposure, ...]
