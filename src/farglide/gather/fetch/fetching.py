"""Fetching: the newest run that is whole, from the first source that gives it, onto the disk."""

import re
import shutil
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final, NamedTuple

from farglide.errors import FetchError, InputError, SourceError, Unfetched
from farglide.gather.fetch.batch import Batch, batch_of
from farglide.gather.fetch.client import Client
from farglide.gather.fetch.download import Asking, disk_errors, download
from farglide.gather.fetch.inventory import (
    LARGEST_BYTES,
    IndexLine,
    Span,
    lacking,
    read_index,
    spans_of,
)
from farglide.gather.fetch.part import Part, half_there
from farglide.gather.fetch.record import (
    RECORD,
    Fetched,
    Record,
    read_record,
    record_of,
    sha256_of,
    whole_parts,
    write_record,
)
from farglide.gather.fetch.runs import candidate_runs, run_text
from farglide.gather.fetch.source import Gives, Kind, Source
from farglide.gather.fetch.wanted import Wanted

N_KEPT: Final = 6
"""Batches that stay on the disk; older ones are removed when a new one is whole."""
_ROOM_RATIO: Final = 1.1
_BATCH: Final = re.compile(r"\w{1,60}-\d{10}-[0-9a-f]{8}", re.ASCII)


class Progress(NamedTuple):
    """How much of a batch is there, of about how much, and how many of its parts."""

    done_bytes: int
    about_bytes: int
    n_done: int
    n_parts: int


class Telling(NamedTuple):
    """Who is told: of a batch before it begins with how many parts are kept, and how far it is."""

    begun: Callable[[Batch, int, int], None]
    progress: Callable[[Progress], None]


class Taken(NamedTuple):
    """A batch that is whole on the disk, and what was tried in vain before it."""

    batch: Batch
    record: Record
    notes: tuple[str, ...]


class Asked(NamedTuple):
    """What is asked for: which kind of data, how fine, how many members, kept below which root."""

    wanted: Wanted
    gives: Gives
    grid_deg: float
    root: Path
    n_members: int = 0


def sources_for(sources: Sequence[Source], asked: Asked) -> tuple[Source, ...]:
    """Return the sources that can give what is asked, in order; none finer than asked for.

    Of winds those of just this grid come first, then coarser ones if a coarse one was asked for.
    """
    fitting = [one for one in sources if one.gives is asked.gives and one.kind is not Kind.CLIENT]
    if asked.gives is Gives.WINDS:
        finest = min((one.grid_deg for one in fitting), default=asked.grid_deg)
        fitting = [
            one for one in fitting
            if one.grid_deg == asked.grid_deg or one.grid_deg > asked.grid_deg > finest
        ]  # fmt: skip
        fitting.sort(key=lambda one: one.grid_deg)
    if not fitting:
        grid = f" on a grid of {asked.grid_deg:g} degrees" if asked.gives is Gives.WINDS else ""
        allowed = "one of the sections of the file of addresses"
        raise InputError("a source", f"missing for {asked.gives}{grid}", allowed)
    return tuple(fitting)


def fetch(
    client: Client, sources: Sequence[Source], asked: Asked, now_t_s: float, telling: Telling
) -> Taken:
    """Return the newest whole run, from the first source that gives it; runs are never mixed.

    Where the newest is half there, the run before is taken. Raises `FetchError` where no source
    gives any, with the reason of each.
    """
    errors: list[FetchError] = []
    for source in sources_for(sources, asked):
        for run_t_s in candidate_runs(source, now_t_s, asked.wanted.stretches):
            batch = batch_of(source, asked.wanted, run_t_s, asked.root, asked.n_members)
            try:
                record = _Work(client, batch, telling).done()
            except FetchError as error:
                errors.append(error)
                with suppress(OSError):
                    batch.folder.rmdir()  # if nothing came
                if error.cause is not Unfetched.NOT_THERE:
                    break  # neither will it give an older one
            else:
                _forget_old(asked.root, batch.folder)
                return Taken(batch, record, _notes(batch, errors))
    raise _nothing(errors)


