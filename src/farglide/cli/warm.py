"""Warm-up: on the very first run the kernels are compiled by two processes side by side."""

import subprocess
import sys
from collections.abc import Callable
from typing import Final

from farglide.kernel import is_warm, mark_warm

_HALF: Final = "from farglide.sim.warm import compile_reach as work; work()"


def warm_up(progress: Callable[[str], None]) -> None:
    """Compile what a plan needs, unless it was done before for just these sources."""
    if is_warm():
        return
    progress("compiling the kernels, once: 10 to 15 s")
    with subprocess.Popen([sys.executable, "-c", _HALF], stdout=subprocess.DEVNULL) as other:
        from farglide.sim.warm import compile_flights

        compile_flights()
        if other.wait() == 0:
            mark_warm()
