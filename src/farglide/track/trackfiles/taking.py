"""Taking: the fixes of a track file, and what in it could be none, counted by reason."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from farglide.errors import InputError, SourceError
from farglide.track.reports import Fix, HeightKind

FEED: Final = "track"
"""What a track without a name is called."""
NO_POSITION: Final = "no latitude or longitude"
_NUMBERS: Final = ("lat_deg", "lon_deg", "height_m", "separation_m", "speed_mps", "track_deg")


@dataclass(frozen=True, slots=True, kw_only=True)
class TrackRead:
    """The fixes of a file in its order; `left_out` counts what was none, by reason."""

    fixes: tuple[Fix, ...]
    left_out: Mapping[str, int]


class Taking:
    """Takes points one after the other; what they say is text, as it stands in the file."""

    def __init__(self, path: str) -> None:
        self._path = path
        self._fixes: list[Fix] = []
        self._left_out: Counter[str] = Counter()

    def leave(self, why: str) -> None:
        """Count a point that can be no fix."""
        self._left_out[why] += 1

    def take(self, said: Mapping[str, str], t_s: float | None) -> None:
        """Take a point by the names of a fix; an empty text says nothing."""
        try:
            told: dict[str, Any] = {k: float(said[k]) for k in _NUMBERS if said.get(k)}
            if said.get("n_satellites"):
                told["n_satellites"] = int(said["n_satellites"])
            if said.get("height_kind"):
                told["height_kind"] = HeightKind(said["height_kind"])
        except ValueError as error:
            self.leave(f"a value that cannot be read ({str(error)[:60]})")
            return
        self.take_values(told, said.get("feed") or FEED, t_s)

    def take_values(self, told: Mapping[str, Any], feed: str, t_s: float | None) -> None:
        """Take a point whose values were read."""
        if "lat_deg" not in told or "lon_deg" not in told:
            self.leave(NO_POSITION)
            return
        try:
            self._fixes.append(Fix(feed=feed, t_s=t_s, **told))
        except InputError as error:
            self.leave(f"{error.name} out of its range")

    def track(self) -> TrackRead:
        """Return what was taken; raise SourceError where there were points and none is a fix."""
        if self._left_out and not self._fixes:
            reasons = "; ".join(f"{why}: {n}" for why, n in self._left_out.most_common(3))
            what = f"holds no point that could be a fix ({reasons})."
            raise SourceError(self._path, "", what, "Is it a track?")
        return TrackRead(fixes=tuple(self._fixes), left_out=dict(self._left_out))


def unread(path: str, what: str, remedy: str = "Is it whole?") -> SourceError:
    """Return the refusal of a track file."""
    return SourceError(path, "", what, remedy)


def content(path: str, data: bytes) -> str:
    """Return bytes as text: UTF-8, else the usual 8-bit coding of old programs."""
    if b"\0" in data:
        raise unread(path, "holds bytes that no text has.", "Is it a track?")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace")
