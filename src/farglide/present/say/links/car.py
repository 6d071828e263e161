"""The car in words: where it stands, when it sets off, where to aim, and what to do unseen."""

from collections.abc import Iterator
from typing import Final

from farglide.outlook.links import OVERHEAD_DEG, CarOutlook
from farglide.outlook.outlook import Outlook
from farglide.outlook.weaker import BlindRelease
from farglide.present.part import Part
from farglide.present.say.links import aim
from farglide.present.say.text import FlightClock, duration_words
from farglide.sortie.words import chance_words, number_text

_SHORT_S: Final = 60.0


def car_part(outlook: Outlook, clock: FlightClock) -> Part:
    """Return where the car stands for the release and what follows from it, one fact a line."""
    facts = [] if outlook.car is None else list(_car_words(outlook, outlook.car, clock))
    return Part(title="Car and links", facts=facts)


def no_picture_part(outlook: Outlook, clock: FlightClock) -> Part:
    """Return what to do when the picture is gone and the glider still on the line."""
    return Part(title="No picture, still on the line", facts=no_picture_words(outlook, clock))


def _car_words(outlook: Outlook, car: CarOutlook, clock: FlightClock) -> Iterator[str]:
    holds = ", ".join(f"{purpose} {chance_words(ratio)}" for purpose, ratio in car.holds_ratio)
    yield f"stand at {car.stand}: {holds}{set_off_words(car, clock)}"
    if (car.set_off_after_launch_s or 0.0) > 0.0:
        ready = clock.local(car.ready_after_launch_s)
        there = f"there, set up at {ready}"
        yield f"bands and gaps above count a car that leaves at the launch: {there}"
    lost = "at no height" if car.lost_agl_m is None else f"down to {car.lost_agl_m:.0f} m over it"
    has_picture = any(link.purpose == "picture" for link in outlook.links)
    if outlook.release is not None and has_picture:
        yield f"from there the picture of {outlook.release.field} holds {lost}"
    if car.road:
        names = [name for name, _ in car.road[0].margin_db]
        least = {name: min(dict(point.margin_db)[name] for point in car.road) for name in names}
        words = ", ".join(f"{name} {aim.decibel_text(db)} dB" for name, db in least.items())
        yield f"on the road, with an upright antenna on the roof, at least: {words}"
    yield from _overhead_words(outlook, car, clock)
    for move in car.moves:
        if move.lost_agl_m is not None:
            silent = f"{duration_words(move.silent_s)} with nobody at the picture"
            down = f"down to {move.lost_agl_m:.0f} m, for {silent}"
            yield f"going on to {move.stand} would hold it {down}"


def _overhead_words(outlook: Outlook, car: CarOutlook, clock: FlightClock) -> Iterator[str]:
    """Yield when the flight stands so high over the car that it is hard to hear and to follow."""
    link = aim.main_link(outlook)
    known = aim.car_stand(outlook, link).overhead if link else ()
    times = " and ".join(
        clock.span(start, end) if end - start >= _SHORT_S else f"near {clock.local(start)}"
        for start, end in known
        if end >= car.ready_after_launch_s
    )
    if times:
        hard = "an upright antenna hears little, a beam is hard to turn"
        yield f"over {OVERHEAD_DEG:.0f}° up {times}: {hard}"


def set_off_words(car: CarOutlook, clock: FlightClock) -> str:
    """Return by when to leave the launch for the stand, or nothing for one at the launch."""
    if car.set_off_after_launch_s is None:
        return ""
    guess = ", a guess: state drive_min" if car.drive_guessed else ""
    drive = f"{duration_words(car.drive_s)} to drive{guess}"
    drive += f", {duration_words(car.set_up_s)} to set up"
    if car.set_off_after_launch_s < 0.0:
        return f"; {drive}: late by {duration_words(-car.set_off_after_launch_s)} after the launch"
    return f"; set off by {clock.local(car.set_off_after_launch_s)} ({drive})"


def no_picture_words(outlook: Outlook, clock: FlightClock) -> list[str]:
    """Return what to do when the picture is gone and the glider still on the line, in order."""
    link, release = aim.main_link(outlook), outlook.release
    if link is None or link.purpose != "picture" or release is None or outlook.car is None:
        return []
    by_s = release.release_by_after_launch_s
    stand = aim.car_stand(outlook, link)
    point = stand.nearest(by_s)
    side = f", {aim.sun_side_text(point)} of the sun, then a beam to each side"
    if point.sun_azimuth_deg is None:
        side = ", then to each side"
    where = f"aim {point.azimuth_deg:.0f}°, {point.elevation_deg:.0f}° up{side}"
    nose_deg = outlook.car.nose_deg
    if nose_deg is not None:
        where = f"{aim.aim_words(point.azimuth_deg, point.elevation_deg, nose_deg)}; {where}"
    fix = f"fix it until {clock.local(by_s)} from {stand.name}: {where}"
    if release.by_height:
        fix += "; without a height, count from the last one seen"
    if outlook.blind is None:
        return [fix, "then send release unseen and repeat it; whether it arrives is not known"]
    return [fix, *_blind_words(outlook.blind, release.field, clock)]


def _blind_words(blind: BlindRelease, field: str, clock: FlightClock) -> Iterator[str]:
    """Yield the release sent unseen: whether it arrives, time in hand, and what follows."""
    last = blind.steps[-1]
    side, weak = "over", ""
    if not last.margin_db >= 0.0:
        side, weak = "under", ". It may not arrive: stand still, antenna high"
    yield (
        f"then send release unseen from {blind.stand}: "
        f"{number_text(abs(last.margin_db))} dB {side} the threshold of {blind.link}, give or take "
        f"{number_text(blind.spread_db)}, so it arrives {chance_words(last.arrives_ratio)}{weak}"
    )
    repeat = "repeat it against a swing or a hand in the way"
    yield f"{repeat}; the doubt is one for the whole flight, so ten repeats are not ten chances"
    each = ", ".join(
        f"{duration_words(step.in_hand_s)} at {clock.local(step.after_launch_s)}"
        for step in blind.steps
        if step.in_hand_s >= _SHORT_S
    )
    if each:
        yield f"in hand to mend it before that, lost at this time: {each}"
    doors = ", ".join(f"{what} {duration_words(life_s)}" for what, life_s in blind.doors)
    if doors:
        stays = f"{field} stays open while nobody steers: {doors}"
        yield f"released so, {stays}; search for the picture meanwhile"
    shares = (f"{chance_words(ratio)} by {clock.local(after_s)}" for after_s, ratio in blind.unsent)
    yield f"if nothing is sent it bursts {', '.join(shares)}: then all comes down tangled"
