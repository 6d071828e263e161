"""Column: the parts of a batch between which the launch lies, as one file for the reader."""

import shutil
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from farglide.gather.fetch.batch import Batch
from farglide.gather.fetch.download import disk_errors
from farglide.gather.fetch.part import Part

AT_LAUNCH: Final = "at-launch.grib2"


def parts_around(parts: Sequence[Part], t_s: float) -> tuple[Part, ...]:
    """Return the part valid at a moment, or the two around it; the nearest beyond the ends."""
    before = [part for part in parts if part.valid_t_s <= t_s]
    after = [part for part in parts if part.valid_t_s >= t_s]
    found = [max(before, key=lambda part: part.valid_t_s)] if before else []
    if after and (last := min(after, key=lambda part: part.valid_t_s)) not in found:
        found.append(last)
    return tuple(found)


def column_file(batch: Batch, t_s: float) -> Path:
    """Return a file with the parts around a moment, one after the other, in the batch's folder."""
    path = batch.folder / AT_LAUNCH
    aside = path.with_name(f".{AT_LAUNCH}.part")
    with disk_errors(path):
        with aside.open("wb") as file:
            for part in parts_around(batch.parts, t_s):
                with (batch.folder / part.name).open("rb") as source:
                    shutil.copyfileobj(source, file)
        aside.replace(path)
    return path
