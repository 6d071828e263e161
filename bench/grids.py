"""A global forecast into a grid, beside the usual route: `python -m bench.grids --other PYTHON`.

PYTHON is an interpreter of another environment with the packages cfgrib and xarray, since the two
decoders do not share a process. Both read height, temperature and both winds on 26 levels of
pressure of one open file (`python -m bench.odds.fetch`); imports are not counted.
"""

import argparse
import json
import subprocess
import sys
from pathlib import Path
from typing import Final

from bench.odds.fetch import GFS, files_of
from bench.timing import Row, best_s
from farglide.sources.grids.grids import read_wind_grid
from farglide.sources.grids.wanted import Wanted

BAR_S: Final = 1.0
BAR_RATIO: Final = 5.0
_N_TIMES: Final = 7
_OTHER: Final = """
import json, sys, time, warnings
warnings.simplefilter("ignore")
import cfgrib, xarray
import logging
logging.disable(logging.CRITICAL)
path, n_times = sys.argv[1], int(sys.argv[2])
def read(names):
    keys = {"typeOfLevel": "isobaricInhPa", **names}
    options = {"indexpath": "", "filter_by_keys": keys}
    with xarray.open_dataset(path, engine="cfgrib", backend_kwargs=options) as found:
        return {name: found[name].values for name in ("gh", "t", "u", "v") if name in found}
def best(work):
    work()
    found = []
    for _ in range(n_times):
        began = time.perf_counter()
        work()
        found.append(time.perf_counter() - began)
    return min(found)
together = best(lambda: read({}))
shape = read({})["u"].shape
print(json.dumps({"s": together, "shape": shape, "version": cfgrib.__version__}))
"""


def grids_rows(other: str) -> list[Row]:
    """Return how long our reader takes, and how many times as long the other."""
    path = next(one for one in files_of(GFS) if one.name.startswith("gfs.t12z"))
    ours_s = best_s(lambda: read_wind_grid([path], Wanted()), _N_TIMES)
    shape = read_wind_grid([path], Wanted()).shape
    ran = subprocess.run(
        [other, "-c", _OTHER, str(path), str(_N_TIMES)], check=True, capture_output=True, text=True
    )
    told = json.loads(ran.stdout.splitlines()[-1])
    if tuple(told["shape"]) != shape[2:]:
        raise SystemExit(f"The other reader found {told['shape']}, ours {shape}.")
    what = f"a forecast of {shape[2]} levels, {shape[3]} x {shape[4]} points, five quantities"
    ratio = told["s"] / ours_s
    route = f"  against cfgrib {told['version']} and xarray, four of them"
    return [
        (what, f"{ours_s:.2f} s", f"bar {BAR_S:g} s"),
        (route, f"{ratio:.1f} x ({told['s']:.2f} s)", f"bar {BAR_RATIO:g} x"),
    ]


def main() -> None:
    """Print both rows."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--other", required=True, type=Path, help="interpreter with cfgrib, xarray")
    for row in grids_rows(str(parser.parse_args().other)):
        sys.stdout.write("  ".join(row) + "\n")


if __name__ == "__main__":
    main()
