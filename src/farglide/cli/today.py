"""Today: the clock of this computer, asked for here and nowhere else."""

import time


def now_t_s() -> float:
    """Return the time of this computer's clock, UTC seconds."""
    return time.time()


def monotonic_s() -> float:
    """Return seconds of a clock that nobody sets."""
    return time.monotonic()
