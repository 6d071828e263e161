"""Unheard: what the silence of a link tells of a balloon that carries its glider, beside its place.

Run: python -m bench.replays.unheard --out docs/unheard.txt
"""

import argparse
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Final, NamedTuple

import numpy as np

from farglide.chances.after.storylaws import laws_of
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.cli.inputs import Wanted, flight_and_pack
from farglide.cli.plan import DEMO
from farglide.rig.listening import listening_of
from farglide.sortie.grain import Grain
from farglide.track.filter.begun import Last, begun
from farglide.track.filter.observed import LinkSilent, Nothing, Observed
from farglide.track.filter.particles import Laws, Particles, Story, dead_ratios
from farglide.track.filter.silence import SPELL_S
from farglide.track.filter.step import step
from farglide.track.filter.told import where

_GRAIN: Final = Grain(n_draws=300, clock_s=30.0, prices_mps=(8.0,), slab=5)
_MINUTES: Final = (20.0, 40.0, 60.0, 70.0)
_SPELLS: Final = (1, 3, 5, 10)


class Silent(NamedTuple):
    """A link that was not heard for some spells: how the place moved by that, and what of the link.

    `moved_m`: how far the middle of the place lies from where it is without the silence; `told_m`:
    the circle of nine in ten; `nats`: what the weights have learnt; `dead_ratio`: of the link.
    """

    minutes: float
    link: str
    stand: str
    n_spells: int
    moved_m: float
    told_m: float
    nats: float
    dead_ratio: float


def demo() -> Ensemble:
    """Return draws of the demo with its links, over flat ground."""
    flight, pack = flight_and_pack(Wanted(file=DEMO, winds=None, pack=None, out=None))
    sortie = replace(flight.sortie, terrain=None)
    drawn = drawn_ensemble(sortie, pack.sounding, _GRAIN)
    return replace(drawn, listening=listening_of(sortie, None))


def silences(ensemble: Ensemble) -> Iterator[Silent]:
    """Yield what silence tells of each link at each stand, from some moments of the climb on."""
    laws, sortie = laws_of(ensemble), ensemble.sortie
    for minutes in _MINUTES:
        for k, link in enumerate(sortie.links):
            for j, stand in enumerate(sortie.stands):
                yield from _silent(laws, minutes, (k, link.name), (j, stand.name))


def _silent(
    laws: Laws, minutes: float, link: tuple[int, str], stand: tuple[int, str]
) -> Iterator[Silent]:
    heard = unheard = _carried(laws, 60.0 * minutes)
    for n in range(1, max(_SPELLS) + 1):
        to_s = 60.0 * minutes + n * SPELL_S
        heard = step(laws, heard, Observed(n, to_s, Nothing())).particles
        what = LinkSilent(link=link[0], stand=stand[0])
        unheard = step(laws, unheard, Observed(n, to_s, what)).particles
        if n not in _SPELLS:
            continue
        one, other = where(laws, heard), where(laws, unheard)
        moved = 6.37e6 * np.hypot(
            one.north_rad - other.north_rad,
            (one.east_rad - other.east_rad) * laws.movers.scene.frame.cosine,
        )
        same = len(heard.weight) == len(unheard.weight)
        nats = float(unheard.weight @ np.log(unheard.weight / heard.weight)) if same else np.nan
        dead = float(dead_ratios(unheard)[link[0]])
        yield Silent(
            minutes, link[1], stand[1], n, float(moved), one.most_within_m, nats, dead
        )  # fmt: skip


def _carried(laws: Laws, after_s: float) -> Particles:
    """Return particles below the balloon, from a fix of the middle draw on."""
    tracks = laws.movers.tracks
    k = round(after_s / tracks.step_s)
    amsl_m, north, east = (float(np.nanmedian(one[:, k])) for one in tracks.places)
    never = laws.movers._replace(burst_s=np.full(laws.n_draws, np.nan))
    return begun(laws._replace(movers=never), Last(after_s, amsl_m, north, east), {
        Story.CARRIED: 1.0
    })  # fmt: skip


def rows_of(found: list[Silent]) -> list[str]:
    """Return the table: over all moments, links and stands of the demo, by spells in a row."""
    rows = [
        "The demo while the balloon carries the glider, from a fix at T+20, 40, 60 and 70 min on,",
        "each of its links silent at each of its stands, over flat ground: how far the middle of",
        "the place moves by that, beside the circle of nine in ten without it; what the weights",
        "have learnt; the chance that the link is dead.",
        f"{'silent':10}{'moved, median':>15}{'most':>9}{'circle':>9}{'learnt':>13}{'link dead':>12}"
        f"{'least':>8}",
    ]
    for n in _SPELLS:
        some = [one for one in found if one.n_spells == n]
        moved, told, nats, dead = (
            np.array([getattr(one, name) for one in some])
            for name in ("moved_m", "told_m", "nats", "dead_ratio")
        )
        rows.append(
            f"{n:3d} min   {np.median(moved):13.0f} m{moved.max():7.0f} m{np.median(told):7.0f} m"
            f"{np.median(nats):8.4f} nat{np.median(dead):12.2f}{dead.min():8.2f}"
        )
    return rows


def main() -> None:
    """Print the table, and write it where asked for."""
    parser = argparse.ArgumentParser(description="Hear nothing while it is carried.")
    parser.add_argument("--out", type=Path)
    wanted = parser.parse_args()
    found = list(silences(demo()))
    text = "\n".join(rows_of(found)) + "\n"
    sys.stdout.write(text)
    if wanted.out:
        wanted.out.write_text(text)


if __name__ == "__main__":
    main()
