"""Ahead: what a release needs first, compiled or read while nobody waits for it."""

from farglide.sim.ridetasks import heights_to_spare, particles


def for_release() -> None:
    """Have the kernels at hand that follow a glider after its release, asked once of nothing.

    Compiled for the first time they would take seconds, right when the glider is let go.
    """
    particles()
    heights_to_spare()
