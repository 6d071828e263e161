"""Rows of the clock strip for the car and its links, shown while somebody is at the stand."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final, NamedTuple

from farglide.outlook.links import CarOutlook, HeardLink, HeardPoint, HeardStand
from farglide.outlook.outlook import Outlook
from farglide.present.draw import svg
from farglide.present.draw.ladder.links import BEST_GRADE, LEAST_DB, WHOLE_DB
from farglide.present.draw.strip.rows import Note, Row, Scale
from farglide.present.say.links.aim import decibel_text, manned

CAR: Final = "car"
LINK_ROWS: Final = ("picture", "command")


class DrawnStretch(NamedTuple):
    """From where to where a stretch is drawn, in pixels."""

    x0: float
    x1: float


def labels(outlook: Outlook) -> list[str]:
    """Return the labels of these rows."""
    if outlook.car is None:
        return []
    return [CAR, *(link.name for link, _ in _heard(outlook, outlook.car))]


def link_rows(scale: Scale, outlook: Outlook) -> Iterator[Row]:
    """Yield the rows of the car and of both links as its stand hears them."""
    car = outlook.car
    if car is not None:
        yield _car_row(scale, car)
        for link, stand in _heard(outlook, car):
            yield _link_row(scale, link, manned(stand), stand.margin_db[-1].after_launch_s)


def _heard(outlook: Outlook, car: CarOutlook) -> list[tuple[HeardLink, HeardStand]]:
    return [
        (link, stand)
        for link in outlook.links
        if link.purpose in LINK_ROWS
        for stand in link.stands
        if stand.name == car.stand
    ]


def _car_row(scale: Scale, car: CarOutlook) -> Row:
    row, set_off_s = scale.open(CAR), car.set_off_after_launch_s
    if set_off_s is None:
        row.notes.append(Note(f"{car.stand}, without a drive"))
        return row
    start = max(set_off_s, 0.0)
    x0, x1 = scale.x(start), scale.x(start + car.drive_s + car.set_up_s)
    box = svg.rect(*row.lane.box(x0, x1), 'class="f-paper s-mark" stroke-width="2"')
    row.add(box, x0, x1)
    row.notes.append(Note(f"leave by {scale.clock.local(start)} for {car.stand}"))
    return row


def _link_row(scale: Scale, link: HeardLink, points: Sequence[HeardPoint], arrival_s: float) -> Row:
    row, x = scale.open(link.name), scale.x
    for point, after in pairwise(points):
        x0, x1 = x(point.after_launch_s), x(after.after_launch_s)
        row.add(_stretch(row, link.purpose, point, DrawnStretch(x0, x1)), x0, x1)
    flown = [point for point in points if point.after_launch_s <= arrival_s]
    if flown:  # on the ground every link is weak: that is told with the fields
        least = min(flown, key=lambda point: point.p50)
        at = scale.clock.local(least.after_launch_s)
        row.notes.append(Note(f"least {decibel_text(least.p50)} dB at {at}"))
    return row


def _stretch(row: Row, purpose: str, point: HeardPoint, ends: DrawnStretch) -> str:
    """Return a picture as high as its grade, or a command as a wire: whole, broken or none."""
    x0, x1 = ends
    lane = row.lane
    if purpose == "picture":
        high = lane.height * point.grade / BEST_GRADE
        y = lane.middle + lane.height / 2.0 - high
        return svg.rect(x0, y, x1 - x0 + 0.3, high, 'class="f-link"') if high else ""
    if point.p50 < LEAST_DB:
        return ""
    return svg.level(
        x0, x1, lane.middle, svg.stroke(5, "link", "" if point.p50 >= WHOLE_DB else "6 4")
    )
