"""farglide fields: from files to what is known of every place to land, and of what lies between."""

from farglide.cli.inputs import Wanted, edited_lines, flight_and_pack, refuse_payload
from farglide.cli.outfiles import check_out, write_texts
from farglide.cli.warm import Ready
from farglide.compute import on_threads
from farglide.plan.places.placeview import see_places
from farglide.present.draw.maps.layers import WRITERS
from farglide.present.draw.maps.place_map import legend, place_files
from farglide.present.lines import blocks
from farglide.present.say.places.places import place_lines


def fields_text(wanted: Wanted, ready: Ready) -> str:
    """Return the places of a flight in words, and write sketch and layers where asked for."""
    check_out(wanted.out)
    flight, pack = flight_and_pack(wanted)
    refuse_payload(flight, "fields")
    ready()
    view = see_places(flight, pack, on_threads())
    lines = blocks(edited_lines(flight), place_lines(view))
    if wanted.out is not None:
        layers = {name: write(view.places) for name, write in WRITERS.items()}
        sketches = place_files(view)
        write_texts({**sketches, **layers}, wanted.out)
        named = " and ".join(str(wanted.out / name) for name in sketches)
        lines += ["", f"Sketch: {named}", *(f"  {one}" for one in legend(view))]
        lines.append(f"Layers: {', '.join(str(wanted.out / name) for name in WRITERS)}")
    return "\n".join(lines)
