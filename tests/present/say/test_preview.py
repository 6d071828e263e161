"""What a flight file comes to, in sentences."""

from dataclasses import replace

from farglide.outlook.preview import LinkReach, Preview
from farglide.present.say.preview import preview_lines

FOUND = Preview(
    air="standard air",
    glide_ratio=8.42,
    flown_glide_ratio=7.16,
    best_eas_mps=9.2,
    stall_eas_mps=8.2,
    gas="hydrogen",
    neck_lift_kg=1.5,
    volume_m3=2.29,
    fill_diameter_m=1.64,
    burst_diameter_m=6.76,
    mean_ascent_mps=5.2,
    burst_amsl_m=31_040.0,
    burst_after_launch_s=5700.0,
    links=(LinkReach(name="picture", reach_m=107_000.0, half_reach_m=53_600.0),),
)


def test_each_number_stands_in_a_sentence() -> None:
    assert preview_lines(FOUND) == [
        "What it comes to in standard air",
        "  Best glide 8.4 to 1 at 9.2 m/s EAS, as flown 7.2 to 1; it stalls at 8.2 m/s.",
        "  Fill: 1.50 kg at the neck just float, 2.29 m³ of hydrogen, 1.64 m wide.",
        "  It climbs at 5.2 m/s in the mean and bursts at 6.76 m, 31.0 km up, after 95 min.",
        "  Link picture reaches 107 km in free space, 54 km with 6 dB of margin.",
    ]


def test_a_balloon_that_never_bursts_is_told() -> None:
    never = replace(FOUND, burst_amsl_m=None, burst_after_launch_s=None, mean_ascent_mps=None)
    assert "  It never reaches its bursting diameter of 6.76 m." in preview_lines(never)
