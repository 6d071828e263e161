"""Part: one file to fetch, where it is asked for, and what it must hold to be kept."""

from dataclasses import dataclass
from pathlib import Path

from farglide.errors import FetchError, SourceError, Unfetched
from farglide.gather.fetch.contents import contents_of
from farglide.gather.fetch.runs import run_text
from farglide.gather.fetch.source import HOUR_S

Pairs = tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One hour of a run, of one member where there are several.

    `addresses`: the main one and its mirrors; `indices`: theirs, empty where the server cuts;
    `pairs`: fields and levels that must be there; `also`: those that may.
    """

    name: str
    addresses: tuple[str, ...]
    indices: tuple[str, ...]
    run_t_s: float
    step_h: int
    member: str
    pairs: Pairs
    also: Pairs = ()

    @property
    def valid_t_s(self) -> float:
        """Return the moment of which it tells."""
        return self.run_t_s + HOUR_S * self.step_h

    def check(self, path: Path, address: str) -> None:
        """Refuse a file that is not just this part, see `check_part`."""
        check_part(self, path, address)


def check_part(part: Part, path: Path, address: str) -> None:
    """Refuse a file that is not just this part.

    Raises `FetchError`: `WRONG` where it is damaged or of another run or hour, `NOT_THERE` where
    fields are not in it yet.
    """
    try:
        contents = contents_of(path)
    except SourceError as error:
        told = f"{error.where}: {error.what}" if error.where else error.what
        what = f"sends a file that is not whole. {told}"
        raise FetchError(Unfetched.WRONG, address, "", what, "Fetch it again later.") from error
    for one in contents:
        if one.run_t_s != part.run_t_s or one.lead_s != HOUR_S * part.step_h:
            there = f"{run_text(one.run_t_s)} + {one.lead_s / HOUR_S:g} h"
            what = (
                f"sends {one.field} of the run {there}, not of "
                f"{run_text(part.run_t_s)} + {part.step_h} h."
            )
            raise FetchError(Unfetched.WRONG, address, "", what, "Runs are never mixed.")
    there_are = {(one.field, one.hpa) for one in contents}
    if missing := [pair for pair in part.pairs if pair not in there_are]:
        raise half_there(address, missing)


def half_there(address: str, missing: list[tuple[str, float]] | Pairs) -> FetchError:
    """Return the error of a file that lacks fields: its run is being written still."""
    field, hpa = missing[0]
    n_more = len(missing) - 1
    more = f" and {n_more} field{'s' if n_more > 1 else ''} more" if n_more else ""
    what = f"lacks {field} at {hpa:g} hPa{more}: it is half there."
    return FetchError(Unfetched.NOT_THERE, address, "", what, "Fetch it later.")
