"""Which ear listens: our own model, or a general Vosk model that the brewer asks for."""

from __future__ import annotations

from pathlib import Path

from assistant.ear.model_folder import check_files, own_model_folder, read_manifest
from assistant.ear.recogniser import check_model_files, load_vosk
from assistant.ear.vosk_ear import VoskEar
from assistant.ports import DeviceFailure
from assistant.settings import Settings
from assistant.understanding.grammar import every_word, phrases_for

GENERAL_MODEL = "vosk-model-small-en-us-0.15"


def open_ear(settings: Settings) -> VoskEar:
    """Load the model that `settings` ask for.

    Raises:
        DeviceFailure: when the model is missing, damaged or of the wrong kind, in one sentence.
    """
    if settings.model_folder is None:
        folder = own_model_folder()
        manifest = read_manifest(folder)
        check_files(folder, manifest)
        return VoskEar(folder, phrases_for, name=f"our own model {manifest.name}", card=manifest.card)
    folder = settings.model_folder
    check_model_files(folder)
    ear = VoskEar(folder, phrases_for, name=f"Vosk model {folder.name}")
    ear.card = _card_of_general_model(ear)
    return ear


def fetch_general_model() -> Path:
    """Let Vosk find or download its small English model; return its folder.

    Raises:
        DeviceFailure: when it could not be had, in one sentence that says why.
    """
    vosk = load_vosk()

    class Finder(vosk.Model):  # type: ignore[misc, name-defined]
        """Vosk's search and download without loading anything."""

        def __init__(self) -> None:
            pass

        def __del__(self) -> None:
            pass

    try:
        folder = Path(Finder().get_model_by_name(GENERAL_MODEL))
    except SystemExit as error:
        raise DeviceFailure(f"Vosk no longer offers the model {GENERAL_MODEL}; our own model goes on.") from error
    except Exception as error:
        raise DeviceFailure(
            f"Vosk could not get its model {GENERAL_MODEL} ({_cause(error)});"
            " connect to the network and try again, or go on with our own model."
        ) from error
    check_model_files(folder)
    return folder


def _card_of_general_model(ear: VoskEar) -> str:
    missing = ear.missing_words(every_word())
    deaf_to = f"; it cannot hear {', '.join(missing)}" if missing else ""
    return f"Ear: {ear.name}, how well it hears here was not measured{deaf_to}."


def _cause(error: BaseException) -> str:
    """The innermost cause, in a few words."""
    while error.__cause__ or error.__context__:
        error = error.__cause__ or error.__context__ or error
    return str(error) or type(error).__name__
