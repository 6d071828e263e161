"""Tests stand where their subject stands: every module has its test file, and none is left over."""

import ast
from collections.abc import Iterable
from fnmatch import fnmatch
from pathlib import Path
from typing import Final

TESTS: Final = Path(__file__).parent
SOURCES: Final = TESTS.parent / "src" / "farglide"

WITHOUT: Final = {
    "values alone: the rooms that fill them check them": (
        "outlook/*.py", "present/part.py", "radio/antenna/stance.py", "radio/path/parts.py",
        "sortie/gear.py", "sortie/pack.py", "sortie/sources.py",
    ),
    "what keeps the kernels: test_kernel.py runs it in processes of its own": ("kernel_store.py",),
    "steps and parts of one march: its twins stand in test_march.py, test_flight.py, any_state": (
        "sim/core/losses.py", "sim/core/scene.py", "sim/core/tracks.py", "sim/core/workers.py",
        "sim/fly/glide.py", "sim/fly/homing.py",
        "sim/fly/orders.py", "sim/fly/stages.py",
    ),
    "particles and their laws: sim/fly/test_stories.py": (
        "sim/fly/particles.py", "sim/fly/ways.py",
    ),
    "parts of one law: test_horizon, _terrain, _column, _polar, _kinds, test_warm": (
        "air/layers.py", "air/sounding.py", "atlas/groundline.py", "atlas/posts.py",
        "atlas/sweep.py", "radio/antenna/beams.py", "sim/nothing.py", "sim/ridetasks.py",
        "sim/tasks.py",
    ),
    "parts of one case: test_ensemble.py, test_chances.py, test_case.py": (
        "chances/making.py", "chances/parts.py", "chances/spells.py",
    ),
    "parts of one sum: test_hearing.py, test_coverage.py, test_reach.py, test_straight.py": (
        "sim/hear/ears.py", "sim/hear/holds.py", "sim/reach/glides.py", "sim/reach/reaches.py",
        "sim/reach/drawnglider.py", "sim/reach/rose.py", "sim/reach/support.py",
    ),
    "one flight along a path: test_hearing.py": (
        "plan/links/flightpath.py", "plan/links/landing.py",
    ),
    "one format, one answer: the test of its reader": (
        "sources/grib/messages.py", "sources/grib/moments.py", "sources/levels/levels.py",
        "sources/places/geojson.py", "sources/places/gpx.py", "sources/places/kml.py",
        "sources/places/shapes.py", "sources/places/xml_tree.py",
        "sources/soundings/bufr_messages.py", "sources/soundings/csv_columns.py",
        "sources/soundings/csv_table.py",
    ),
    "parts of one forecast: test_edition1.py, test_edition2.py, test_gribgrid.py": (
        "sources/grids/elements.py", "sources/grids/field.py", "sources/grids/finish.py",
        "sources/grids/ground.py", "sources/grids/stack.py",
    ),
    "parts of one picture: test_ladder.py, say/places/test_places.py, cli/test_coverage.py": (
        "present/draw/ladder/ending.py", "present/draw/ladder/frame.py",
        "present/draw/ladder/heads.py", "present/draw/ladder/links.py",
        "present/draw/ladder/window.py", "present/draw/maps/coverage_layer.py",
        "present/draw/maps/coverage_map.py", "present/draw/maps/place_map.py",
    ),
    "parts of one picture: side/test_side.py, strip/test_strip.py, report/test_boxes.py": (
        "present/draw/side/labels.py", "present/draw/side/scale.py",
        "present/draw/strip/ends.py", "present/draw/strip/links.py", "present/draw/strip/rows.py",
    ),
    "blocks of one answer: say/test_answer.py, say/links/test_car.py, plan/test_plan.py": (
        "present/say/climb.py", "present/say/crew.py", "present/say/day.py",
        "present/say/release.py",
        "present/say/links/aim.py", "present/say/links/causes.py",
    ),
    "parts of one answer: search/test_search.py, search/test_segments.py": (
        "search/outlooks.py", "search/pieces.py", "search/remarks.py",
    ),
    "parts of one page: report/test_brief.py": (
        "report/cards.py", "report/paged.py", "report/pictures.py", "report/sheet.py",
    ),
}  # fmt: skip
"""Modules without a test file of their own, by the reason: where they are tested instead."""

PATTERNS: Final = tuple(one for group in WITHOUT.values() for one in group)

