"""Our own model's folder: where it is, whether its files are whole, and how well it measured."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from assistant.ports import DeviceFailure

OWN_MODEL = "kettle-ear-1"
MANIFEST = "manifest.json"


@dataclass(frozen=True, slots=True)
class Manifest:
    """What a model folder says about itself; `card` is one sentence for the brewer."""

    name: str
    version: str
    licence: str
    sample_rate_hz: int
    card: str
    sha256: dict[str, str]


def own_model_folder() -> Path:
    """Return the folder of our own model: in the installed package, else in the repository.

    Raises:
        DeviceFailure: when neither is there.
    """
    package = Path(__file__).resolve().parent.parent
    places = (package / "_bundled" / "models" / OWN_MODEL, package.parent / "models" / OWN_MODEL)
    for folder in places:
        if (folder / MANIFEST).is_file():
            return folder
    raise DeviceFailure(f"Our own model {OWN_MODEL} is not in this installation; install the package again.")


def read_manifest(folder: Path) -> Manifest:
    """Read what a model folder says about itself.

    Raises:
        DeviceFailure: when the manifest is missing or broken.
    """
    try:
        found: dict[str, Any] = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))
        return Manifest(
            name=str(found["name"]),
            version=str(found["version"]),
            licence=str(found["licence"]),
            sample_rate_hz=int(found["sample_rate_hz"]),
            card=str(found["card"]),
            sha256={str(name): str(digest) for name, digest in found["sha256"].items()},
        )
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
        raise DeviceFailure(
            f"{MANIFEST} of the model in {folder} is missing or broken; get the model again."
        ) from error


def check_files(folder: Path, manifest: Manifest) -> None:
    """Check every file of a model against its manifest.

    Raises:
        DeviceFailure: naming the first file that is missing or changed.
    """
    for name, expected in manifest.sha256.items():
        file = folder / name
        if not file.is_file():
            raise DeviceFailure(f"The model {manifest.name} is incomplete, {name} is missing; install it again.")
        if hashlib.sha256(file.read_bytes()).hexdigest() != expected:
            raise DeviceFailure(f"The model {manifest.name} is damaged, {name} has changed; install it again.")
