"""The car in words: where it stands, when it leaves, where to aim, and what to do unseen."""

from collections.abc import Iterator
from typing import Final

from farglide.outlook.decision import DecisionOutlook
from farglide.outlook.links import OVERHEAD_DEG, CarOutlook
from farglide.outlook.outlook import Outlook
from farglide.outlook.weaker import BlindRelease
from farglide.present.part import Part
from farglide.present.say.links import aim
from farglide.present.say.text import FlightClock, duration_words, sentence
from farglide.sortie.words import chance_words, number_text

_SHORT_S: Final = 60.0
_ON_SCREEN: Final = 2
"""What is told first of a release sent unseen: where to look until when, and what to send."""


def car_sentences(outlook: DecisionOutlook, clock: FlightClock) -> Iterator[str]:
    """Yield by when the car must leave and whereto, and how the links hold from there."""
    car = outlook.car
    if car is None:
        if outlook.release is not None:
            missing = "no stand" if outlook.links else "no link"
            yield f"{missing.capitalize()} is stated, so nothing is known of the car."
        return
    yield sentence(leave_words(car, clock))
    holds = ", ".join(f"{purpose} {chance_words(ratio)}" for purpose, ratio in car.holds_ratio)
    yield f"From there the links hold to the field: {holds}."


def leave_words(car: CarOutlook, clock: FlightClock) -> str:
    """Return by when to leave the launch for the stand, and how long that takes."""
    if car.set_off_after_launch_s is None:
        return f"the car stays at {car.stand}: no drive"
    guess = ", a guess: state the drive (drive_min)" if car.drive_guessed else ""
    takes = f"{duration_words(car.drive_s)} to drive{guess}"
    takes += f", {duration_words(car.set_up_s)} to set up"
    if car.set_off_after_launch_s < 0.0:
        late = duration_words(-car.set_off_after_launch_s)
        return (
            f"leave for {car.stand} at the launch, and even then the car is {late} late ({takes})"
        )
    return (
        f"leave the launch for {car.stand} by {clock.local(car.set_off_after_launch_s)} ({takes})"
    )


def blind_sentences(outlook: DecisionOutlook, clock: FlightClock) -> Iterator[str]:
    """Yield what to do without a picture while the glider is on the line, the first steps."""
    told = no_picture_words(outlook, clock)
    yield from map(sentence, told[:_ON_SCREEN])
    if not told and outlook.release is not None:
        unknown = "picture link" if outlook.car else "picture link or stand"
        yield f"No {unknown} is stated, so no step without a picture is planned."


def car_part(outlook: Outlook, clock: FlightClock) -> Part:
    """Return where the car stands for the release and what follows from it, one fact a line."""
    if outlook.car is None:
        return Part(title="Car and links")
    facts = list(_car_words(outlook, outlook.car, clock))
    paper = [*car_sentences(outlook, clock), *facts]
    return Part(title="Car and links", facts=facts, paper=paper)


def no_picture_part(outlook: Outlook, clock: FlightClock) -> Part:
    """Return what to do when the picture is gone and the glider still on the line.

    In a terminal the first steps stand on the first screen.
    """
    told = no_picture_words(outlook, clock)
    title = "No picture, still on the line"
    return Part(title=title, facts=told[_ON_SCREEN:], paper=told)


def _lost_words(agl_m: float | None) -> str:
    """Return where over the field the picture is lost.

    >>> _lost_words(391.2), _lost_words(0.0), _lost_words(None)
    ('is lost 391 m over it', 'holds down to the ground', 'never holds there')
    """
    if agl_m is None:
        return "never holds there"
    return f"is lost {agl_m:.0f} m over it" if agl_m >= 0.5 else "holds down to the ground"


def _car_words(outlook: Outlook, car: CarOutlook, clock: FlightClock) -> Iterator[str]:
    if (car.set_off_after_launch_s or 0.0) > 0.0:
        ready = clock.local(car.ready_after_launch_s)
        yield f"all chances count a car that leaves at the launch and is set up at {ready}"
    has_picture = any(link.purpose == "picture" for link in outlook.links)
    if outlook.release is not None and has_picture:
        field = outlook.release.field
        lost = _lost_words(car.lost_agl_m)
        yield f"from {car.stand} the picture of a glider coming down at {field} {lost}"
    if car.road:
        names = [name for name, _ in car.road[0].margin_db]
        least = {name: min(dict(point.margin_db)[name] for point in car.road) for name in names}
        words = ", ".join(f"{name} {aim.decibel_text(db)} dB" for name, db in least.items())
        antenna = "with an upright antenna on the roof of the moving car"
        yield f"on the road the smallest margins are, {antenna}: {words}"
    yield from _overhead_words(outlook, car, clock)
    for move in car.moves:
        if move.lost_agl_m is not None:
            silent = f"{duration_words(move.silent_s)} with nobody at the picture"
            yield (
                f"going on to {move.stand} would keep the picture down to {move.lost_agl_m:.0f} m, "
                f"after {silent}"
            )


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
        hard = "an upright antenna hardly hears it, and a beam is hard to turn"
        yield f"it stands more than {OVERHEAD_DEG:.0f}° up {times}: {hard}"


def no_picture_words(outlook: DecisionOutlook, clock: FlightClock) -> list[str]:
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
    fix = f"try to get it back until {clock.local(by_s)} from {stand.name}: {where}"
    if release.by_height:
        fix += "; if no height is seen either, count on from the last one"
    if outlook.blind is None:
        return [fix, "then send the release unseen and repeat it; nobody knows whether it arrives"]
    return [fix, *_blind_words(outlook.blind, release.field, clock)]


def _blind_words(blind: BlindRelease, field: str, clock: FlightClock) -> Iterator[str]:
    """Yield the release sent unseen: whether it arrives, time to fix it, and what follows."""
    last = blind.steps[-1]
    chance = chance_words(last.arrives_ratio)
    arrives = f"then send the release unseen from {blind.stand}: its chance to arrive is {chance}"
    side = "above" if last.margin_db >= 0.0 else "below"
    if side == "below":
        arrives += ". It may not arrive: stand still, antenna high"
    yield arrives
    yield (
        f"the {blind.link} link is then {number_text(abs(last.margin_db))} dB "
        f"{side} its threshold, give or take {number_text(blind.spread_db)}; repeat it against a "
        "swing of the glider or a hand in the way, but repeats cannot cure a weak link"
    )
    each = ", ".join(
        f"{clock.local(step.after_launch_s)}: {duration_words(step.in_hand_s)}"
        for step in blind.steps
        if step.in_hand_s >= _SHORT_S
    )
    if each:
        yield f"time to fix the picture before that, if it is lost at {each}"
    doors = ", ".join(f"{what} {duration_words(life_s)}" for what, life_s in blind.doors)
    if doors:
        stays = f"{field} stays in reach while nobody steers: {doors}"
        yield f"released unseen, {stays}; look for the picture meanwhile"
    shares = (f"{chance_words(ratio)} by {clock.local(after_s)}" for after_s, ratio in blind.unsent)
    yield f"if no release is sent, it bursts and all comes down tangled: {', '.join(shares)}"
