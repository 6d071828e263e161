"""The sample plans, as fixtures."""

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

from farglide.outlook.outlook import Outlook


@pytest.fixture(scope="session")
def samples() -> ModuleType:
    spec = importlib.util.spec_from_file_location(
        "sample_outlook", Path(__file__).parent / "sample_outlook.py"
    )
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def outlook(samples: ModuleType) -> Outlook:
    made = samples.sample()
    assert isinstance(made, Outlook)
    return made
