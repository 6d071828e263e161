"""Fetch: winds brought from where the world's forecasts lie, with progress and what it was."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from farglide.cli import today
from farglide.cli.terminal import complain
from farglide.cli.told import FETCH, Told
from farglide.gather.fetch.addresses import read_addresses
from farglide.gather.fetch.batch import Batch
from farglide.gather.fetch.client import Client
from farglide.gather.fetch.fetching import Asked, Progress, Taken, Telling, fetch, size_words
from farglide.gather.fetch.places import fetched_folder, own_addresses
from farglide.gather.fetch.proxies import proxy_of
from farglide.gather.fetch.record import record_text
from farglide.gather.fetch.runs import run_text
from farglide.gather.fetch.source import Gives, Source
from farglide.gather.fetch.tiles import fetch_tiles, terrain_source
from farglide.gather.fetch.wanted import wanted_of
from farglide.gather.forecast import Files, Whose
from farglide.rig.area import needed_area
from farglide.sortie.spec import Sortie

USUAL_GRID_DEG: Final = 0.25
_TOLD_PERCENT: Final = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """What the command line says of a fetch."""

    days: int = 1
    members: int = 0
    grid_deg: float = USUAL_GRID_DEG
    addresses: Path | None = None
    fetched: Path | None = None
    terrain: bool = False

    @property
    def is_stated(self) -> bool:
        """Tell whether anything is said that only a fetch can do."""
        own = Choice(addresses=self.addresses, fetched=self.fetched, terrain=self.terrain)
        return self != own


@dataclass(frozen=True, slots=True, kw_only=True)
class Brought:
    """What a fetch brought: files of a forecast and of its members, where from, all in words."""

    files: Files
    origins: dict[str, str]  # records by the name of their part in a pack
    lines: tuple[str, ...]


def bring_winds(sortie: Sortie, choice: Choice) -> Brought:
    """Fetch the newest whole forecast for a flight, and as many members as were asked for."""
    sources, told = sources_chosen(choice), Told(False, (FETCH,))
    client = Client(today.sleep_s, today.now_t_s, proxy_of, lambda why: told(f"{FETCH}: {why}"))
    asked = [asked_for(sortie, choice, Gives.WINDS)]
    if choice.members:
        asked.append(asked_for(sortie, choice, Gives.MEMBERS))
    with _kept_words(told, asked[0].root):
        taken = [
            fetch(client, sources, one, today.now_t_s(), _telling(told, one.gives))
            for one in asked
        ]  # fmt: skip
    told.finish()
    winds, *members = (_files(one) for one in taken)
    record = taken[0].record
    return Brought(
        files=Files(
            winds=winds,
            members=members[0] if members else (),
            days=choice.days,
            whose=Whose(record.attribution, record.licence),
        ),
        origins={f"origin-{one.batch.source.gives}.json": record_text(one.record) for one in taken},
        lines=tuple(line for one in taken for line in _lines(one)),
    )


def bring_terrain(sortie: Sortie, choice: Choice) -> list[str]:
    """Fetch the ground of a flight's area; return where it is and how the flight file names it."""
    source, told = terrain_source(sources_chosen(choice)), Told(False, (FETCH,))
    client = Client(today.sleep_s, today.now_t_s, proxy_of, lambda why: told(f"{FETCH}: {why}"))
    root = choice.fetched or fetched_folder(os.environ)

    def tell(n_bytes: int, n_done: int, n_tiles: int) -> None:
        told(f"{FETCH} terrain: {size_words(n_bytes)}, {n_done} of {n_tiles} tiles done")

    with _kept_words(told, root):
        ground = fetch_tiles(client, source, needed_area(sortie), root, tell)
    told.finish()
    names = ", ".join(f'"{path.resolve().as_posix()}"' for path in ground.paths)
    lines = [
        f"  fetched: {len(ground.paths)} tiles of terrain; in the flight file they are named by"
    ]
    lines += ["    [terrain]", f"    files = [{names}]", f"    {source.attribution}"]
    if ground.sea:
        lines.append(f"    not there, as over the sea: {', '.join(ground.sea)}")
    return lines


def asked_for(sortie: Sortie, choice: Choice, gives: Gives) -> Asked:
    """Return what a flight asks of one kind of data."""
    return Asked(
        wanted=wanted_of(sortie, choice.days),
        gives=gives,
        grid_deg=choice.grid_deg,
        root=choice.fetched or fetched_folder(os.environ),
        n_members=choice.members,
    )


def sources_chosen(choice: Choice) -> tuple[Source, ...]:
    """Return the sources of the file of addresses that counts: named, the user's own, or ours."""
    return read_addresses(choice.addresses or own_addresses(os.environ))


def _telling(told: Told, gives: Gives) -> Telling:
    def begun(batch: Batch, about_bytes: int, n_kept: int) -> None:
        n_parts = len(batch.parts)
        if n_kept == n_parts:
            told(f"{FETCH} {gives}: all {n_parts} files are there already", 1.0)
            return
        there = f", {n_kept} are there" if n_kept else ""
        run = f"run of {run_text(batch.run_t_s)}"
        told(f"{FETCH} {gives}: about {size_words(about_bytes)}, {n_parts} files{there}, {run}")

    def progress(now: Progress) -> None:
        ratio = min(now.done_bytes / now.about_bytes, 1.0) if now.about_bytes > 0 else 0.0
        percent = _TOLD_PERCENT * int(100.0 * ratio / _TOLD_PERCENT)
        whole = size_words(now.about_bytes)
        told(f"{FETCH} {gives}: {percent} % of {whole} in {now.n_parts} files", ratio)

    return Telling(begun, progress)


@contextmanager
def _kept_words(told: Told, root: Path) -> Iterator[None]:
    """Say where the files stay and how to go on when a person ends the fetch."""
    try:
        yield
    except KeyboardInterrupt:
        told.clear()
        complain(f"Ended. What was fetched is kept in {root}: the same command goes on from there.")
        raise


def _files(taken: Taken) -> tuple[Path, ...]:
    """Return the files that a fetch brought, those that were not there left out."""
    batch, there = taken.batch, taken.record.parts
    return tuple(batch.folder / part.name for part in batch.parts if part.name in there)


def _lines(taken: Taken) -> list[str]:
    """Return what a batch is, for the answer."""
    batch, parts = taken.batch, taken.record.parts
    there = [part for part in batch.parts if part.name in parts]
    n_bytes = sum(parts[part.name].n_bytes for part in there)
    hours = sorted({part.step_h for part in there})
    members = f", {len({part.member for part in there})} members" if there[0].member else ""
    return [
        f"  fetched: {batch.source.gives}{members}, run of {run_text(batch.run_t_s)}, hours "
        f"{hours[0]} to {hours[-1]}, {size_words(n_bytes)} in {len(there)} files",
        f"    in {batch.folder}",
        f"    {taken.record.attribution}; {taken.record.licence}",
        *(f"    {note}" for note in taken.notes),
    ]
