"""A pack in words: how old its winds are, when newer ones come, and that nothing is missing."""

from dataclasses import replace

from farglide.outlook.packview import PackOutlook, PackPart, PackWinds
from farglide.present.lines import WIDTH
from farglide.present.say.packview import pack_lines

T_S = 1_800_700_000.0
WINDS = PackWinds(
    what="forecast", origin="made up", licence="free", attribution="somebody",
    run_t_s=T_S - 36_000.0, first_t_s=T_S - 3600.0, last_t_s=T_S + 7200.0, n_times=4, n_levels=26,
    n_members=1, top_p_pa=1000.0, top_amsl_m=31_400.0, south_deg=-50.0, north_deg=-42.0,
    west_deg=175.0, east_deg=190.0,
)  # fmt: skip
PACK = PackOutlook(
    folder="pack", flight="Amber evening", launch_t_s=T_S, zone="UTC", looked_t_s=T_S - 18_000.0,
    parts=(PackPart(name="forecast.npy", n_bytes=29_112_848, state="there, not read"),),
    winds=(WINDS,), newer_t_s=T_S + 3600.0, missing=(), is_verified=False,
)  # fmt: skip


def text(**changed: object) -> str:
    return "\n".join(pack_lines(replace(PACK, **changed)))  # type: ignore[arg-type]


def test_ages_times_levels_and_area_are_told() -> None:
    told = text()
    assert told.startswith("pack: Amber evening, launch Sat 23 Jan 10:26; 1 part, 29.1 MB.")
    assert "Run Sat 23 Jan 00:26 UTC, 5 h ago. The next should be out Sat 23 Jan 11:26." in told
    assert "Valid: 4 times from Sat 23 Jan 09:26 to Sat 23 Jan 12:26." in told
    assert "26 levels up to 10 hPa, 31.4 km." in told
    assert "Area: 50° S to 42° S, 175° E to 170° W." in told
    assert "Nothing that the flight file asks for." in told
    assert "To read and check every byte: --verify" in told
    assert all(len(one) <= WIDTH for one in told.splitlines())


def test_a_newer_run_that_should_be_out_is_said() -> None:
    assert "A newer one should be out, since Sat 23 Jan 04:26" in text(newer_t_s=T_S - 21_600.0)
    members = replace(WINDS, what="members", n_members=21)
    told = text(winds=(WINDS, members), is_verified=True)
    assert "21 members, 26 levels" in told
    assert told.count("should be out") == 1
    assert "--verify" not in told


def test_winds_that_say_little() -> None:
    bare = replace(WINDS, run_t_s=None, licence="", attribution="", first_t_s=None, last_t_s=None,
                   n_times=1, top_amsl_m=None, south_deg=None)  # fmt: skip
    told = text(winds=(bare,), newer_t_s=None)
    assert "No run is told" in told
    assert "Area" not in told
    assert "licence" not in told
