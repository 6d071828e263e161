"""Plans that try a page: one field and six, long names, shut days, with links and without."""

from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass, replace
from pathlib import Path
from types import ModuleType
from typing import Any, Final, TypeVar, cast

from farglide.cli.inputs import Wanted, flight_and_pack
from farglide.outlook.outlook import Outlook
from farglide.outlook.release import BarrierSide
from farglide.plan.plan import plan_file
from farglide.sortie.grain import Grain

Value = TypeVar("Value")

LONG: Final = (
    "Lower Meadow under Wether Knap", "Brackmoorlandslagerplatz", "The Strip at Stile Gap Farm",
    "Öberå-Ängenäs Södra", "Corrand", "Upper Common beyond the old railway", "Q",
)  # fmt: skip
"""Of many words, of one long word, with accents, very short."""


def renamed(value: Value, names: Mapping[str, str]) -> Value:
    """Return a value with names changed wherever they stand in it."""
    found: Any = value
    if isinstance(value, str):
        for old, new in names.items():
            found = found.replace(old, new)
    elif isinstance(value, tuple):
        parts = [renamed(one, names) for one in value]
        found = type(value)(*parts) if hasattr(value, "_fields") else tuple(parts)
    elif is_dataclass(value) and not isinstance(value, type):
        changed = {f.name: renamed(getattr(value, f.name), names) for f in fields(value)}
        found = replace(cast(Any, value), **changed)
    return cast(Value, found)


def long_names(outlook: Outlook) -> Outlook:
    """Return a plan whose fields and stands have awkward names."""
    names = {one.name: long for one, long in zip(outlook.fields, LONG, strict=False)}
    if outlook.car is not None and outlook.car.stand not in names:
        names[outlook.car.stand] = "The lay-by over the reservoir dam"
    keyed = {old: f"\0{n}\0" for n, old in enumerate(names)}
    back = {f"\0{n}\0": new for n, new in enumerate(names.values())}
    return renamed(renamed(outlook, keyed), back)


def one_field(outlook: Outlook) -> Outlook:
    """Return a plan with the field of the release alone, else the first."""
    wanted = outlook.release.field if outlook.release else outlook.fields[0].name
    return replace(outlook, fields=tuple(f for f in outlook.fields if f.name == wanted))


def six_fields(outlook: Outlook) -> Outlook:
    """Return a plan with six fields: those that are missing lie beside the known ones."""
    known, more = outlook.fields[:6], []
    for n in range(6 - len(known)):
        like = known[n % len(known)]
        east_m, north_m = like.east_m + 4e3 * (n + 1), like.north_m - 3e3
        more.append(replace(like, name=f"Upper Meadow {n}", east_m=east_m, north_m=north_m))
    return replace(outlook, fields=(*known, *more))


def shut(outlook: Outlook) -> Outlook:
    """Return a plan of a day without a release, not cleared and with much to say about it."""
    return replace(
        outlook,
        release=None,
        car=None,
        cleared=False,
        missing=("airspace", "aircraft", "command_radio", "picture_radio", "land"),
        verdict="No release above 20 km brings it home: do not launch like this.",
        why="Home stays shut to the burst. " * 3,
        would_open=("launch 30 km up the drift", "fly the day after", "take another pack"),
    )


def low_window(outlook: Outlook) -> Outlook:
    """Return a plan whose window is low, short and doubtful."""
    if outlook.release is None:
        return outlook
    window = replace(outlook.release.window, from_amsl_m=8_500.0, to_amsl_m=8_700.0)
    release = replace(outlook.release, window=window, release_by_amsl_m=8_650.0)
    return replace(outlook, release=release)


def barred(outlook: Outlook) -> Outlook:
    """Return a plan with three barriers close together on the way home."""
    rows = (("Gollan Wood", 21e3, 27e3, 17.4e3), ("Long Water", 27.5e3, 29e3, 16e3))
    barriers = [
        BarrierSide(barrier=name, from_along_m=near, to_along_m=far, commit_amsl_m=commit)
        for name, near, far, commit in (*rows, ("The Gorge", 29.2e3, 29.6e3, float("nan")))
    ]
    return replace(outlook, side=replace(outlook.side, barriers=tuple(barriers)))


ROOT: Final = Path(__file__).parents[2]
FLIGHTS: Final = {
    "demo": ROOT / "src/farglide/flightfile/assets/amber-evening.toml",
    "sounding": ROOT / "docs/plans/giles.toml",
    "forecast": ROOT / "docs/plans/forecast.toml",
}
"""Made-up winds, those of a real sounding, those of a real forecast."""
CHANGES: Final[dict[str, Callable[[Outlook], Outlook]]] = {
    "as it is": lambda outlook: outlook,
    "one field": one_field,
    "six fields": six_fields,
    "long names": long_names,
    "six long names": lambda outlook: long_names(six_fields(outlook)),
    "shut": lambda outlook: shut(six_fields(outlook)),
    "low window": low_window,
}


def planned(file: Path, *, late: bool = False) -> Outlook:
    """Return the plan of a flight file, on its hour or four hours later in the same winds."""
    flight, pack = flight_and_pack(Wanted(file=file, winds=None, pack=None, out=None))
    if late:
        launch = replace(flight.sortie.launch, t_s=flight.sortie.launch.t_s + 4.0 * 3600.0)
        flight = replace(flight, sortie=replace(flight.sortie, launch=launch))
    return plan_file(flight, pack, Grain(n_draws=60))


def handmade(samples: ModuleType) -> dict[str, Outlook]:
    """Return plans made by hand, by what is special about them."""
    linked = samples.with_links()
    found = {name: change(linked) for name, change in CHANGES.items()}
    found["no links"] = samples.sample()
    found["not cleared"] = samples.not_cleared()
    found["no release"] = samples.no_release()
    found["barriers"] = barred(linked)
    found["no fields"] = replace(samples.sample(), fields=(), release=None, launch=None)
    return found
