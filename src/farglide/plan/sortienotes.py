"""Sortie notes: what a reader must know of a flight before its air is asked."""

import re
from collections.abc import Iterator
from typing import Final

import numpy as np

from farglide.atlas.outline import contains
from farglide.earth.clock import clock_text
from farglide.rig.gear import light_end_s
from farglide.sortie.spec import Sortie

_CLOCK: Final = re.compile(r"(\d\d?):(\d\d)(?::\d\d)?")


def sortie_notes(sortie: Sortie) -> tuple[str, ...]:
    """Return the stands and fields inside barriers, and what comes at another time than it should.

    Packs switched on after the launch, a launch in the dark, a last light before the launch.
    """
    return (*_inside_notes(sortie), *_clock_notes(sortie), *_dark_fields(sortie))


def _inside_notes(sortie: Sortie) -> list[str]:
    """Return the stands and fields that lie inside a barrier."""
    return [
        f"{what} {one.name} lies inside {barrier.name}, {barrier.kind}: is that meant?"
        for what, places in (("stand", sortie.stands), ("field", sortie.fields))
        for one in places
        for barrier in sortie.barriers
        if contains(barrier.outline, np.array(one.lat_deg), np.array(one.lon_deg))
    ]


def _clock_notes(sortie: Sortie) -> Iterator[str]:
    for pack in sortie.packs:
        if pack.on_after_launch_s > 0.0:
            after_min = pack.on_after_launch_s / 60.0
            yield f"pack {pack.name} is switched on {after_min:.0f} min after the launch"
    if light_end_s(sortie) <= 0.0:
        yield "it is dark at the launch: no field counts as open"


def _dark_fields(sortie: Sortie) -> Iterator[str]:
    """Yield fields whose stated last light comes before the launch, on a launch by day."""
    now = clock_text(sortie.launch.t_s, sortie.launch.zone)
    for field in sortie.fields:
        found = _CLOCK.fullmatch(field.last_light)
        if found and f"{int(found[1]):02d}:{found[2]}" <= now:
            yield (
                f"the last light of field {field.name}, {field.last_light}, comes before the "
                f"launch at {now}: is it of another day, or of another zone?"
            )
