"""Warm: the two halves run through every kernel of a plan without a draw flown."""

import inspect

import numpy as np
import pytest

from farglide.sim import descend, flight, warm
from farglide.sim.warm import compile_flights, compile_reach


@pytest.mark.parametrize("half", [compile_flights, compile_reach])
def test_a_half_runs_without_a_warning(half: object) -> None:
    assert callable(half)
    with np.errstate(all="raise"):
        assert half() is None


def test_flights_and_falls_are_warmed_with_the_doors() -> None:
    """What the flight's own test calls cold is called here: fly, descend, pull-out."""
    compile_flights()
    compile_reach()
    for kernel in (flight._fly_some, descend._descend_some, warm._pull_out, warm.begin_glide):
        assert kernel.signatures, kernel  # type: ignore[attr-defined]
    assert "fly(" in inspect.getsource(compile_flights)
