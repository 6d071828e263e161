"""Saying: what one flight says of each number of the flight file that it may tell of."""

from collections.abc import Iterator
from math import log

from farglide.review.airoff import LOG_SPREAD
from farglide.review.climb import drag_sd
from farglide.review.crew import reaction_shown
from farglide.review.diameter import diameter_shown
from farglide.review.flown import What
from farglide.review.glide import glide_shown, sink_shown, stretches_of
from farglide.review.heard import Spell, Ways, offset_shown, spells_of
from farglide.review.packs import pack_shown
from farglide.review.pooled import Belief, Shown
from farglide.review.said import (
    ASCENT,
    BETWEEN_BALLOONS,
    BETWEEN_GLIDES,
    BETWEEN_HANDS,
    BETWEEN_LINKS,
    BETWEEN_WINDS,
    Case,
    Said,
    airframe_of,
    batch_of,
    belief_of,
    why_of,
)
from farglide.sortie.spec import Sortie
from farglide.track.drift import Been


def said_of(case: Case) -> Iterator[Said]:
    """Yield what a flight says of each number, those first that most flights tell of."""
    sortie = case.planned.sortie
    yield from _balloon(case, sortie)
    yield from _glider(case, sortie)
    yield from _links(case, sortie)
    yield from _hands(case, sortie)
    yield _wind(case)


def _balloon(case: Case, sortie: Sortie) -> Iterator[Said]:
    balloon, gear = sortie.balloon, batch_of(sortie)
    sd, by_climb = drag_sd(sortie), sortie.doubt.ascent_ratio is not None
    # the climb of a balloon that loses gas tells of the leak
    drag = case.climb.drag if case.flight.ended != "topped" else None
    leaks = "it lost gas or hardly climbed, so that its climb tells of that"
    few = f"{case.climb.n_stretches} stretches of a climb were seen, too few"
    yield Said(
        key="balloon.drag_factor",
        spread_key=ASCENT if by_climb else "balloon.drag_factor_spread_ratio",
        what="drag of the balloon, times its curve",
        unit="",
        gear=gear,
        belief=Belief(balloon.drag_factor.value, sd, BETWEEN_BALLOONS),
        shown=drag,
        why=why_of(drag, leaks if case.climb.drag is not None else few, sd),
    )
    wide = diameter_shown(sortie, case.sounding, case.flight, case.climb.neck_lift)
    lost = "it lost gas or hardly climbed: nobody knows how wide it was"
    none = lost if case.flight.ended == "topped" else "no climb was seen"
    yield Said(
        key="balloon.burst_diameter_m",
        spread_key="balloon.burst_diameter_spread_ratio",
        what="bursting diameter",
        unit="m",
        gear=gear,
        belief=belief_of(balloon.burst_diameter_m, BETWEEN_BALLOONS),
        shown=wide,
        why=why_of(wide, none, balloon.burst_diameter_m.sd),
    )


def _glider(case: Case, sortie: Sortie) -> Iterator[Said]:
    glider, gear = sortie.glider, airframe_of(sortie)
    steered, alone = _steered(case)
    shown = None
    if case.weather is not None and len(steered.t_s) and case.flight.ended == "released":
        scene = case.planned.air.scene
        some = stretches_of(scene, case.weather.known.home, steered)
        found = glide_shown(case.planned.craft.polar, scene, some)
        if found is not None:
            shown = Shown(found.value / glider.flown_ratio, found.sd / glider.flown_ratio)
    yield Said(
        key="glider.glide_factor",
        spread_key="glider.glide_factor_spread_ratio",
        what="glide ratio, times the polar's",
        unit="",
        gear=gear,
        belief=belief_of(glider.glide_factor, BETWEEN_GLIDES),
        shown=shown,
        why=why_of(
            shown, "too few straight stretches of a glide were seen", glider.glide_factor.sd
        ),
    )
    known = glider.hands_off_sink_eas_mps
    sink = sink_shown(case.planned.air.scene, alone)
    if known is not None:
        yield Said(
            key="glider.hands_off_sink_eas_mps",
            spread_key="glider.hands_off_sink_eas_spread_ratio",
            what="sink hands off, as at sea level",
            unit="m/s",
            gear=gear,
            belief=belief_of(known, BETWEEN_BALLOONS),
            shown=sink,
            why=why_of(sink, "nothing shows when nobody steered it", known.sd),
        )


