"""farglide fields: from files to what is known of every place to land, and of what lies between."""

from pathlib import Path

from farglide.cli.plan import Wanted, check_out, flight_and_pack
from farglide.cli.warm import Ready
from farglide.compute import on_threads
from farglide.errors import InputError
from farglide.present.layers import WRITERS
from farglide.present.place_map import legend, place_map_svg
from farglide.present.places import place_lines
from farglide.sortie.gather import gather_terrain
from farglide.sortie.placeview import PlaceView, see_places

_MAP = "places.svg"


def fields_text(wanted: Wanted, ready: Ready) -> str:
    """Return the places of a flight in words, and write sketch and layers where asked for."""
    check_out(wanted.out)
    flight, pack = flight_and_pack(wanted)
    terrain = gather_terrain(flight.sortie)
    ready()
    view = see_places(flight, pack, terrain, on_threads())
    lines = place_lines(view)
    if wanted.out is not None:
        _write(view, wanted.out)
        lines += ["", f"Sketch: {wanted.out / _MAP}", *(f"  {one}" for one in legend(view))]
        lines.append(f"Layers: {', '.join(str(wanted.out / name) for name in WRITERS)}")
    return "\n".join(lines)


def _write(view: PlaceView, folder: Path) -> None:
    """Write sketch and layers into a folder, each whole or not at all."""
    texts = {_MAP: place_map_svg(view)}
    texts |= {name: write(view.places) for name, write in WRITERS.items()}
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in texts.items():
            part = folder / f"{name}.part"
            part.write_text(text, encoding="utf-8")
            part.replace(folder / name)
    except OSError as error:
        remedy = f"It cannot be written: {error.strerror}. Choose another folder."
        raise InputError("--out", folder, "a folder that can be written", remedy) from error
