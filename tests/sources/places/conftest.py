"""Places as files, made for tests."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st

from farglide.atlas.barriers import Barrier, Landmark, Places
from farglide.atlas.fields import Field
from farglide.atlas.outline import Outline
from farglide.earth.state import Place
from farglide.errors import SourceError
from farglide.sources.places.places import read_places

NEAR = Place(lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0)


SHORT = settings(
    deadline=None, max_examples=80, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


WOOD = Outline(points=((-46.6, 108.1), (-46.6, 108.3), (-46.5, 108.3), (-46.55, 108.2)))


LEA = Outline(points=((-46.61, 108.24), (-46.61, 108.25), (-46.60, 108.25)))


SAMPLE = Places(
    fields=(
        Field(name="Strip <1> & co", lat_deg=-46.5, lon_deg=108.0, amsl_m=0.0, role="home"),
        Field(
            name="Tansy Lea",
            lat_deg=-46.6067,
            lon_deg=108.2467,
            amsl_m=255.25,
            surface="pasture",
            outline=LEA,
            length_m=340.0,
            direction_deg=12.5,
            obstacles='hedge "south", wires',
            owner="asked, answer open",
            last_light="20:10",
        ),
    ),
    barriers=(Barrier(name="Gollan Wood", kind="closed forest", outline=WOOD, note="a gorge"),),
    landmarks=(
        Landmark(name="Moor road", kind="road", points=((-46.5, 108.0), (-46.6, 108.1))),
        Landmark(name="", kind="house", points=((-46.51, 108.01),)),
        Landmark(
            name="Grange",
            kind="house",
            points=((-46.6, 108.1), (-46.6, 108.2), (-46.5, 108.2), (-46.6, 108.1)),
        ),
    ),
)


Read = Callable[..., Places]


def ground(lat_deg: float, lon_deg: float) -> float:
    return 100.0 + round(lon_deg)


@pytest.fixture
def read(tmp_path: Path) -> Read:
    """Return a function that reads text or bytes as a file."""

    def of(data: str | bytes | dict[str, Any], name: str = "places.dat") -> Places:
        path = tmp_path / name
        if isinstance(data, dict):
            data = json.dumps(data)
        path.write_bytes(data.encode() if isinstance(data, str) else data)
        return read_places([path], NEAR, ground)

    return of


@pytest.fixture
def refusal(read: Read) -> Callable[[str | bytes | dict[str, Any]], str]:
    def of(data: str | bytes | dict[str, Any]) -> str:
        with pytest.raises(SourceError) as caught:
            read(data)
        return str(caught.value)

    return of


def feature(geometry: dict[str, Any], **properties: object) -> dict[str, Any]:
    return {"type": "Feature", "geometry": geometry, "properties": properties}


APEX = [108.2, -46.4]


KML = """<kml xmlns="http://www.opengis.net/kml/2.2"><Document><name>Area</name>
<Folder><name>Closed forest</name><Placemark><name>Gollan</name><description>gorge inside
</description><MultiGeometry><Polygon><outerBoundaryIs><LinearRing><coordinates>
108.1,-46.6,0 108.3,-46.6,0
108.3,-46.5,0 108.1,-46.6,0</coordinates></LinearRing></outerBoundaryIs></Polygon></MultiGeometry>
</Placemark></Folder>
<Placemark><name>Lea</name><ExtendedData><SchemaData schemaUrl="#x"><SimpleData name="owner">agreed
</SimpleData></SchemaData></ExtendedData><Point><coordinates>108.2,-46.6,0</coordinates></Point>
</Placemark></Document></kml>"""


GPX = """<?xml version="1.0" encoding="ISO-8859-1"?>
<gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1">
<wpt lat="-46.6" lon="108.2"><ele>255</ele><name>Lea \xe9</name></wpt>
<rte><name>Wood</name><type>water</type><rtept lat="-46.6" lon="108.1"/>
<rtept lat="-46.6" lon="108.3"/><rtept lat="-46.5" lon="108.3"/>
<rtept lat="-46.6" lon="108.1"/></rte><trk><name>Lane</name><trkseg>
<trkpt lat="-46.6" lon="108.1"/><trkpt lat="-46.5" lon="108.1"/></trkseg><trkseg/></trk></gpx>"""


JSON = st.recursive(
    st.one_of(
        st.none(),
        st.booleans(),
        st.floats(allow_nan=False),
        st.integers(-400, 400),
        st.sampled_from(["Feature", "Polygon", "Point", "MultiPolygon", "x", "108.2"]),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=4),
        st.dictionaries(
            st.sampled_from(["type", "geometry", "coordinates", "properties", "features", "name"]),
            inner,
            max_size=5,
        ),
    ),
    max_leaves=30,
)
