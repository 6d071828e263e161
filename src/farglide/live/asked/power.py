"""Power: which of packs and light ends first, held against when the glider is home."""

from farglide.earth.sun import dusk_t_s, sunset_t_s
from farglide.live.asked.situation import Situation
from farglide.live.asked.sky import after_launch_s
from farglide.outlook.asked import Arrival, PackNow, PowerNow
from farglide.plan.tables import pack_ends


def power_now(asked: Situation) -> PowerNow:
    """Return when each pack and the light end, and when the glider is home, let go now or later.

    The ways home are flown without errors through the air that was learnt. The packs are counted
    from the switch-on that the flight file states before the launch as it was.
    """
    field, now = asked.sortie.fields[asked.aim], asked.advice.fields[asked.aim]
    now_t_s, launch, release = asked.now_t_s, asked.launch, asked.advice.release
    ends = {one.name: one.after_launch_s for one in pack_ends(asked.ensemble)}
    packs = [
        PackNow(
            name=one.name,
            load_w=one.load_w,
            on_after_launch_s=one.on_after_launch_s,
            reserve_s=one.reserve_s,
            ends_after_launch_s=ends[one.name],
        )
        for one in asked.sortie.packs
    ]
    moments = [asked.now_s]
    if release is not None and release.release_by_after_launch_s > asked.now_s + 60.0:
        moments.append(release.release_by_after_launch_s)
    found = (_arrival(asked, at_s) for at_s in moments)
    return PowerNow(
        after_launch_s=asked.now_s,
        field=field.name,
        state=now.state,
        chance_ratio=now.chance_ratio,
        packs=tuple(sorted(packs, key=lambda one: one.ends_after_launch_s.p10)),
        sets_after_launch_s=after_launch_s(
            sunset_t_s(now_t_s, field.lat_deg, field.lon_deg), launch
        ),
        dusk_after_launch_s=after_launch_s(dusk_t_s(now_t_s, field.lat_deg, field.lon_deg), launch),
        arrivals=tuple(one for one in found if one is not None),
    )


def _arrival(asked: Situation, at_s: float) -> Arrival | None:
    flight = asked.way_home(at_s, asked.aim)
    if flight is None:
        return None
    return Arrival(
        let_go_after_launch_s=at_s,
        soonest_after_launch_s=flight.over_field_s,
        slowly_after_launch_s=flight.flattest_down_s,
    )
