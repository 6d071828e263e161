"""farglide search: from the last true position to where to look first once it is down."""

import json
from typing import Final

from farglide.chances.ensemble import drawn_ensemble
from farglide.cli.inputs import Wanted, flight_and_pack, refuse_payload
from farglide.cli.outfiles import check_out, write_texts
from farglide.cli.searchasked import Told, asked_of
from farglide.cli.warm import Ready
from farglide.compute import on_threads
from farglide.outlook.search import SearchOutlook
from farglide.plan.planned import settled
from farglide.present.draw.maps.search_layer import GEOJSON, GPX, search_geojson, search_gpx
from farglide.present.say.search import search_lines
from farglide.search.search import search
from farglide.sortie.grain import Grain

_N_DRAWS: Final = 500


def searched(wanted: Wanted, told: Told, ready: Ready) -> SearchOutlook:
    """Return the search that a command line asks for, its layers written where asked for."""
    check_out(wanted.out)
    flight, pack = flight_and_pack(wanted)
    refuse_payload(flight, "search")
    asked = asked_of(flight.sortie, pack.terrain, told)
    ready()
    flight = settled(flight, pack)
    grain = Grain(n_draws=_N_DRAWS)
    ensemble = drawn_ensemble(flight.sortie, pack.sounding, grain, on_threads())
    outlook = search(ensemble, pack.terrain, asked)
    if wanted.out is not None:
        texts = {GEOJSON: search_geojson(outlook), GPX: search_gpx(outlook)}
        write_texts(texts, wanted.out)
    return outlook


def search_text(outlook: SearchOutlook, wanted: Wanted) -> str:
    """Return a search in words, and which layers were written."""
    lines = search_lines(outlook)
    if wanted.out is not None:
        lines += ["", f"Layers: {wanted.out / GEOJSON}, {wanted.out / GPX}"]
    return "\n".join(lines)


def search_document(outlook: SearchOutlook) -> str:
    """Return a search as one JSON document."""
    return json.dumps(outlook.document(), indent=1, allow_nan=False, ensure_ascii=False)
