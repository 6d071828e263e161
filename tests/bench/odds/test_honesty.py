"""Tables of honesty: made-up outcomes come out as they were made, and a real pair goes through."""

from pathlib import Path

import numpy as np
import pytest
from bench.odds.cases import AgeClass, Chosen, by_daylight
from bench.odds.data import Flown
from bench.odds.outcomes import SPREADS_M, Area, Outcome, outcomes
from bench.odds.pairs import pair_of
from bench.odds.tables import area_rows, best_spread, brier_rows, reliability_rows, scores

from bench.odds import data, honesty
from farglide.sources.soundings.bufr_temp import read_bufr


def made_outcomes(n: int, wider: float, seed: int = 4) -> list[Outcome]:
    """Return cases whose places miss `wider` times as far as was said; their chances are true."""
    rng, found = np.random.default_rng(seed), []
    away = np.sort(np.hypot(*rng.normal(size=(2, 4000))))
    for i in range(n):
        miss = wider * np.hypot(*rng.normal(size=(2, 1)))
        area = Area(np.searchsorted(away, miss) / len(away), miss / np.sqrt((away**2).mean()))
        stated = rng.uniform(size=(3, 40))
        came = (rng.uniform(size=stated.shape) < stated).astype(float)
        constant = np.full((len(SPREADS_M), *stated.shape), 0.5)
        constant[2] = 0.9 * stated + 0.05
        kind, place = ("young", "old")[i % 2], f"place {i % 5}"
        found.append(Outcome(kind, place, place, area, area, stated, came, came, came, constant))
    return found


def test_areas_that_are_true_hold_their_shares() -> None:
    rows = area_rows(made_outcomes(3000, 1.0))
    half, nine, scale = (float(cell.split("(")[0]) for cell in cells(rows[2]))
    assert half == pytest.approx(0.5, abs=0.04)
    assert nine == pytest.approx(0.9, abs=0.03)
    assert scale == pytest.approx(1.0, abs=0.04)


def test_areas_too_narrow_are_told_by_their_scale() -> None:
    *_, scale = (
        float(cell.split("(")[0]) for cell in cells(area_rows(made_outcomes(3000, 1.5))[2])
    )
    assert scale == pytest.approx(1.5, abs=0.06)


def cells(row: str) -> list[str]:
    """Return the three cells with intervals of a row of areas."""
    return [part.strip() + ")" for part in row[42:].split(")") if "(" in part]


def test_true_chances_come_true_in_every_bin() -> None:
    rows = reliability_rows(made_outcomes(200, 1.0))[3:]
    assert len(rows) == 6
    for row in rows:
        _, _, mean, came = row.split()[:4]
        assert float(came) == pytest.approx(float(mean), abs=0.02)


def test_the_best_constant_spread_is_chosen_and_true_chances_beat_it() -> None:
    found = made_outcomes(200, 1.0)
    two = np.array([[0.3, 0.1, 0.2], [0.2, 0.2, 0.3]])
    assert best_spread(two) == 1
    ours, theirs, _ = scores(found, "came", "all")
    # true chances score the mean of p (1 - p), 1/6; the others 0.0025/3 more
    assert ours.mean() == pytest.approx(1.0 / 6.0, abs=0.005)
    assert 0.0 < (theirs - ours).mean() < 0.005
    assert len(brier_rows(found)) == 5


def test_without_data_it_is_told_how_to_get_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("FARGLIDE_OPEN_DATA", str(tmp_path))
    monkeypatch.setattr("sys.argv", ["honesty"])
    data.darwin.cache_clear()
    assert honesty.main() == 1
    assert "python -m bench.odds.fetch" in capsys.readouterr().err


def test_a_real_pair_is_planned_and_flown(authorities: Path) -> None:
    # Prague, 6 h apart: chances and shares are such, sure where near and never where far.
    first, second = (
        Flown(sounding=one, campaign="Prague")
        for one in sorted(read_bufr(authorities / "prague_20071120.bufr")[0], key=lambda s: s.t_s)[
            1:3
        ]
    )
    kind = AgeClass("2-7 h", (2.0, 7.5), (0.0, 20.0))
    case = Chosen(kind, by_daylight(pair_of(first, second)), "one day")
    told: list[str] = []
    (found,) = outcomes([case], told.append)
    assert told == ["\r1 of 1 pairs"]
    shape = found.stated.shape
    assert shape[1] == 25
    for shares in (found.stated, found.in_reach, found.came):
        assert shares.shape == shape
        assert ((shares >= 0.0) & (shares <= 1.0)).all()
    # a crew comes down on no more fields than are in reach; one in four flights is 0.25
    assert (found.as_planned <= found.came).all()
    assert found.came.mean() < found.in_reach.mean() + 0.02
    assert found.came[found.in_reach == 0.0].max(initial=0.0) <= 0.25
    assert found.stated[:, 0].max() > found.stated[:, 17:].mean()
    # with a spread of 2 km the flight without errors says about what the draws say in the mean
    assert found.constant[0].mean() == pytest.approx(found.stated.mean(), abs=0.1)
    assert ((found.area.rank >= 0.0) & (found.area.rank <= 1.0)).all()
