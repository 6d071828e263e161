"""Pack file: a pack as a folder that opens offline, every part found as it was gathered."""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from farglide.errors import SourceError
from farglide.packfile.grids import ARRAY, FORECAST, MEMBERS, StoredGrid, stored_grid
from farglide.packfile.manifest import FLIGHT, MANIFEST, WINDS, read_manifest
from farglide.packfile.parts import State, standing, states_of
from farglide.packfile.winds import sounding_of
from farglide.sortie.files import named_files
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie

EDITED: Final = (
    "The flight file in the pack was edited after it was gathered: it is taken as it stands now."
)
OUTSIDE: Final = "Not in the pack: "
"""How the note begins that tells of a file which is named but was not gathered."""

_LARGEST_BYTES: Final = 20_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """A pack as found on disk.

    `files`: where it keeps the files that its flight file names, by the paths these names mean
    beside the flight file.
    """

    pack: Pack
    flight_path: Path
    files: Mapping[str, str]
    grids: Mapping[str, StoredGrid] = field(default_factory=dict)  # by name: forecast, members
    notes: tuple[str, ...] = ()

    @property
    def is_edited(self) -> bool:
        """Tell whether its flight file was edited."""
        return EDITED in self.notes


def open_pack(folder: Path) -> Opened:
    """Return the pack of a folder.

    Each part is held against its checksum, the values of grids where they are read. One that
    changed is refused, but for the flight file, which a person may edit: that is told.
    """
    where = standing(folder)
    manifest = read_manifest(where)
    states = states_of(where, manifest, all_read=False)
    for name, state in states.items():
        if state is not State.WHOLE and (name, state) != (FLIGHT, State.CHANGED):
            what = f"is {state.value}: the pack is damaged."
            raise SourceError(str(where / name), "", what, "Gather it again.")
    notes = (EDITED,) if states[FLIGHT] is State.CHANGED else ()
    return Opened(
        pack=_pack_in(where),
        flight_path=where / FLIGHT,
        files={str(where / named): str(where / part) for named, part in manifest.files.items()},
        grids={
            name: stored_grid(where, name)
            for name in (FORECAST, MEMBERS)
            if f"{name}{ARRAY}" in manifest.parts
        },
        notes=notes,
    )


def outside_notes(sortie: Sortie, folder: Path, parts: Collection[str]) -> Iterator[str]:
    """Yield which files a pack's flight names that are none of its parts, and what to do.

    `parts`: where the pack in a folder keeps what was gathered.
    """
    for one in named_files(sortie):
        if one.path not in parts:
            yield (
                f"{OUTSIDE}{one.path}, which its edited flight file names under {one.key}. The "
                "pack is not whole: without this file no plan can be made from it. Write the same "
                "into your own flight file and gather it anew: "
                f"farglide gather FILE --pack {folder}"
            )


def is_flight_of(folder: Path, file: Path) -> bool:
    """Tell whether a flight file is a pack's own."""
    flight = standing(folder) / FLIGHT
    return (flight.parent / MANIFEST).is_file() and flight.is_file() and flight.samefile(file)


def _pack_in(folder: Path) -> Pack:
    path = folder / WINDS
    try:
        if path.stat().st_size > _LARGEST_BYTES:
            raise ValueError("it is larger than winds of a pack can be")
        sounding = sounding_of(path.read_text(encoding="utf-8"))
        text = (folder / FLIGHT).read_bytes().decode("utf-8-sig")
    except (KeyError, TypeError, ValueError, OverflowError, OSError, RecursionError) as error:
        raise SourceError(str(path), "", f"is damaged: {error}.", "Gather it again.") from error
    return Pack(sounding=sounding, flight_text=text)
