"""The page on real plans shows what the commands print, and its flight files are fit to fly."""

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

from farglide.flightfile.flightfile import read_flight_file

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "plans.rst").read_text(encoding="utf-8")


def script() -> ModuleType:
    spec = importlib.util.spec_from_file_location(
        "refresh_plans", ROOT / "scripts" / "refresh_plans.py"
    )
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


REFRESH = script()


@pytest.mark.parametrize("name", REFRESH.NAMES)
def test_the_page_shows_what_the_command_answers(name: str) -> None:
    shown = REFRESH.shown(PAGE, name)
    assert 25 < len(shown.splitlines()) <= 41
    assert shown == REFRESH.answer(name), "run scripts/refresh_plans.py"


@pytest.mark.parametrize("name", REFRESH.NAMES)
def test_the_flight_files_of_the_page_have_their_winds_and_nothing_to_note(name: str) -> None:
    assert f".. literalinclude:: plans/{name}.toml" in PAGE
    flight = read_flight_file(ROOT / "docs" / "plans" / f"{name}.toml")
    assert flight.notes == ()
    assert flight.sortie.wind is not None
    assert Path(flight.sortie.wind.path).is_file()


def test_the_page_says_that_the_flights_are_invented_and_the_air_is_real() -> None:
    words = " ".join(PAGE.split())
    assert "Both flights are invented" in words
    assert "The air is real" in words
