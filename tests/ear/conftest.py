"""What the tests of the ear share: our own model, loaded once, and where the recordings are."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.ear.model_folder import own_model_folder
from assistant.ear.recogniser import Recogniser
from assistant.ear.vosk_ear import VoskEar
from assistant.understanding.grammar import phrases_for


@pytest.fixture(scope="session")
def own_model() -> Path:
    """The folder of our own model."""
    return own_model_folder()


@pytest.fixture(scope="session")
def recogniser(own_model: Path) -> Recogniser:
    """Our own model, loaded once; each test chooses its words."""
    return Recogniser(own_model)


@pytest.fixture
def ear(own_model: Path) -> VoskEar:
    """A fresh ear with the program's own phrases."""
    return VoskEar(own_model, phrases_for, name="test ear")


@pytest.fixture(scope="session")
def recordings() -> Path:
    """Recordings that belong to the project; see the README beside them."""
    return Path(__file__).parent / "recordings"
