"""Crash: a gather that is ended, with no chance to tidy up, at each step it takes on the disk."""

import os
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Final

from farglide.flightfile.flightfile import FlightFile, read_flight_file
from farglide.gather.packing import pack_into
from farglide.packfile.packfile import open_pack
from farglide.sortie.pack import Pack
from farglide.sortie.sources import TerrainSource
from farglide.sources.winds import read_winds

_STEPS: Final = ("open", "os.mkdir", "os.rename", "os.remove", "os.rmdir")
_ENDED: Final = 9
_DEMO: Final = Path(__file__).parents[2] / "src/farglide/flightfile/assets/amber-evening.toml"


def survived(folder: Path) -> int:
    """Print how many ends were met and what stood after each; return 0 if it was always whole."""
    flight, packs = _two_packs(folder)
    place, found = folder / "pack", {"old": 0, "new": 0}
    pack_into(flight, packs["old"], place)
    n = 0
    while _ends_at(n, lambda: pack_into(flight, packs["new"], place)):
        opened = open_pack(place)  # raises where anything is damaged or mixed
        text, origin = opened.pack.flight_text, opened.pack.sounding.origin
        if text != origin:
            return 1
        found[text] += 1
        pack_into(flight, packs["old"], place)  # what was left beside is no hindrance
        n += 1
    print(n, *found.values())
    return 0


def _two_packs(folder: Path) -> tuple[FlightFile, dict[str, Pack]]:
    flight = read_flight_file(_DEMO)
    (folder / "ground.tif").write_bytes(bytes(3_000_000))
    terrain = TerrainSource(paths=(str(folder / "ground.tif"),))
    flight = replace(flight, sortie=replace(flight.sortie, terrain=terrain))
    winds = read_winds(_DEMO.with_name("amber-evening-winds.csv"), None, None)
    packs = {
        name: Pack(sounding=replace(winds, origin=name), flight_text=name)
        for name in ("old", "new")
    }
    return flight, packs


def _ends_at(n: int, work: Callable[[], object]) -> bool:
    """Do some work in a process that ends at its n-th step on the disk; tell whether it did."""
    child = os.fork()
    if child == 0:
        left = [n]

        def watch(event: str, _: object) -> None:
            if event in _STEPS:
                if left[0] == 0:
                    os._exit(_ENDED)
                left[0] -= 1

        sys.addaudithook(watch)
        work()
        os._exit(0)
    code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    if code not in (0, _ENDED):
        raise RuntimeError(f"a gather ended with {code}")
    return code == _ENDED
