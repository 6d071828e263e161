"""The soak as a command: every reader up to its bar, in slices; begun again, it goes on."""

import argparse
import json
import time
from pathlib import Path
from typing import Any, Final

from .readers import READERS
from .soak import apart, data_of, slices

_SLICE: Final = 250


def main() -> int:
    """Soak some readers for some time; return 1 where one met a fault."""
    parser = argparse.ArgumentParser(prog="python -m tests.soak", description=__doc__)
    parser.add_argument("readers", nargs="*", help=f"of {', '.join(READERS)}; else all")
    parser.add_argument("--count", type=int, default=10**9, help="up to so many files in all, each")
    parser.add_argument("--minutes", type=float, default=1e9, help="begin no slice after these")
    parser.add_argument("--out", type=Path, default=Path(".soak"), help="what was done, and faults")
    asked = parser.parse_args()
    if unknown := [name for name in asked.readers if name not in READERS]:
        parser.error(f"no reader is called {', '.join(unknown)}")
    asked.out.mkdir(parents=True, exist_ok=True)
    until_s = time.monotonic() + 60.0 * asked.minutes
    return max([_soak(name, asked, until_s) for name in asked.readers or READERS])


def _soak(name: str, asked: argparse.Namespace, until_s: float) -> int:
    record = asked.out / f"{name}.json"
    done: dict[str, Any] = {"n": 0, "read": 0, "refused": 0, "slowest_s": 0.0, "faults": []}
    done |= json.loads(record.read_text()) if record.exists() else {}
    for numbers in slices(name, done["n"], asked.count, _SLICE):
        if time.monotonic() > until_s:
            break
        came = apart(name, numbers)
        done["n"] = numbers.stop
        done["read"] += came.n_read
        done["refused"] += came.n_refused
        done["slowest_s"] = max(done["slowest_s"], round(came.slowest_s, 2))
        for fault in came.faults:
            done["faults"].append(fault.n)
            (asked.out / f"{name}-{fault.n}").write_bytes(data_of(name, fault.n))
            print(f"{name} {fault.n}: {fault.what}")
        record.write_text(json.dumps(done))
    of = READERS[name].n_asked
    told = f"{done['read']} read, {done['refused']} refused, {len(done['faults'])} faults"
    print(f"{name}: {done['n']} of {of}: {told}, slowest {done['slowest_s']} s", flush=True)
    return 1 if done["faults"] else 0


if __name__ == "__main__":
    raise SystemExit(main())
