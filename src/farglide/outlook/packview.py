"""What a pack holds: its parts, its winds, how old they are, and what is missing."""

from dataclasses import dataclass

from farglide.outlook.document import Documented


@dataclass(frozen=True, slots=True, kw_only=True)
class PackPart:
    """One file of a pack, and how it is found."""

    name: str
    n_bytes: int
    state: str  # as gathered, or "there" where it was not read


@dataclass(frozen=True, slots=True, kw_only=True)
class PackWinds:
    """Winds in a pack: a sounding, a forecast, or the members of an ensemble."""

    what: str
    origin: str
    licence: str  # empty where none is told
    attribution: str
    run_t_s: float | None  # of a forecast
    first_t_s: float | None  # valid from; None: the file does not say
    last_t_s: float | None
    n_times: int
    n_levels: int
    n_members: int
    top_p_pa: float
    top_amsl_m: float | None  # of a forecast over the launch; None: not told
    south_deg: float | None  # of an area
    north_deg: float | None
    west_deg: float | None
    east_deg: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PackOutlook(Documented):
    """What a pack holds."""

    folder: str
    flight: str
    launch_t_s: float
    zone: str
    looked_t_s: float  # when it was looked at
    parts: tuple[PackPart, ...]
    winds: tuple[PackWinds, ...]
    newer_t_s: float | None  # when a newer run will be out, or since when it has been
    missing: tuple[str, ...]
    is_verified: bool  # every byte was read