@dataclass(slots=True)
class _Work:
    """The fetching of one batch, and how far it is."""

    client: Client
    batch: Batch
    telling: Telling
    done_bytes: int = 0
    about_bytes: int = 0
    n_done: int = 0
    _indices: dict[str, tuple[Span, ...]] = field(default_factory=dict)

    def done(self) -> Record:
        """Return the record of the batch once all of it is there."""
        folder, parts = self.batch.folder, self.batch.in_order
        record = read_record(folder) or record_of(self.batch.source, self.batch.run_t_s)
        kept = whole_parts(record, folder)
        lacks = [part for part in parts if part.name not in kept]
        self.about_bytes = self._about(lacks)
        with disk_errors(folder):
            folder.mkdir(parents=True, exist_ok=True)
            self._check_room()
        self.telling.begun(self.batch, self.about_bytes, len(parts) - len(lacks))
        self.n_done = len(parts) - len(lacks)
        for part in lacks:
            record = record.with_part(part.name, self._fetched(part))
            write_record(record, folder)
            self.n_done += 1
            self._settle(len(lacks))
        self._sweep()
        return record

    def _about(self, lacks: Sequence[Part]) -> int:
        """Return how much is to come: from the first index where there is one, else as counted."""
        if not lacks:
            return 0
        lengths = [span.length for span in self._spans(lacks[0])]
        if lengths and None not in lengths:
            return len(lacks) * sum(one or 0 for one in lengths)
        return self.batch.about_bytes * len(lacks) // len(self.batch.parts)

    def _fetched(self, part: Part) -> Fetched:
        path, spans = self.batch.folder / part.name, self._spans(part)
        asking = Asking(self.batch.source.pause_s, self._came)
        got = download(self.client, part, spans, path, asking)
        return Fetched(
            address=got.address, fetched_t_s=self.client.now_t_s(), step_h=part.step_h,
            member=part.member, n_bytes=got.n_bytes, sha256=sha256_of(path),
        )  # fmt: skip

    def _spans(self, part: Part) -> tuple[Span, ...]:
        """Return the bytes of a part, as its index tells them; none where the server cuts."""
        if not part.indices:
            return ()
        if part.name not in self._indices:
            lines = self._index(part)
            self._indices[part.name] = spans_of(lines, (*part.pairs, *part.also))
        return self._indices[part.name]

    def _index(self, part: Part) -> tuple[IndexLine, ...]:
        """Return the index of a part from the first address that has a whole one."""
        errors: list[FetchError] = []
        for address in part.indices:
            try:
                text = self.client.text(address, self.batch.source.pause_s, LARGEST_BYTES)
                return self._checked(read_index(text, address), part, address)
            except FetchError as error:
                errors.append(error)
        raise errors[0]

    def _checked(
        self, lines: tuple[IndexLine, ...], part: Part, address: str
    ) -> tuple[IndexLine, ...]:
        """Return the lines of an index that is long enough, whole and of the run asked for."""
        least = self.batch.source.least_messages
        if any(line.run_t_s != part.run_t_s for line in lines):
            other = next(line.run_t_s for line in lines if line.run_t_s != part.run_t_s)
            what = f"tells of the run {run_text(other)}, not of {run_text(part.run_t_s)}."
            raise FetchError(Unfetched.WRONG, address, "", what, "Runs are never mixed.")
        if len(lines) < least:
            what = f"holds {len(lines)} lines, not {least} or more: it is half there."
            raise FetchError(Unfetched.NOT_THERE, address, "", what, "Fetch it later.")
        if missing := lacking(lines, part.pairs):
            raise half_there(address, missing)
        return lines

    def _came(self, n_bytes: int) -> None:
        self.done_bytes += n_bytes
        self._tell()

    def _settle(self, n_lacking: int) -> None:
        """Correct how much is to come by what did."""
        n_new = self.n_done - (len(self.batch.parts) - n_lacking)
        self.about_bytes = self.done_bytes * n_lacking // n_new
        self._tell()

    def _tell(self) -> None:
        n_parts = len(self.batch.parts)
        self.telling.progress(Progress(self.done_bytes, self.about_bytes, self.n_done, n_parts))

    def _check_room(self) -> None:
        free = shutil.disk_usage(self.batch.folder).free
        needed = int(_ROOM_RATIO * self.about_bytes)
        if free < needed:
            what = f"has {size_words(free)} free; about {size_words(needed)} are needed."
            remedy = "Make room, or name another folder with --fetched."
            raise SourceError(str(self.batch.folder), "", what, remedy)

    def _sweep(self) -> None:
        """Remove what was begun and is not gone on with."""
        for one in self.batch.folder.glob(".*.part"):
            one.unlink(missing_ok=True)


def size_words(n_bytes: float) -> str:
    """Return a size in the unit that fits.

    >>> size_words(812), size_words(2_345_678), size_words(1_510_000_000)
    ('1 kB', '2.3 MB', '1.5 GB')
    """
    if n_bytes < 1e6:
        return f"{max(n_bytes / 1e3, 1.0):.0f} kB"
    return f"{n_bytes / 1e6:.1f} MB" if n_bytes < 1e9 else f"{n_bytes / 1e9:.1f} GB"


def _notes(batch: Batch, errors: Sequence[FetchError]) -> tuple[str, ...]:
    if not errors:
        return ()
    which = f"the run of {run_text(batch.run_t_s)} from {batch.source.key}"
    return (f"{which} was taken, since {_reason(errors[-1])}",)


def _reason(error: FetchError) -> str:
    return f"{error.path} {error.what}"


def _nothing(errors: Sequence[FetchError]) -> FetchError:
    """Return the error of a fetch that got nothing: the last, and what came of the others."""
    last = errors[-1]
    others = list(dict.fromkeys(_reason(one) for one in errors[:-1]))
    told = "".join(f"\n  before it: {one}" for one in others)
    remedy = f"{last.remedy} Or fetch by hand: --show prints every address.{told}"
    return FetchError(last.cause, last.path, last.where, last.what, remedy)


def _forget_old(root: Path, newest: Path) -> None:
    """Remove the oldest batches below a root; nothing else that lies there."""
    try:
        ours = [
            one for one in root.iterdir()
            if _BATCH.fullmatch(one.name) and not one.is_symlink() and (one / RECORD).is_file()
        ]  # fmt: skip
        ours.sort(key=lambda one: ((one == newest), (one / RECORD).stat().st_mtime))
    except OSError:
        return
    for one in ours[:-N_KEPT]:
        shutil.rmtree(one, ignore_errors=True)
