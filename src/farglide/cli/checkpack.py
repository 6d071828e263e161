"""farglide check DIR: every part of a pack held against its checksum."""

from pathlib import Path

from farglide.errors import SourceError
from farglide.packfile.manifest import FLIGHT, read_manifest
from farglide.packfile.packfile import EDITED
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
        lines += [f"  {EDITED}"]
    return "\n".join([*lines, "", f"What its flight file means: farglide check {where / FLIGHT}"])
