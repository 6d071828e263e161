"""The car in words: where it stands, when it sets off, where to aim, and what to do unseen."""

from typing import Final

from farglide.outlook.links import OVERHEAD_DEG, CarOutlook
from farglide.outlook.outlook import Outlook
from farglide.present.part import Part
from farglide.present.say.links.aim import (
    aim_words,
    car_stand,
    decibel_text,
    main_link,
    sun_side_text,
)
from farglide.present.say.text import FlightClock, chance_words, duration_words, number_text

_SHORT_S: Final = 60.0


def car_part(outlook: Outlook, clock: FlightClock) -> Part:
    """Return where the car stands for the release and what follows from it."""
    return Part(title="Car and links", facts=tuple(car_words(outlook, clock)))


def no_picture_part(outlook: Outlook, clock: FlightClock) -> Part:
    """Return what to do when the picture is gone and the glider still on the line."""
    title = "No picture, still on the line"
    return Part(title=title, facts=tuple(no_picture_words(outlook, clock)))


def car_words(outlook: Outlook, clock: FlightClock) -> list[str]:
    """Return where the car stands for the release and what follows from it, one fact a line."""
    car = outlook.car
    if car is None:
        return []
    facts = [f"stand at {car.stand}: {holds_words(car)}{set_off_words(car, clock)}"]
    if (car.set_off_after_launch_s or 0.0) > 0.0:
        ready = clock.local(car.ready_after_launch_s)
        facts.append(
            f"bands and gaps above count a car that leaves at the launch: there, set up at {ready}"
        )
    lost = "at no height" if car.lost_agl_m is None else f"down to {car.lost_agl_m:.0f} m over it"
    release = outlook.release
    has_picture = any(link.purpose == "picture" for link in outlook.links)
    if release is not None and has_picture:
        facts.append(f"from there the picture of {release.field} holds {lost}")
    if car.road:
        least = {
            name: min(dict(point.margin_db)[name] for point in car.road)
            for name, _ in car.road[0].margin_db
        }
        words = ", ".join(f"{name} {decibel_text(db)} dB" for name, db in least.items())
        facts.append(f"on the road, with an upright antenna on the roof, at least: {words}")
    facts += overhead_words(outlook, clock)
    facts += [
        f"going on to {move.stand} would hold it down to {move.lost_agl_m:.0f} m, for "
        f"{duration_words(move.silent_s)} with nobody at the picture"
        for move in car.moves
        if move.lost_agl_m is not None
    ]
    return facts


def overhead_words(outlook: Outlook, clock: FlightClock) -> list[str]:
    """Return when the flight stands so high over the car that it is hard to hear and to follow."""
    link, car = main_link(outlook), outlook.car
    if link is None or car is None:
        return []
    known = car_stand(outlook, link).overhead
    spans = [span for span in known if span[1] >= car.ready_after_launch_s]
    if not spans:
        return []
    times = " and ".join(
        clock.span(*span) if span[1] - span[0] >= 60.0 else f"near {clock.local(span[0])}"
        for span in spans
    )
    return [
        f"over {OVERHEAD_DEG:.0f}° up {times}: an upright antenna hears little, a beam is hard to "
        "turn"
    ]


def holds_words(car: CarOutlook) -> str:
    """Return the chance of both links all the way, in words."""
    return ", ".join(f"{purpose} {chance_words(ratio)}" for purpose, ratio in car.holds_ratio)


def set_off_words(car: CarOutlook, clock: FlightClock) -> str:
    """Return by when to leave the launch for the stand, or nothing for one at the launch."""
    if car.set_off_after_launch_s is None:
        return ""
    drive = f"{duration_words(car.drive_s)} to drive"
    drive += ", a guess: state drive_min, " if car.drive_guessed else ", "
    drive += f"{duration_words(car.set_up_s)} to set up"
    if car.set_off_after_launch_s < 0.0:
        return f"; {drive}: late by {duration_words(-car.set_off_after_launch_s)} after the launch"
    return f"; set off by {clock.local(car.set_off_after_launch_s)} ({drive})"


def no_picture_words(outlook: Outlook, clock: FlightClock) -> list[str]:
    """Return what to do when the picture is gone and the glider still on the line, in order."""
    link, release = main_link(outlook), outlook.release
    if link is None or link.purpose != "picture" or release is None or outlook.car is None:
        return []
    by_s = release.release_by_after_launch_s
    stand = car_stand(outlook, link)
    point = stand.nearest(by_s)
    aim = (
        f"aim {point.azimuth_deg:.0f}°, {point.elevation_deg:.0f}° up, {sun_side_text(point)} of "
        "the sun, then a beam to each side"
        if point.sun_azimuth_deg is not None
        else f"aim {point.azimuth_deg:.0f}°, {point.elevation_deg:.0f}° up, then to each side"
    )
    nose_deg = outlook.car.nose_deg
    if nose_deg is not None:
        aim = f"{aim_words(point.azimuth_deg, point.elevation_deg, nose_deg)}; {aim}"
    return [
        f"fix it until {clock.local(by_s)} from {stand.name}: {aim}",
        *_blind_words(outlook, clock),
    ]


def _blind_words(outlook: Outlook, clock: FlightClock) -> list[str]:
    """Return the release sent unseen: whether it arrives, time in hand, and what follows."""
    blind, release = outlook.blind, outlook.release
    if blind is None or release is None:
        return ["then send release unseen and repeat it; whether it arrives is not known"]
    last = blind.steps[-1]
    side = "over" if last.margin_db >= 0.0 else "under"
    weak = "" if last.margin_db >= 0.0 else ". It may not arrive: stand still, antenna high"
    lines = [
        f"then send release unseen from {blind.stand}: "
        f"{number_text(abs(last.margin_db))} dB {side} the threshold of {blind.link}, give or take "
        f"{number_text(blind.spread_db)}, so it arrives {chance_words(last.arrives_ratio)}{weak}",
        "repeat it against a swing or a hand in the way; the doubt is one for the whole flight, so "
        "ten repeats are not ten chances",
    ]
    early = [step for step in blind.steps if step.in_hand_s >= _SHORT_S]
    if early:
        each = ", ".join(
            f"{duration_words(step.in_hand_s)} at {clock.local(step.after_launch_s)}"
            for step in early
        )
        lines.append(f"in hand to mend it before that, lost at this time: {each}")
    if blind.doors:
        doors = ", ".join(f"{what} {duration_words(life_s)}" for what, life_s in blind.doors)
        lines.append(
            f"released so, {release.field} stays open while nobody steers: {doors}; search for the "
            "picture meanwhile"
        )
    shares = (f"{chance_words(ratio)} by {clock.local(after_s)}" for after_s, ratio in blind.unsent)
    unsent = f"if nothing is sent it bursts {', '.join(shares)}: then all comes down tangled"
    return [*lines, unsent]
