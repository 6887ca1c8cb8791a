"""Keeps the digests in a model's manifest true to its files: `python models/manifest.py models/kettle-ear-1`."""

from __future__ import annotations

import hashlib
import json
import sys
from pathlib import Path


def update_digests(folder: Path) -> None:
    """Rewrite the `sha256` part of `folder`/manifest.json from the files that are there."""
    path = folder / "manifest.json"
    manifest = json.loads(path.read_text(encoding="utf-8"))
    files = sorted(file for file in folder.rglob("*") if file.is_file() and file != path)
    manifest["sha256"] = {
        file.relative_to(folder).as_posix(): hashlib.sha256(file.read_bytes()).hexdigest() for file in files
    }
    path.write_text(json.dumps(manifest, indent=2, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("usage: python models/manifest.py FOLDER")
    update_digests(Path(sys.argv[1]))
