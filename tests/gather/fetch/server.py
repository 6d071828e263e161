"""A server for these tests: the real messages of January 2011 for every run and hour."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from bench.forecastserver.__main__ import addresses_text
from bench.forecastserver.faults import Fault, Kind
from bench.forecastserver.library import Library
from bench.forecastserver.server import Manner, serving
from bench.forecastserver.written import Stamp

from farglide.gather.fetch.addresses import read_addresses
from farglide.gather.fetch.client import Client
from farglide.gather.fetch.fetching import Asked, Progress, Telling
from farglide.gather.fetch.source import Gives, Source
from farglide.gather.fetch.wanted import Wanted

AUTHORITIES = Path(__file__).parents[2] / "authorities"
REAL = AUTHORITIES / "gfs_january_2011.grib2"
NOW_S = 1_800_693_600.0  # 2027-01-23 08:40 UTC, an hour before the launch of the demo


def real_index(name: str) -> str:
    """Return a real index without the lines that tell where it comes from."""
    lines = (AUTHORITIES / name).read_text(encoding="utf-8").splitlines(keepends=True)
    return "".join(line for line in lines if not line.startswith("#"))


@dataclass
class Waits:
    """A clock that stands: it keeps how long it was asked to wait, and waits for nothing."""

    seconds: list[float] = field(default_factory=list)
    told: list[str] = field(default_factory=list)

    def client(self) -> Client:
        return Client(self.seconds.append, lambda: NOW_S, tell=self.told.append)


@dataclass
class World:
    """A running server, where it is, and the sources that lead there."""

    base: str
    manner: Manner
    sources: tuple[Source, ...]
    addresses: Path
    waits: Waits = field(default_factory=Waits)
    begun: list[tuple[str, int, int]] = field(default_factory=list)
    progress: list[Progress] = field(default_factory=list)

    def client(self) -> Client:
        return self.waits.client()

    def fail(self, kind: Kind, within: str = "", **how: object) -> Fault:
        """Have the next answer go wrong whose path holds a text."""
        fault = Fault(kind, within, **how)  # type: ignore[arg-type]
        self.manner.faults.waiting.append(fault)
        return fault

    @property
    def targets(self) -> list[str]:
        return [one.target for one in self.manner.requests]

    def telling(self) -> Telling:
        return Telling(
            lambda batch, about, kept: self.begun.append((batch.source.key, about, kept)),
            self.progress.append,
        )

    def source(self, key: str) -> Source:
        return next(one for one in self.sources if one.key == key)


def asked(wanted: Wanted, root: Path, gives: Gives = Gives.WINDS, n_members: int = 0) -> Asked:
    """Return what the tests ask for: on the finest grid."""
    return Asked(wanted, gives, 0.25, root, n_members)


@contextmanager
def running(folder: Path) -> Iterator[World]:
    """Yield a server that has every run and hour, asked by a file of addresses in a folder."""
    manner = Manner(Library(stand_in=REAL))
    with serving(manner) as base:
        addresses = folder / "addresses.toml"
        addresses.write_text(addresses_text(base, REAL), encoding="utf-8")
        yield World(base, manner, read_addresses(addresses), addresses)


def until(run_t_s: float, step_h: int) -> object:
    """Return what has runs up to one, and of that only the hours up to a step."""

    def is_there(stamp: Stamp) -> bool:
        is_newest = stamp.run_t_s == run_t_s
        return stamp.run_t_s < run_t_s or (is_newest and stamp.step_h <= step_h)

    return is_there
