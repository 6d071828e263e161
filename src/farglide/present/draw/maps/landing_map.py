"""Where a payload comes down, from above: drift, burst and landings over the ground, north up."""

from typing import Final

from farglide.earth.state import Place
from farglide.outlook.charted import ChartOutlook
from farglide.outlook.payload import PayloadOutlook
from farglide.present.draw.chart.chart import HEAVY, PLAIN, Chart
from farglide.present.draw.chart.furniture import (
    add_ground,
    add_lines,
    add_rings,
    add_scale,
    add_tops,
    circle,
)
from farglide.present.draw.chart.label import Label
from farglide.present.draw.chart.plane import Plane
from farglide.present.draw.chart.shapes import Line, Pen
from farglide.present.draw.chart.to_svg import chart_svg
from farglide.present.draw.place import Point, Size
from farglide.present.say.text import compass_words
from farglide.sortie.words import km_text

SIZE_PX: Final = Size(737.0, 460.0)
PHONE_PX: Final = Size(358.0, 358.0)
NOTE: Final = (
    "Thick line: drift up to the burst. Dots: the fall. Circle: 9 in 10 come down in it. Squares: "
    "stands."
)
_MARGIN_PX: Final = 26.0
_FALL: Final = Pen(3.0, "ink", (0.0, 6.0))


def landing_svg(outlook: PayloadOutlook, size_px: Size = SIZE_PX, key: str = "landing") -> str:
    """Return the map as SVG; places whose names find no room are named in its description."""
    known, land, burst = outlook.chart, outlook.landing, outlook.ascent.burst
    plane = _plane(outlook, size_px)
    chart = Chart(width_px=size_px[0], height_px=size_px[1])
    add_ground(chart, plane, known.ground)
    launch, bursts, down = (
        plane.at(*one)
        for one in (_at(known), (burst.lat_deg, burst.lon_deg), (land.lat_deg, land.lon_deg))
    )
    chart.spot(launch, is_launch=True, is_framed=False)
    chart.labels.append(Label(at=launch, words=f"launch, {outlook.launch_name}", clear_px=9.0))
    _ring(chart, down, "down here", 6.0)
    _ring(chart, bursts, f"burst, {km_text(burst.height_amsl_m.p50, 0)} km up", 4.0)
    for stand in known.stands:
        at = plane.at(stand.lat_deg, stand.lon_deg)
        if plane.is_shown(at, 6.0):
            chart.stand(at, stand.name)
    track = [plane.xy(*point) for point in _drift_m(outlook)]
    drift = Line(points=tuple(plane.thinned([*track, bursts])), pen=Pen(3.0), says="drift")
    chart.draw(drift, "drift", HEAVY)
    chart.draw(Line(points=(bursts, down), pen=_FALL, says="fall"), "fall", PLAIN)
    middle_m = plane.metres(land.lat_deg, land.lon_deg)
    rim = circle(plane, middle_m, land.radius_m)
    chart.draw(Line(points=rim, pen=Pen(2.2), is_closed=True, says="landings"), "landings", PLAIN)
    shown = tuple(at for at in rim if plane.is_shown(at, 12.0))
    if shown:
        words = f"9 in 10 within {km_text(land.radius_m, 0)} km"
        chart.labels.append(Label(at=shown[0], words=words, along=shown[::3], owner="landings"))
    add_lines(chart, plane, known.lines)
    add_tops(chart, plane, known.ground)
    add_rings(chart, plane)
    add_scale(chart, plane)
    return chart_svg(chart.shapes(), size_px, chart.with_left_out(_sentence(outlook)), key)


def _at(chart: ChartOutlook) -> tuple[float, float]:
    return chart.lat_deg, chart.lon_deg


def _ring(chart: Chart, at: Point, words: str, radius_px: float) -> None:
    chart.ring(at, radius_px, 2.4)
    chart.labels.append(Label(at=at, words=words, clear_px=radius_px + 3.0))


def _plane(outlook: PayloadOutlook, size_px: Size) -> Plane:
    """Return the paper: launch, burst and the circle of the landings fit on it."""
    known, land, burst = outlook.chart, outlook.landing, outlook.ascent.burst
    origin = Place(lat_deg=known.lat_deg, lon_deg=known.lon_deg, amsl_m=0.0)
    trial = Plane.round(origin, [(0.0, 0.0)], size_px, _MARGIN_PX)
    east_m, north_m = trial.metres(land.lat_deg, land.lon_deg)
    corners = [
        (east_m + i * land.radius_m, north_m + j * land.radius_m) for i in (-1, 1) for j in (-1, 1)
    ]
    there = trial.metres(burst.lat_deg, burst.lon_deg)
    metres = [(0.0, 0.0), (there.east_m, there.north_m), *corners, *_drift_m(outlook)]
    return Plane.round(origin, metres, size_px, _MARGIN_PX)


def _drift_m(outlook: PayloadOutlook) -> list[tuple[float, float]]:
    """Return the drift up to when 5 in 10 have burst, metres east and north of the launch."""
    end_s = outlook.ascent.burst.after_launch_s.p50
    return [(p.east_m, p.north_m) for p in outlook.ascent.track if p.after_launch_s < end_s]


def _sentence(outlook: PayloadOutlook) -> str:
    land = outlook.landing
    away = f"{km_text(land.from_launch_m, 0)} km {compass_words(land.bearing_deg)} of the launch"
    within = f"9 in 10 within {km_text(land.radius_m)} km"
    return f"Map, north up. It comes down {away}, {within}."
