"""Behind: a log read without any tables comes to the ride that was ridden with them."""

from pathlib import Path

from farglide.live.behind import Behind
from farglide.live.resume import behind, ride_in
from farglide.live.ride.slow import Maker
from farglide.sortie.spec import Sortie
from farglide.track.reports import Fix

from .made import SPECS, begun, near


def test_a_log_comes_to_the_ride_without_any_tables(
    sortie: Sortie, make: Maker, climb: tuple[Fix, ...], tmp_path: Path
) -> None:
    crew = begun(tmp_path / "ride.log", sortie, make)
    crew.at(0.0)
    crew.types("launched")
    crew.hears(near(climb, 600.0, crew.launch_t_s))
    crew.sums()
    crew.types("refused brackmoor")
    told = crew.running.ride
    crew.running.close()
    read, advice = behind(Behind(sortie, SPECS), tmp_path / "ride.log")
    assert advice is not None
    assert advice.document() == crew.published[-1].document()
    assert (read.entries, read.kept, read.used, read.told) == (
        told.entries, told.kept, told.used, told.told)  # fmt: skip
    by_name = ride_in(tmp_path / "ride.log", sortie)
    assert by_name.entries == told.entries


def test_what_a_task_asks_hangs_on_the_ride_alone(
    sortie: Sortie, make: Maker, climb: tuple[Fix, ...], tmp_path: Path
) -> None:
    crew = begun(tmp_path / "ride.log", sortie, make)
    crew.at(0.0)
    crew.types("launched")
    for after_s in (600.0, 610.0):
        crew.hears(near(climb, after_s, crew.launch_t_s))
    alone, now_t_s = Behind(sortie, SPECS), crew.t_s
    task = alone.task(crew.running.ride, 7, now_t_s)
    assert task == crew.running.session.task(crew.running.ride, 7, now_t_s)
    assert not task.is_loose
    assert task.launch == alone.launch(crew.running.ride)
    crew.at(700.0)
    crew.types("released")
    loose = alone.task(crew.running.ride, 8, crew.t_s + 60.0)
    assert loose.is_loose
    assert loose.onward is not None
    assert loose.now_t_s < crew.t_s
    crew.running.close()
