"""Today: the clock of this computer, asked for and waited by here and nowhere else."""

import time


def now_t_s() -> float:
    """Return the time of this computer's clock, UTC seconds."""
    return time.time()


def monotonic_s() -> float:
    """Return seconds of a clock that nobody sets."""
    return time.monotonic()


def sleep_s(seconds: float) -> None:
    """Wait."""
    time.sleep(seconds)
