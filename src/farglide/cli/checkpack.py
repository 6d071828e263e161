"""farglide check DIR: every part of a pack held against its checksum."""

from pathlib import Path

from farglide.cli.inputs import named_flight
from farglide.errors import FlightFileError, SourceError
from farglide.packfile.manifest import FLIGHT, read_manifest
from farglide.packfile.packfile import EDITED, OUTSIDE, open_pack
from farglide.packfile.parts import State, standing, states_of


def pack_check_text(folder: Path) -> str:
    """Return how each part of a pack is found; a pack with damaged ones names them all."""
    where = standing(folder)
    states = states_of(where, read_manifest(where))
    is_edited = states[FLIGHT] is State.CHANGED
    told = {name: state for name, state in states.items() if not (is_edited and name == FLIGHT)}
    wrong = [f"{name} is {state.value}" for name, state in told.items() if state is not State.WHOLE]
    if wrong:
        what = f"is damaged: {'; '.join(wrong)}."
        raise SourceError(str(folder), "", what, "Gather it again, into another folder.")
    lines = [f"{folder}: a pack of {len(states)} parts", ""]
    lines += [f"  {name}: {state.value}" for name, state in sorted(told.items())]
    if is_edited:
        lines += [f"  {one}" for one in (EDITED, *_outside(folder))]
    return "\n".join([*lines, "", f"What its flight file means: farglide check {where / FLIGHT}"])


def _outside(folder: Path) -> list[str]:
    """Return what an edited flight file names outside its pack; one with problems names nothing."""
    try:
        notes = named_flight(None, folder, open_pack(folder)).notes
    except FlightFileError:
        return []  # told by a check of it
    return [note for note in notes if note.startswith(OUTSIDE)]
