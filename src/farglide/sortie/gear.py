"""Gear: balloon, line, glider or payload, packs and parts, as the flight file states them."""

from dataclasses import dataclass
from typing import Literal

from farglide.balloon.gas import Gas
from farglide.sortie.known import Known, Tag


@dataclass(frozen=True, slots=True, kw_only=True)
class BalloonSpec:
    """A latex sounding balloon and its fill."""

    mass_kg: float
    burst_diameter_m: Known
    gas: Gas
    purity_ratio: float  # share of the gas by volume, the rest is air
    neck_lift_kg: Known
    drag_factor: Known  # multiplies the drag table; 1 = as the table
    drag_table: tuple[tuple[float, float], ...]  # (Reynolds number, C_d), rising Reynolds numbers
    gas_warmer_k: Known  # gas minus air; 0 at night, 5-25 in sun
    film_stiffness_npm: float  # shear modulus times unstretched thickness; 0 = slack film
    leak_ratio_ps: float = 0.0  # share of the gas lost per second at sea level density
    early_burst_ratio: Known = Known(value=0.03, sd=0.03, tag=Tag.GUESS)  # before the record counts
    n_flights: int = 0  # of such balloons, early bursts among them
    n_early_bursts: int = 0  # below 0.9 of the bursting diameter
    seen_to_ratio: float = 0.9  # the others were seen whole up to this share of that diameter
    batch: str = ""  # flights of one batch are learnt from together


@dataclass(frozen=True, slots=True, kw_only=True)
class GliderSpec:
    """A glider as a point mass with a polar and limits."""

    mass_kg: float
    area_m2: float
    chord_m: float
    aspect_ratio: float
    span_efficiency: float
    zero_lift_drag: float  # C_D0 at and above the reference Reynolds number
    reference_reynolds: float
    reynolds_exponent: float
    lift_max: float  # C_L at the stall
    glide_factor: Known  # multiplies L/D: doubt about the polar
    flown_ratio: float  # what a hand-flown picture flight gets of the polar
    top_eas_mps: float
    top_mach: float
    gentle_bank_deg: float = 30.0
    speed_margin_ratio: float = 0.05  # of top EAS and Mach number, not flown on the way home
    hands_off_sink_eas_mps: Known | None = None
    spiral_sink_eas_mps: Known | None = None
    spin_sink_eas_mps: Known | None = None
    airframe: str = ""  # flights of one airframe are learnt from together


@dataclass(frozen=True, slots=True, kw_only=True)
class DropSpec:
    """From the drop to steady flight, and the people who order it."""

    drop_drag: Known  # C_D of the falling glider
    pull_eas_mps: float
    pull_load: float
    level_angle_deg: float
    heading_s: Known  # time until the way home is found
    reaction_s: Known  # see, decide, press, link, actuate
    repeats_s: float  # time kept for command repeats
    n_releases: int = 0  # tried in tests and flights
    n_release_failures: int = 0
    n_pullouts: int = 0
    n_pullout_failures: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxSpec:
    """A pack's cells in a closed box, and what the crew measured of them in the cold."""

    cells_kg: float
    specific_heat_jpkgk: float
    insulation_wpk: Known  # heat through the walls for each kelvin between cells and air
    own_heat_ratio: float  # share of the load that stays in the box as heat
    start_k: float | None  # at the switch-on; None: as the air at the launch
    table: tuple[tuple[float, float], ...]  # (cell temperature in K, share of the energy left)
    table_spread_ratio: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PackSpec:
    """One battery pack and what it feeds; what the cold leaves is one share, or follows a box."""

    name: str
    energy_wh: Known
    load_w: float
    cold_ratio: Known | None  # share of the energy left in the cold; None with a box
    on_after_launch_s: float  # negative: switched on before launch
    reserve_s: float
    ageing_ratio: float = 1.0  # share of the rated energy that age has left
    box: BoxSpec | None = None

    @property
    def aged_wh(self) -> float:
        """Return the energy that age has left, warm."""
        return self.energy_wh.value * self.ageing_ratio


@dataclass(frozen=True, slots=True, kw_only=True)
class TrainSpec:
    """What hangs between balloon and glider, and how it falls after a burst."""

    line_kg: float = 0.1
    remains_drag_area_m2: Known = Known(value=0.2, sd=0.1, tag=Tag.GUESS)
    canopy_m: float | None = None  # nominal diameter of a parachute on the line
    canopy_drag: float = 0.8


@dataclass(frozen=True, slots=True, kw_only=True)
class HousingSpec:
    """A transmitter as a warm body."""

    heat_w: float
    area_m2: float
    mass_kg: float
    specific_heat_jpkgk: float
    flow_ratio: float  # share of the airspeed that passes over it; 0: still air
    emissivity_ratio: float
    sun_w: float  # taken up while the sun is up
    limit_k: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TriggerSpec:
    """One way to release, the parts without which it does not, and its record."""

    name: str
    needs: tuple[str, ...]
    n_tests: int
    n_failures: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PartSpec:
    """What the crew knows of one part that links or triggers need."""

    name: str
    at: Literal["aboard", "ground"]
    fails_in_3h_ratio: float | None
    swap_s: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PayloadSpec:
    """A box that comes down under a parachute; its mass is that of the sortie's glider."""

    canopy_m: float  # nominal diameter
    canopy_drag: float = 0.8
