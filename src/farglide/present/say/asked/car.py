"""The car in words: where to stand, which picture to expect, and what to do without one."""

from math import isfinite
from typing import Final

from farglide.outlook.askedcar import Heard, LostNow, ParkNow, PictureNow, StandNow
from farglide.outlook.links import OVERHEAD_DEG
from farglide.present.say.asked.reply import Reply
from farglide.present.say.links.aim import aim_words, decibel_text, fist_words
from farglide.present.say.text import FlightClock, bearing_text, place_text
from farglide.sortie.words import chance_words, duration_words, km_text, number_text

_NONE: Final = Reply(
    "No stand is stated, so nothing is known.", change="State [[stands]] in the flight file."
)
_SURE_DB: Final = 3.0
_EVEN_RATIO: Final = 0.5


def park_reply(found: ParkNow, clock: FlightClock) -> Reply:
    """Return where to stand and by when to set off, the best stand for the release first."""
    if not found.stands:
        return _NONE
    best, *others = found.stands
    if not isfinite(best.drive_s):
        return Reply(
            "Stay: no road to a stand is open.",
            why=f"The car counts as {found.car}.",
            change="A road that opens again: take it back, or type how much longer it is.",
        )
    drive = f" {duration_words(best.drive_s)} to drive, {duration_words(found.set_up_s)} to set up."
    return Reply(
        answer=_go(found, best, clock),
        number=f"{_holds_words(found, best)}{_lost_words(best)}{drive if best.drive_s else ''}",
        until=_off_words(found, best, clock),
        why=f"The car counts as {found.car}. {_heard_words(best)}",
        change="A closed road, or another field: drives are by the flight file, and as typed.",
        more=tuple((one.name, _other(found, one, clock)) for one in others),
    )


def _go(found: ParkNow, best: StandNow, clock: FlightClock) -> str:
    if best.drive_s == 0.0:
        holds = best.holds(found.field)
        seen = holds is None or holds >= _EVEN_RATIO
        return f"Stay at {best.name}." if seen else f"Stay, but {found.field} is hidden from here."
    off_s = best.set_off_after_launch_s
    if off_s is None:
        return f"Go to {best.name}: it hears best."
    if off_s <= found.after_launch_s:
        late = duration_words(found.after_launch_s - off_s)
        return f"Set off for {best.name} now, {late} late."
    return f"Go to {best.name}, set off by {clock.local(off_s)}."


def _holds_words(found: ParkNow, one: StandNow) -> str:
    """Return how the links hold to the field from a stand, and to which better, if to any."""
    holds = one.holds(found.field)
    if holds is None:
        return ""
    words = f"Links hold to {found.field} {chance_words(holds)}"
    if holds >= _EVEN_RATIO:
        return f"{words}. "
    name, most = max(one.holds_ratio, key=lambda each: each[1])
    return f"{words}, to {name} {chance_words(most)}. " if most >= _EVEN_RATIO else f"{words}. "


def _off_words(found: ParkNow, best: StandNow, clock: FlightClock) -> str:
    ready = clock.local(best.ready_after_launch_s)
    window = ""
    if found.from_after_launch_s is not None:
        window = f"; the window opens at {clock.local(found.from_after_launch_s)}"
    if best.drive_s == 0.0:
        return f"You are set up there{window}."
    return f"Set up there at {ready} if you leave now{window}."


def _lost_words(one: StandNow) -> str:
    if one.lost_agl_m is None:
        return "No picture over the field from there."
    if one.lost_agl_m < 1.0:
        return "Picture down to the ground."
    return f"Picture lost {number_text(one.lost_agl_m)} m over the field."


def _heard_words(one: StandNow) -> str:
    links = ", ".join(f"{link.purpose} {decibel_text(link.margin_db)} dB" for link in one.links)
    high = f"{km_text(one.range_m, 0)} km off, {number_text(one.elevation_deg)}° up"
    words = f"Now {high}{f': {links}' if links else ''}."
    if one.overhead_deg > OVERHEAD_DEG:
        words += f" At the release {number_text(one.overhead_deg)}° up: hardly heard overhead."
    return words


def _other(found: ParkNow, one: StandNow, clock: FlightClock) -> str:
    if not isfinite(one.drive_s):
        return f"The road there is closed. {_heard_words(one)}"
    there = "there now" if one.drive_s == 0.0 else f"set up {clock.local(one.ready_after_launch_s)}"
    late = "" if one.is_in_time else ", after the release is due"
    return f"{there}{late}. {_holds_words(found, one)}{_lost_words(one)} {_heard_words(one)}"


