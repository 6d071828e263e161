"""What advice from the air is worth, and how true: `python -m bench.rehearsals [--out FILE]`."""

import argparse
import sys
from itertools import chain, pairwise
from pathlib import Path

import numpy as np

from bench.rehearsals.keeping import keep, kept
from bench.rehearsals.real import real_flown
from bench.rehearsals.sorties import DAYS, Flown, Tried, flown
from bench.value.paired import Interval, gained, share
from farglide.live.rehearse.crew import CREWS

_HIGH_M = 20_000.0
_BOUNDS = (0.0, 0.2, 0.5, 0.8, 0.85, 0.95, 0.98, 1.01)


def main() -> None:
    """Fly every truth under every crew and print the tables, and write them if asked."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--out", type=Path)
    parser.add_argument("--truths", type=int, default=64, help="of each of three days")
    parser.add_argument("--gears", type=int, default=2, help="of each pair of real soundings")
    parser.add_argument("--keep", type=Path, help="sorties flown so far: begun again, it goes on")
    wanted = parser.parse_args()
    found = list(kept(wanted.keep)) if wanted.keep else []
    known = {one.sortie for one in found}
    for one in chain(real_flown(wanted.gears, known), flown(DAYS, wanted.truths, known)):
        found.append(one)
        if wanted.keep:
            keep(wanted.keep, one)
        sys.stderr.write(f"\r{len(found)} sorties")
        if wanted.out:  # what is there already, should it be stopped
            wanted.out.write_text("\n".join(tables(found)) + "\n")
    sys.stdout.write("\n".join(tables(found)) + "\n")


def tables(found: list[Flown]) -> list[str]:
    """Return how many each crew brought home, and how true the chances were."""
    lines = [f"{len(found)} sorties."]
    for day in (None, *dict.fromkeys(one.day for one in found)):
        some = [one for one in found if day in (None, one.day)]
        lines += ["", f"{day or 'all days'}: {len(some)} sorties", *crew_rows(some)]
    tried = [one for each in found for one in each.tried]
    lines += ["", "Chance told of a release at once, and how often it came true", *true_rows(tried)]
    own = [Tried(one.sortie, each.score.chance_ratio, each.came_home)
           for one in found for each in (one.told["advice"],)
           if each.score.chance_ratio == each.score.chance_ratio]  # fmt: skip
    lines += ["", "The same, when the crew of the advice sent it", *true_rows(own)]
    return [*lines, "", "In brackets: 95 % of the values with whole sorties drawn anew."]


def crew_rows(found: list[Flown]) -> list[str]:
    """Return a row for each crew: what it brings home, gain, regret, release-by met."""
    sorties = np.array([one.sortie for one in found])
    rows = [f"{'':10}{'home':24}{'released above 20 km':24}{'the gain of advice':26}regret  met"]
    came = {name: np.array([one.told[name].came_home for one in found]) for name in CREWS}
    for name in CREWS:
        high = [one.told[name].release_amsl_m >= _HIGH_M for one in found]
        cells = [_told(share(came[name], sorties)), _told(share(came[name] & high, sorties))]
        gain = "" if name == CREWS[0] else _told(gained(came[CREWS[0]], came[name], sorties), True)
        regret = np.nanmean([one.told[name].score.regret_ratio for one in found])
        met = np.mean([one.told[name].score.is_met for one in found])
        rows.append(f"{name:10}{cells[0]:24}{cells[1]:24}{gain:26}{regret:6.3f} {met:5.2f}")
    return rows


def true_rows(tried: list[Tried]) -> list[str]:
    """Return for each range of chances how often it was told, and how often it came true."""
    rows = [f"{'told':14}{'releases':>9}{'sorties':>9}{'mean':>8}   came home"]
    for low, high in pairwise(_BOUNDS):
        some = [one for one in tried if low <= one.chance_ratio < high]
        if some:
            sorties = np.array([one.sortie for one in some])
            mean = np.mean([one.chance_ratio for one in some])
            came = _told(share(np.array([one.came for one in some]), sorties))
            span = f"{low:.2f} to {min(high, 1.0):.2f}"
            n = len(set(sorties.tolist()))
            rows.append(f"{span:14}{len(some):9d}{n:9d}{mean:8.3f}   {came}")
    return rows


def _told(one: Interval, signed: bool = False) -> str:
    form = "+.3f" if signed else ".3f"
    return f"{one.mean:{form}} ({one.low:{form}} to {one.high:{form}})"


if __name__ == "__main__":
    main()
