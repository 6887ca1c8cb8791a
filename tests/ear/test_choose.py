"""The ear that was asked for is opened whole, or one sentence says why not."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from assistant.ear.choose import GENERAL_MODEL, fetch_general_model, open_ear
from assistant.ear.model_folder import MANIFEST, check_files, read_manifest
from assistant.ports import DeviceFailure
from assistant.settings import Settings
from assistant.understanding.grammar import every_word


def test_our_own_model_is_found_and_says_how_good_it_is(tmp_path: Path) -> None:
    """Without a wish our own model opens, with a sentence that carries its figures."""
    ear = open_ear(Settings(folder=tmp_path))

    assert ear.name == "our own model kettle-ear-1"
    assert "47 right in quiet" in ear.card
    assert ear.card.endswith(".")


def test_every_word_that_can_be_said_is_in_our_model(tmp_path: Path) -> None:
    """A word that the program understands and its ear cannot hear is a mistake."""
    assert open_ear(Settings(folder=tmp_path)).missing_words(every_word()) == ()


def test_another_model_by_path_is_opened_and_not_praised(tmp_path: Path, own_model: Path) -> None:
    """A model that the brewer gives is named, and its quality is called unmeasured."""
    shutil.copytree(own_model, tmp_path / "small-model")

    ear = open_ear(Settings(folder=tmp_path, model_folder=tmp_path / "small-model"))

    assert ear.name == "Vosk model small-model"
    assert "not measured" in ear.card
    assert "cannot hear" not in ear.card


def test_a_wrong_path_is_told(tmp_path: Path) -> None:
    """A folder that is not there is one sentence."""
    with pytest.raises(DeviceFailure, match="There is no model folder"):
        open_ear(Settings(folder=tmp_path, model_folder=tmp_path / "none"))


@pytest.mark.parametrize(
    ("name", "content", "sentence"),
    [
        ("graph/words.txt", b"<eps> 0\n", "damaged, graph/words.txt has changed"),
        ("am/final.mdl", None, "incomplete, am/final.mdl is missing"),
        (MANIFEST, b"{", "missing or broken"),
        (MANIFEST, b"[]", "missing or broken"),
        (MANIFEST, b'{"name": "x"}', "missing or broken"),
        (MANIFEST, None, "missing or broken"),
    ],
)
def test_a_damaged_model_is_told(
    tmp_path: Path, own_model: Path, name: str, content: bytes | None, sentence: str
) -> None:
    """A file of our model that is missing or changed is named before anything is loaded."""
    folder = tmp_path / "model"
    shutil.copytree(own_model, folder)
    (folder / name).unlink()
    if content is not None:
        (folder / name).write_bytes(content)

    with pytest.raises(DeviceFailure, match=sentence):
        check_files(folder, read_manifest(folder))


class VoskThat:
    """A stand-in for Vosk's model class whose search fails in a chosen way, or finds a folder."""

    outcome: BaseException | Path

    def get_model_by_name(self, name: str) -> Path:
        """Fail or find."""
        assert name == GENERAL_MODEL
        if isinstance(self.outcome, BaseException):
            raise self.outcome
        return self.outcome


@pytest.mark.parametrize(
    ("outcome", "sentence"),
    [
        (ConnectionError("no route to host"), r"could not get its model .* \(no route to host\).*our own model"),
        (OSError(28, "No space left on device"), "No space left on device"),
        (SystemExit(1), "no longer offers"),
        (Path("/nowhere/half-unpacked"), "There is no model folder"),
    ],
)
def test_a_model_that_cannot_be_had_is_one_sentence(
    monkeypatch: pytest.MonkeyPatch, outcome: BaseException | Path, sentence: str
) -> None:
    """However Vosk fails to get its model, even by ending the program, one sentence comes out."""
    model = type("Model", (VoskThat,), {"outcome": outcome})
    monkeypatch.setitem(sys.modules, "vosk", SimpleNamespace(Model=model, SetLogLevel=lambda _level: None))

    with pytest.raises(DeviceFailure, match=sentence):
        fetch_general_model()


def test_a_machine_without_vosk_is_told(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Where Vosk does not load, one sentence says what to install."""
    monkeypatch.setitem(sys.modules, "vosk", None)

    with pytest.raises(DeviceFailure, match="install the package vosk"):
        open_ear(Settings(folder=tmp_path))
