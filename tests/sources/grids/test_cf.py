"""What variables are, by standard name and unit."""

from typing import Any

import pytest

from farglide.sources.grids.cf import attribute, axis_of, quantity_of


class Variable:
    """A variable with attributes alone."""

    def __init__(self, dimensions: tuple[str, ...] = ("x",), **attributes: str) -> None:
        self.dimensions, self.attributes = dimensions, attributes

    def getncattr(self, name: str) -> Any:
        """Return an attribute as the library does."""
        if name not in self.attributes:
            raise AttributeError(name)
        return self.attributes[name]


@pytest.mark.parametrize(
    ("name", "attributes", "axis"),
    [
        ("y", {"units": "degrees_north"}, "lat"),
        ("y", {"units": "degreesN"}, "lat"),
        ("x", {"units": "degree_east"}, "lon"),
        ("lev", {"units": "millibars"}, "level"),
        ("isobaric", {"units": "Pa", "standard_name": "air_pressure"}, "level"),
        ("t0", {"units": "hours since 1900-01-01"}, "time"),
        (
            "t0",
            {"units": "hours since 1900-01-01", "standard_name": "forecast_reference_time"},
            "run",
        ),
        ("step", {"units": "hours", "standard_name": "forecast_period"}, "lead"),
        ("number", {"units": "1"}, "member"),
        ("e", {"standard_name": "realization"}, "member"),
        ("sp", {"units": "Pa", "standard_name": "surface_air_pressure"}, None),
        ("lev", {"units": "1"}, None),
    ],
)
def test_axes(name: str, attributes: dict[str, str], axis: str | None) -> None:
    assert axis_of(name, Variable(**attributes)) == axis


@pytest.mark.parametrize(
    ("name", "attributes", "quantity"),
    [
        ("ta", {"units": "K", "standard_name": "air_temperature"}, "t_k"),
        ("anything", {"units": "m s-1", "standard_name": "northward_wind"}, "v_mps"),
        ("z", {"units": "m**2 s**-2"}, "gph_m"),
        ("hgt", {"units": "m"}, "gph_m"),
        ("t", {"units": "hours"}, None),
        ("u", {"units": "m s-1", "standard_name": "sea_water_x_velocity"}, None),
    ],
)
def test_quantities(name: str, attributes: dict[str, str], quantity: str | None) -> None:
    found = quantity_of(name, Variable(**attributes))
    assert (found.name if found else None) == quantity


def test_attributes_are_small_letters_or_empty() -> None:
    assert attribute(Variable(units=" hPa "), "units") == "hpa"
    assert attribute(Variable(), "units") == ""
