"""What a plan is worth, beside simple rules: `python -m bench.value [--out FILE]`."""

import argparse
import sys
from pathlib import Path

import numpy as np

from bench.value.paired import Interval, gained, share
from bench.value.places import pairs
from bench.value.rules import SIMPLE, Aim
from bench.value.sorties import AIMS, LAUNCHES, Flown, flown
from bench.value.strongest import strongest_rows

_N_BALLOONS = 7


def main() -> None:
    """Fly every sortie under every rule and print the tables, and write them if asked."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--out", type=Path)
    parser.add_argument("--every", type=int, default=3, help="take every n-th pair alone")
    wanted = parser.parse_args()
    found: list[Flown] = []
    for number, pair in enumerate(pairs()[:: wanted.every]):
        found += flown(pair, [1000 * number + balloon for balloon in range(_N_BALLOONS)])
        if sys.stderr.isatty():
            sys.stderr.write(f"\r{len(found)} sorties")
    rows = [*_tables(found), "", *strongest_rows(pairs()[:: wanted.every])]
    text = "\n".join(rows) + "\n"
    sys.stdout.write(text)
    if wanted.out:
        wanted.out.write_text(text)


def _tables(found: list[Flown]) -> list[str]:
    region = np.array([one.region for one in found])
    lines = [f"{len(found)} sorties of {len(set(region.tolist()))} regions."]
    for aim in AIMS:
        lines += ["", f"{aim.told}, from a launch at home", *_table(found, region, aim)]
    for km, names in LAUNCHES.items():
        far = f"at most {km:.0f} km from home" if np.isfinite(km) else "wherever it is best"
        lines += ["", f"Home, from a launch {far}"]
        lines += _rows(found, region, names, names[0])
    lines += ["", "What plans said, and how often it came true", *_said_rows(found)]
    return [*lines, "", "In brackets: 95 % of the values with whole regions drawn anew."]


def _said_rows(found: list[Flown]) -> list[str]:
    """Return the mean chance told and the share come home, by where the release was advised."""
    rows = [f"{'':38}{'sorties':>8}{'said':>8}   came home"]
    for name in (*(aim.name for aim in AIMS), *(names[0] for names in LAUNCHES.values())):
        for above, where in ((True, "from above 20 km"), (False, "from lower")):
            some = [f for f in found if name in f.said and f.said[name].above_wanted is above]
            if not some:
                continue
            said = np.mean([f.said[name].chance_ratio for f in some])
            came = np.array([f.outcomes[name].arrived for f in some])
            told = _told(share(came, np.array([f.region for f in some])))
            row = f"{name}, {where}"
            rows.append(f"{row:38}{len(some):8d}{said:8.3f}   {told}")
    return rows


def _table(found: list[Flown], region: np.ndarray, aim: Aim) -> list[str]:
    rules = [rule.name for rule in SIMPLE if rule.to_nearest is not aim.home]
    return _rows(found, region, (aim.name, *rules), aim.name)


def _rows(found: list[Flown], region: np.ndarray, names: tuple[str, ...], plan: str) -> list[str]:
    """Return a row for each rule: what it brings home, and how many more the plan brings."""
    rows = [f"{'':38}{'from above 20 km':22}{'from any height':22}the plan's gain, above 20 km"]
    high = {name: _won(found, name, True) for name in names}
    for name in names:
        cells = [_told(share(high[name], region)), _told(share(_won(found, name, False), region))]
        gain = gained(high[plan], high[name], region) if name != plan else None
        last = _told(gain, signed=True) if gain else ""
        rows.append(f"{name:38}{cells[0]:22}{cells[1]:22}{last}".rstrip())
    return rows


def _won(found: list[Flown], name: str, high: bool) -> np.ndarray:
    outcomes = (one.outcomes[name] for one in found)
    return np.array([one.arrived and (one.high or not high) for one in outcomes])


def _told(one: Interval, signed: bool = False) -> str:
    form = "+.3f" if signed else ".3f"
    return f"{one.mean:{form}} ({one.low:{form}} to {one.high:{form}})"


if __name__ == "__main__":
    main()
