"""The page of functions lists what Python may call, and nothing that would end the process."""

import importlib
import shutil
from pathlib import Path
from typing import Any

import pytest
from sphinx.application import Sphinx

from farglide.kernel import is_inner

DOCS = Path(__file__).parents[2] / "docs"


@pytest.fixture(scope="module")
def listed(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """Return what stands on the page, by its full name."""
    folder = tmp_path_factory.mktemp("api")
    shutil.copy(DOCS / "conf.py", folder)
    shutil.copy(DOCS / "api.rst", folder)
    app = Sphinx(
        folder, folder, folder / "out", folder / "doctrees", "dummy",
        confoverrides={"master_doc": "api"}, status=None,
    )  # fmt: skip
    app.build()
    found = app.env.get_domain("py").get_objects()
    return {one[0]: _named(one[0]) for one in found if one[2] == "function"}


def _named(full: str) -> Any:
    module, _, name = full.rpartition(".")
    return getattr(importlib.import_module(module), name)


def test_no_inner_kernel_is_listed(listed: dict[str, Any]) -> None:
    assert len(listed) > 100
    assert [name for name, one in listed.items() if is_inner(one)] == []


def test_a_listed_kernel_takes_numbers_alone(listed: dict[str, Any]) -> None:
    kernels = {name.rpartition(".")[2] for name, one in listed.items() if hasattr(one, "py_func")}
    assert {"knife_edge_loss_db", "polar_stall_eas_mps"} <= kernels
    assert not kernels & {"ground_amsl_m", "walk_ground", "bullington_db", "gain_around_dbi"}


def test_what_checks_its_input_is_listed(listed: dict[str, Any]) -> None:
    names = {name.rpartition(".")[2] for name in listed}
    assert {"gain_towards_dbi", "diffraction_loss_db", "wind_doubt", "read_flight_file"} <= names
