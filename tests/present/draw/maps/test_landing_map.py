"""The map of a landing: what it marks stands where the outlook says."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

from farglide.present.draw.maps.landing_map import NOTE, PHONE_PX, SIZE_PX, landing_svg

from ...payload_sample import payload_sample

SVG = "{http://www.w3.org/2000/svg}"


def said(root: ET.Element) -> str:
    return " ".join(one.text or "" for one in root.iter(f"{SVG}text"))


def test_launch_burst_landing_and_stands_are_named() -> None:
    for size_px in (SIZE_PX, PHONE_PX):
        root = ET.fromstring(landing_svg(payload_sample(), size_px))
        told = said(root)
        for words in ("launch, Cuesta", "down here", "burst, 30 km up", "Wether Knap", "the lake"):
            assert words in told, words
        assert "9 in 10 within 23 km" in told
        assert "71 km east of the launch, 9 in 10 within 23.2 km" in (root.get("aria-label") or "")
    assert "9 in 10 come down in it" in NOTE


def test_a_wider_spread_of_landings_takes_a_smaller_scale() -> None:
    """The circle, cut where its label stands, fits on the paper whatever its radius."""
    made = payload_sample()
    for radius_m in (2e3, 23e3, 90e3):
        wide = replace(made, landing=replace(made.landing, radius_m=radius_m))
        root = ET.fromstring(landing_svg(wide))
        rim = [one.get("d") or "" for one in root.iter() if one.get("data-is") == "landings"]
        numbers = [float(one) for each in rim for one in re.findall(r"-?[\d.]+", each)]
        assert len(numbers) > 40
        assert -1.0 <= min(numbers[::2]) <= max(numbers[::2]) <= SIZE_PX[0] + 1.0
        assert -1.0 <= min(numbers[1::2]) <= max(numbers[1::2]) <= SIZE_PX[1] + 1.0