SPANNING: Final = {
    "bench/beside/*.py": "filters side by side, which stand beside the program",
    "bench/*.py": "what is timed, which stands beside the program",
    "bench/alarms/*.py": "delays of alarms, which stand beside the program",
    "bench/odds/*.py": "fits and tables of the open soundings, which stand beside the program",
    "bench/rehearsals/*.py": "crews side by side, which stand beside the program",
    "bench/replays/*.py": "real flights replayed, which stand beside the program",
    "bench/value/*.py": "plans and simple rules side by side, which stand beside the program",
    "chances/test_blind.py": "a climb that is not heard, from its fixes through the filter",
    "docs/*.py": "pages against what is computed",
    "flightfile/test_amber_evening.py": "the demo as a file, against its tables and its script",
    "flightfile/test_every_key_is_read.py": "numbers of the file against the whole program",
    "cli/test_plan_refusals.py": "what one command refuses",
    "plan/test_elsewhere.py": "whole plans at other places and hours",
    "plan/test_rare_days.py": "whole plans of rare days",
    "report/test_boxes.py": "every picture of the page, laid out by a browser",
    "report/test_paper.py": "the page as it is printed, and its colours",
    "rig/test_antenna_fuzz.py": "antenna keys at random, through the reader into the gear",
    "sim/fly/test_any_state.py": "every engine from any state",
    "sim/fly/test_leaks.py": "climbs and flights that lose gas",
    "sim/test_reach_twin.py": "reach against flights of a slow twin",
    "chances/test_flownhome.py": "tables of reach against flown glides, in winds that differ",
    "sim/test_real_flights.py": "climb and fall against flown ones",
    "soak/*.py": "every reader with mutated files, and what reads them",
    "sources/grids/test_damaged.py": "forecasts of both formats, damaged",
    "sources/grids/test_open_forecasts.py": "open forecasts against other readers",
    "sources/test_damage.py": "every reader with damaged files",
    "track/filter/test_unheard.py": "made-up flights through the whole filter",
    "track/journal/test_faults.py": "the whole log, on media that fail",
    "track/journal/test_killed.py": "the whole log, through processes that are killed",
    "test_by_hand.py": "figures called independent, by scripts that share no code",
    "test_chances_by_hand.py": "chances called independent, by a script that shares no code",
    "test_contracts.py": "which room may import which",
    "test_first_screen.py": "many plans, read as a new user would",
    "test_mirror.py": "this file",
    "test_one_value.py": "one quantity through every face",
}
"""Test files of several modules, in the narrowest room that holds these."""


def modules() -> list[Path]:
    """Return every module with something public that can be called or made."""
    found = []
    for path in sorted(SOURCES.rglob("*.py")):
        if path.name.startswith("__"):
            continue
        tree = ast.parse(path.read_text(encoding="utf-8"))
        kinds = (ast.FunctionDef, ast.ClassDef)
        if any(isinstance(one, kinds) and not one.name.startswith("_") for one in tree.body):
            found.append(path.relative_to(SOURCES))
    return found


def mirror(module: Path) -> Path:
    """Return where the test file of a module stands."""
    return module.parent / f"test_{module.name}"


def excused(path: Path, among: Iterable[str]) -> list[str]:
    """Return the patterns of a folder that a file of just this folder falls under."""
    return [
        pattern
        for pattern in among
        if fnmatch(path.as_posix(), pattern) and pattern.count("/") == len(path.parts) - 1
    ]


MODULES: Final = modules()
TEST_FILES: Final = [path.relative_to(TESTS) for path in sorted(TESTS.rglob("test_*.py"))]
BARE: Final = [one for one in MODULES if mirror(one) not in TEST_FILES]


def test_every_module_has_its_test_file() -> None:
    assert len(MODULES) > 200
    assert [mirror(one) for one in BARE if not excused(one, PATTERNS)] == []


def test_no_test_file_mirrors_a_module_that_is_gone() -> None:
    known = {mirror(path.relative_to(SOURCES)) for path in SOURCES.rglob("*.py")}
    left = [path for path in TEST_FILES if path not in known and not excused(path, SPANNING)]
    assert left == []


def test_no_exception_is_left_over() -> None:
    used = {pattern for one in BARE for pattern in excused(one, PATTERNS)}
    assert set(PATTERNS) - used == set()
    spanning = {pattern for one in TEST_FILES for pattern in excused(one, SPANNING)}
    assert set(SPANNING) - spanning == set()
