"""Plan told: what the plan told of the way home, and which of its ranges held."""

from collections.abc import Iterator, Sequence

from farglide.outlook.ascent import Spread
from farglide.outlook.outlook import Outlook
from farglide.outlook.release import ReleaseOutlook
from farglide.outlook.review import Promise, StatedChance
from farglide.review.advised import EIGHT
from farglide.review.flown import Flown, What
from farglide.review.landing import Landed
from farglide.review.parted import Parted
from farglide.review.promised import PLAN, Came, Told, promise
from farglide.sortie.words import number_text


def plan_promises(plan: Outlook, flown: Flown, flight: Parted, landed: Landed) -> Iterator[Promise]:
    """Yield what the plan told of release, landing, packs and picture, beside how they came."""
    by_plan, release = f"{PLAN}, {EIGHT}", plan.release
    if release is not None:
        window = release.window
        span = sorted((window.from_amsl_m, window.to_amsl_m))
        came = Came(flight.top_m if flight.ended == "released" else None)
        told = Told(release.release_by_amsl_m, None, (span[0], span[1]))
        yield promise("release, in the window", f"{PLAN}, window", "m", told, came)
    if release is not None and flight.ended == "released":
        yield from _arrivals(release, landed)
    dead, last_s = flown.first(What.DEAD), landed.seen_s
    for pack in plan.packs:
        only = len(plan.packs) == 1
        came = Came(last_s if only else None, at_least=True)
        if dead is not None and only:
            came = Came(dead.t_s - plan.launch_t_s)
        yield promise(f"end of pack {pack.name}", by_plan, "s", _spread(pack.after_launch_s), came)
    yield from _picture(plan, flown, flight, landed)


def range_chances(promises: Sequence[Promise], row: int) -> Iterator[StatedChance]:
    """Yield for each range of 5 and of 9 in 10 that it held or not; `row`: of the flight."""
    for one in promises:
        if one.within == "unjudged" or one.told != PLAN:
            continue
        for chance, held in ((0.5, one.within == "half"), (0.9, one.within in ("half", "most"))):
            yield StatedChance(
                flight=row,
                what=f"{one.what}, {one.told}",
                after_launch_s=0.0,
                chance_ratio=chance,
                came=held,
            )


def _spread(told: Spread) -> Told:
    return Told(told.p50, None, (told.p10, told.p90))


def _arrivals(release: ReleaseOutlook, landed: Landed) -> Iterator[Promise]:
    """Yield when it was to be low over its field and down, as planned without errors.

    Low, as the plan counts it: who comes over it higher and circles down is not there yet.
    """
    timely = release.timely
    low = f"{number_text(release.arrival_agl_m)} m over {release.field}"
    over, down = f"down to {low}, quickest", "down, flown in time"
    told = {over: release.over_field_after_launch_s}
    if timely is not None:
        told[down] = timely.down_after_launch_s
    is_there = landed.field == release.field
    came = {over: landed.over_s if is_there else None,
            down: landed.seen_s if landed.is_known else None}  # fmt: skip
    for what, middle_s in told.items():
        yield promise(what, f"{PLAN}, middle", "s", Told(middle_s, None, None), Came(came[what]))


def _picture(plan: Outlook, flown: Flown, flight: Parted, landed: Landed) -> Iterator[Promise]:
    """Yield down to which height over its field the picture was to last."""
    last = flown.last(What.LAST) or flown.last(What.LOST)
    fields = [one for one in plan.fields if one.name == landed.field]
    if last is None or not fields or not len(flight.freed.t_s):
        return
    told = [one.agl_m for one in fields[0].lost_picture_agl_m if one.agl_m is not None]
    at_s = last.t_s - plan.launch_t_s
    after = flight.freed.amsl_m[flight.freed.t_s >= at_s]
    if not told or not len(after):
        return
    came = float(after[0]) - fields[0].amsl_m
    yield promise(
        f"last picture over {landed.field}", f"{PLAN}, middle", "m", Told(min(told), None, None),
        Came(came),
    )  # fmt: skip