def picture_reply(found: PictureNow, clock: FlightClock) -> Reply:
    """Return which picture there should be now, and where it ends on the way down."""
    if not found.stands:
        return _NONE
    here, *others = found.stands
    picture, command = _link(here, "picture"), _link(here, "command")
    if picture is None:
        return Reply("No picture link is stated.", change="State [[links]] in the flight file.")
    more = [(one.name, f"{_should(one)} {_lost_words(one)}") for one in others]
    if command is not None:
        more.insert(0, ("Command", _command(command)))
    sd = number_text(picture.sd_db)
    return Reply(
        answer=f"Expect picture {_grade(picture)} of 5{_even(picture)}.",
        number=f"{decibel_text(picture.margin_db)} dB in hand at {here.name}, "
        f"give or take {sd}: it holds now {chance_words(picture.holds_ratio)}.",
        until=f"Landing at {found.field}: {_small(_lost_words(here))}",
        why=f"{km_text(here.range_m, 0)} km off, {bearing_text(here.azimuth_deg)}, "
        f"{fist_words(here.elevation_deg)}.",
        change="Seen worse? <Ask fault N>: distance, aim or damage.",
        more=tuple(more),
    )


def _small(words: str) -> str:
    return f"{words[:1].lower()}{words[1:]}"


def _should(one: StandNow) -> str:
    link = _link(one, "picture")
    if link is None:
        return "no picture link."
    return f"picture {_grade(link)}, {decibel_text(link.margin_db)} dB."


def _link(one: StandNow, purpose: str) -> Heard | None:
    known = [link for link in one.links if link.purpose == purpose]
    return max(known, key=lambda link: link.margin_db, default=None)


def _grade(link: Heard) -> str:
    return f"{link.grade}" if link.grade else "none"


def _even(link: Heard) -> str:
    return "" if link.margin_db >= _SURE_DB else ", and may go"


def _command(link: Heard) -> str:
    chance = chance_words(link.holds_ratio)
    return f"{decibel_text(link.margin_db)} dB in hand: an order arrives {chance}."


def lost_reply(found: LostNow, clock: FlightClock) -> Reply:
    """Return what to do when the picture is gone and the glider still on the line."""
    stand, until_s = found.stand, found.fix_until_after_launch_s
    command = None if stand is None else _link(stand, "command")
    later = [(f"In {round(one.seconds / 60.0)} min",
              f"{km_text(one.amsl_m)} km, {place_text(one.lat_deg, one.lon_deg)}; "
              f"burst by then {chance_words(one.burst_ratio)}.")
             for one in found.later if isfinite(one.amsl_m)]  # fmt: skip
    if until_s is None or found.release_by_after_launch_s is None:
        return Reply(
            answer="Get it back. No release is due yet.",
            number=_arrives(command), until="A field opens: <ask now>.",
            why="No height ahead is worth an order.", change="A field that opens.",
            more=(*_aim_rows(stand), *later),
        )  # fmt: skip
    left_s = until_s - found.after_launch_s
    by = clock.local(found.release_by_after_launch_s)
    if left_s <= 0.0:
        answer = "Send the release now, unseen. Repeat it."
    else:
        answer = f"Fix it until {clock.local(until_s)}, then send unseen."
    chance = ""
    if found.chance_ratio is not None:
        chance = f", for {found.field} {chance_words(found.chance_ratio)} with a picture after it"
    return Reply(
        answer=answer,
        number=f"{_hand(left_s)} in hand. {_arrives(command)}",
        until=f"Release by {by}{chance}.",
        why="A release needs the command link alone; the glider flies on hands off unseen.",
        change="Picture back, or a height read off it. Nothing sent: it bursts tied on.",
        more=(*_aim_rows(stand), *later),
    )


def _hand(left_s: float) -> str:
    return "Nothing" if left_s <= 0.0 else duration_words(left_s).capitalize()


def _arrives(command: Heard | None) -> str:
    if command is None:
        return "Nothing is known of the command link."
    word = "should work" if command.margin_db >= 0.0 else "may not work"
    margin = decibel_text(command.margin_db)
    return f"Command {word}: {margin} dB, arrives {chance_words(command.holds_ratio)}."


def _aim_rows(stand: StandNow | None) -> tuple[tuple[str, str], ...]:
    if stand is None:
        return ()
    aim = f"{bearing_text(stand.azimuth_deg)}, {fist_words(stand.elevation_deg)}"
    if stand.nose_deg is not None:
        aim = f"{aim_words(stand.azimuth_deg, stand.elevation_deg, stand.nose_deg)}; {aim}"
    return (("Aim", f"from {stand.name} {aim}; then a beam to each side."),)
