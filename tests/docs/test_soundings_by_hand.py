"""The figures of the sounding network that the page calls independent, computed again by hand."""

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

from ..by_hand.network import UP_DRIFT_KM, Answer, asked_of

ROOT = Path(__file__).parents[2]

pytestmark = pytest.mark.slow


def reader() -> ModuleType:
    """Return the script that reads the network; nothing else of it is used."""
    name = "make_soundings_table"
    spec = importlib.util.spec_from_file_location(name, ROOT / "scripts" / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def answers() -> list[Answer]:
    return [asked_of(one.gph_m, one.u_mps, one.v_mps) for one in reader().population()]


def percent(found: "np.ndarray[tuple[int, ...], np.dtype[np.bool_]]") -> float:
    return 100.0 * float(np.mean(found))


def test_how_often_home_opens_above_20_km(answers: list[Answer]) -> None:
    # printed in whole per cent for 146 soundings, one of which is 0.7; here 147
    reach = np.array([one.reach for one in answers])
    for km, printed in ((0.0, 55.0), (40.0, 75.0), (90.0, 94.0)):
        found = percent(reach[:, list(UP_DRIFT_KM).index(km)])
        assert found == pytest.approx(printed, abs=2.0)
    assert reach.any(axis=1).all()
    assert percent(np.array([one.packs[0] for one in answers])) == pytest.approx(51.0, abs=2.0)


def test_drift_and_minutes_shut(answers: list[Answer]) -> None:
    drifts = np.quantile([one.drift_km for one in answers], [0.1, 0.5, 0.9])
    assert drifts == pytest.approx([31.0, 76.0, 131.0], abs=1.0)
    shut = np.array([one.shut_min for one in answers])
    assert float(shut[:, 0].mean()) == pytest.approx(42.0, abs=2.0)
    assert float(shut.min(axis=1).mean()) == pytest.approx(10.0, abs=2.0)
