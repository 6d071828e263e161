"""Batch: all files of one run that a flight asks of one source, with their addresses."""

import hashlib
from dataclasses import dataclass
from pathlib import Path
from typing import Final, NamedTuple

from farglide.earth.box import Box
from farglide.errors import InputError
from farglide.gather.fetch.part import Pairs, Part
from farglide.gather.fetch.runs import run_values, steps_of
from farglide.gather.fetch.source import Kind, Source
from farglide.gather.fetch.templates import filled
from farglide.gather.fetch.wanted import Wanted, levels_of, on_grid

_BYTES_A_POINT: Final = 0.8
"""Mean of 132 fields of a real index, tests/authorities/gfs_0p25_20260723.idx: 0.73 to 0.82."""
_BYTES_A_MESSAGE: Final = 200.0
"""Its sections without the values: 16 + 21 + 72 + 34 + 49 + 6 + 5 + 4, WMO-No. 306, FM 92."""
_WORLD_POINTS_DEG2: Final = 360.0 * 180.0


class Area(NamedTuple):
    """Where a batch tells of the air, and the fields on levels that must and that may be there."""

    box: Box
    pairs: Pairs
    also: Pairs

    @property
    def every(self) -> Pairs:
        """Return both kinds."""
        return (*self.pairs, *self.also)


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """The parts of one run, hour by hour, the folder they go into, and about how large they are."""

    source: Source
    run_t_s: float
    box: Box
    parts: tuple[Part, ...]
    folder: Path
    about_bytes: int

    @property
    def in_order(self) -> tuple[Part, ...]:
        """Return the parts in the order in which they are asked for.

        The last hour first: where it is there, so is what was written before it.
        """
        last = max(part.step_h for part in self.parts)
        return tuple(sorted(self.parts, key=lambda part: part.step_h != last))


def batch_of(
    source: Source, wanted: Wanted, run_t_s: float, root: Path, n_members: int = 0
) -> Batch:
    """Return what is to be fetched of a run; of an ensemble the first so many members.

    Valid: runs that reach, see `runs.candidate_runs`.
    """
    box = on_grid(wanted.box, source.grid_deg)
    levels_hpa = levels_of(source.levels_hpa, wanted.top_hpa)
    area = Area(box, source.pairs(levels_hpa), source.also_pairs(levels_hpa))
    members = _members(source, n_members)
    steps = steps_of(source, run_t_s, wanted.stretches)
    parts = tuple(
        _part(source, run_t_s, step_h, member, area) for member in members for step_h in steps
    )
    return Batch(
        source=source, run_t_s=run_t_s, box=box, parts=parts,
        folder=root / _folder_name(source, run_t_s, area),
        about_bytes=len(parts) * about_bytes(source, box, area.every),
    )  # fmt: skip


def about_bytes(source: Source, box: Box, pairs: Pairs) -> int:
    """Return about how large one part is, before anything is asked."""
    deg2 = box.width_deg * (box.north_deg - box.south_deg)
    if source.kind is Kind.WHOLE:
        deg2 = _WORLD_POINTS_DEG2
    n_points = max(deg2, source.grid_deg**2) / source.grid_deg**2
    return int(len(pairs) * (_BYTES_A_MESSAGE + _BYTES_A_POINT * n_points))


def _members(source: Source, n_members: int) -> tuple[str, ...]:
    if not source.members:
        return ("",)
    if not 1 <= n_members <= len(source.members):
        allowed = f"1 to {len(source.members)}, the members of {source.key}"
        raise InputError("--members", n_members, allowed)
    return source.members[:n_members]


def _part(source: Source, run_t_s: float, step_h: int, member: str, area: Area) -> Part:
    values = run_values(run_t_s, step_h, member) | _area_values(source, area)
    addresses = tuple(filled(one, values) for one in source.addresses)
    is_indexed = source.kind is Kind.WHOLE
    return Part(
        name=f"{member}-f{step_h:03d}.grib2" if member else f"f{step_h:03d}.grib2",
        addresses=addresses,
        indices=tuple(f"{one}{source.index_suffix}" for one in addresses) if is_indexed else (),
        run_t_s=run_t_s,
        step_h=step_h,
        member=member,
        pairs=area.pairs,
        also=area.also,
    )


def _area_values(source: Source, area: Area) -> dict[str, str]:
    """Return what stands for area, fields and levels in the address of a server that cuts.

    The east may pass 180, so that it is never west of the west.
    """
    box = area.box
    fields = dict.fromkeys(field for field, _ in area.every)
    levels = dict.fromkeys(hpa for _, hpa in area.every)
    return {
        "fields": "".join(source.field_part.replace("{field}", one) for one in fields),
        "levels": "".join(source.level_part.replace("{level}", f"{one:g}") for one in levels),
        "north": f"{box.north_deg:g}", "south": f"{box.south_deg:g}",
        "west": f"{box.west_deg:g}", "east": f"{box.west_deg + box.width_deg:g}",
    }  # fmt: skip


def _folder_name(source: Source, run_t_s: float, area: Area) -> str:
    """Return a name that tells the source and the run, and differs for another area or levels."""
    run = run_values(run_t_s, 0, "")
    edges = area.box if source.kind is Kind.CROPPED else None
    digest = hashlib.sha256(repr((source.addresses, edges, area.every)).encode()).hexdigest()
    return f"{source.key}-{run['date']}{run['hour']}-{digest[:8]}"