def _steered(case: Case) -> tuple[Been, Been]:
    """Return the way down while somebody steered, and from the end of the packs on."""
    freed, dead = case.flight.freed, case.flown.first(What.DEAD)
    launch_t_s = case.planned.sortie.launch.t_s
    cut_s = float("inf") if dead is None else dead.t_s - launch_t_s
    steered = freed.t_s < cut_s
    return Been(*(one[steered] for one in freed)), Been(*(one[~steered] for one in freed))


def _links(case: Case, sortie: Sortie) -> Iterator[Said]:
    listening = case.planned.listening
    been = case.flight.whole
    spells: dict[str, list[Spell]] = {}
    if listening is not None:
        scene = case.planned.air.scene
        spells = spells_of(Ways(sortie, listening, scene, case.flown, been))
    for link in sortie.links:
        told = spells.get(link.name, [])
        shown = offset_shown(told, link.offset_db, link.spread_db) if told else None
        none = (
            "no picture grade was typed"
            if link.purpose == "picture"
            else ("nothing in the log bounds it")
        )
        yield Said(
            key=f"links[{link.name}].offset_db",
            spread_key=f"links[{link.name}].spread_db",
            what=f"{link.name} link, off its budget",
            unit="dB",
            gear=airframe_of(sortie),
            belief=Belief(link.offset_db, link.spread_db, BETWEEN_LINKS),
            shown=shown,
            why=why_of(shown, none, link.spread_db),
        )


def _hands(case: Case, sortie: Sortie) -> Iterator[Said]:
    known, launch_t_s = sortie.drop.reaction_s, sortie.launch.t_s
    until_s = case.flight.until_s if case.flight.ended == "released" else None
    found = reaction_shown(case.flown, launch_t_s, until_s).whole
    speed, none = case.flown.speed, "command and release were not both marked, or it stuck"
    if speed not in (None, 1.0):
        none = f"it was rehearsed at {speed:g} times real time"
    yield Said(
        key="crew.reaction_s",
        spread_key="crew.reaction_spread_ratio",
        what="from seeing to the moving pin",
        unit="s",
        gear="the crew",
        belief=belief_of(known, BETWEEN_HANDS),
        shown=found,
        why=why_of(found, none, known.sd),
    )
    for pack in sortie.packs:
        if pack.cold_ratio is None:
            continue
        been = case.flight.freed if len(case.flight.freed.t_s) else case.flight.carried
        left = pack_shown(sortie, case.flown, been)
        none = "several packs: nobody knows which ended" if len(sortie.packs) > 1 else "no end seen"
        yield Said(
            key=f"packs[{pack.name}].cold_ratio",
            spread_key=f"packs[{pack.name}].cold_spread_ratio",
            what=f"share that the cold leaves of pack {pack.name}",
            unit="",
            gear=f"pack {pack.name}",
            belief=belief_of(pack.cold_ratio, BETWEEN_BALLOONS),
            shown=left,
            why=why_of(left, none, pack.cold_ratio.sd),
        )


def _wind(case: Case) -> Said:
    deep = None if case.weather is None else case.weather.deep
    return Said(
        key="doubt.deep_wind",
        spread_key="",
        what="winds' deep errors, logarithm of times as wide as told",
        unit="",
        gear="the winds",
        belief=Belief(log(1.0), LOG_SPREAD, BETWEEN_WINDS),
        shown=deep,
        why=why_of(deep, "too little of a climb was seen", LOG_SPREAD),
    )
