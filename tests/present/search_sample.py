"""A made-up search, small enough to read."""

from farglide.outlook.search import (
    AfloatShare,
    BearingsMet,
    CrossedBarrier,
    SearchDatum,
    SearchOutlook,
    SearchSegment,
    SearchStep,
    SearchStop,
    StoryShare,
)

T_S = 1_800_703_200.0  # 18:20 at UTC+07:00
SQUARE = ((-46.55, 108.10), (-46.55, 108.11), (-46.54, 108.11), (-46.54, 108.10))
HOLE = ((-46.547, 108.103), (-46.543, 108.103), (-46.543, 108.107), (-46.547, 108.107))


def segment(name: str, chance: float, lon_deg: float, is_walked: bool = True) -> SearchSegment:
    """Return one segment."""
    rings = (SQUARE, HOLE) if name == "A" else (SQUARE,)
    return SearchSegment(
        name=name, cover="grass" if is_walked else "water", is_walked=is_walked, sweep_m=60.0,
        area_m2=250_000.0, before_ratio=chance, chance_ratio=chance,
        looked_s=1500.0 if name == "B" else 0.0, lat_deg=-46.545, lon_deg=lon_deg,
        road="Mill Lane" if name == "A" else "", road_m=420.0 if name == "A" else float("nan"),
        owners=("Long Meadow: yes, not before the hay is in",) if name == "A" else (),
        hazards=("wires",) if name == "A" else (), rings=rings,
    )  # fmt: skip


def search_sample() -> SearchOutlook:
    """Return a whole outlook of a search."""
    return SearchOutlook(
        name="Evening", zone="UTC+07:00", begins_t_s=T_S + 600.0, n_people=2,
        datum=SearchDatum(
            lat_deg=-46.55, lon_deg=108.1, amsl_m=360.0, agl_m=120.0, t_s=T_S, heading_deg=320.0,
            glide_ratio=9.0, glide_radius_m=1080.0, circle_area_m2=3.66e6, sector_area_m2=0.61e6,
            outline=SQUARE, likely_lat_deg=-46.545, likely_lon_deg=108.098, radius_50_m=300.0,
            radius_90_m=900.0,
        ),
        stories=(
            StoryShare(
                name="glider, hands off", chance_ratio=0.6, lat_deg=-46.55, lon_deg=108.1,
                radius_m=500.0, down_t_s=T_S + 80.0,
            ),
        ),
        segments=(
            segment("A", 0.42, 108.109), segment("B", 0.2, 108.1), segment("C", 0.3, 108.0, False),
        ),
        steps=(
            SearchStep(
                segment="A", way_s=720.0, walk_m=700.0, begin_t_s=T_S + 1320.0, look_s=2080.0,
                coverage_ratio=1.0, detection_ratio=0.63, gain_ratio=0.26, found_ratio=0.26,
            ),
            SearchStep(
                segment="B", way_s=300.0, walk_m=300.0, begin_t_s=T_S + 3700.0, look_s=20.0,
                coverage_ratio=0.5, detection_ratio=0.39, gain_ratio=0.08, found_ratio=0.34,
            ),
        ),
        stop=SearchStop(turn_t_s=T_S + 5400.0, why="dusk", is_late=False),
        elsewhere_ratio=0.08,
        crossed=(CrossedBarrier(name="Old Wood", kind="closed forest", after_m=450.0,
                                ends_inside=False),),
        afloat=(
            AfloatShare(
                water="Mill Lake", chance_ratio=0.3, drift_mps=0.24, towards_deg=90.0,
                lat_deg=-46.54, lon_deg=108.02, soonest_t_s=T_S + 3600.0, likely_t_s=T_S + 5400.0,
                latest_t_s=T_S + 7200.0,
            ),
        ),
        met=(
            BearingsMet(
                stands=("Gap", "Knap"), lat_deg=-46.546, lon_deg=108.105, angle_deg=36.0,
                radius_50_m=4900.0, radius_90_m=11_800.0,
            ),
        ),
        notes=("The weights of the stories are a guess.",),
        cautions=("Ask the owner before you enter any land.",),
    )  # fmt: skip
