"""The rooms of the program: imports go one way, device rooms never meet, and pure rooms touch no device."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest

ASSISTANT: Final = Path(__file__).parents[1] / "assistant"

# Lowest first; a room imports from lines below its own only.
ORDER: Final[tuple[tuple[str, ...], ...]] = (
    ("quantities", "messages", "settings"),
    ("calculation", "understanding"),
    ("day",),
    ("phrasing", "board.view"),
    ("ports",),
    ("sound", "ear", "voice", "journal", "clock", "board", "report"),
    ("loop",),
    ("rehearsal", "live"),
    ("wiring",),
    ("verbs",),
    ("__main__",),
)
LINE_OF: Final = {room: line for line, rooms in enumerate(ORDER) for room in rooms}
DEVICE_ROOMS: Final = frozenset(ORDER[5])
PURE_ROOMS: Final = frozenset(room for rooms in ORDER[:5] for room in rooms)

# What reaches beyond the values that a function was given: clocks, files, randomness, SQL, threads, the net.
DEVICE_MODULES: Final = frozenset(
    {
        *("time", "random", "secrets", "sqlite3", "socket", "urllib", "http", "logging", "importlib"),
        *("threading", "multiprocessing", "concurrent", "asyncio", "subprocess", "signal"),
        *("os", "sys", "io", "shutil", "tempfile", "glob"),
        *("sounddevice", "vosk", "pyttsx3", "espeakng_loader", "apscheduler"),
    }
)
DEVICE_CALLS: Final = frozenset({"open", "print", "input", "exec", "eval", "__import__"})
DEVICE_METHODS: Final = frozenset(
    {
        *("now", "today", "utcnow"),
        *("open", "read_text", "read_bytes", "write_text", "write_bytes", "mkdir", "unlink", "touch", "rename"),
        *("iterdir", "glob", "rglob", "exists", "is_file", "is_dir", "stat", "cwd", "home"),
    }
)


def room_of(module: str) -> str | None:
    """The room that a module of ours lies in; None for one that has no place in the order."""
    parts = module.split(".")[1:]
    for length in (2, 1):
        if (room := ".".join(parts[:length])) in LINE_OF:
            return room
    return None


def imports_of(module: str, tree: ast.AST) -> Iterator[tuple[int, str]]:
    """All imports, also those inside functions: line and full name; of `from x import y` the name `x.y`."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            package = ".".join(module.split(".")[: -node.level]) if node.level else ""
            origin = ".".join(part for part in (package, node.module or "") if part)
            yield from ((node.lineno, f"{origin}.{alias.name}") for alias in node.names)


def wrong_import(room: str, imported: str) -> str | None:
    """What is wrong when `room` imports `imported`; None when nothing is."""
    top = imported.partition(".")[0]
    if top != "assistant":
        of_device = top in DEVICE_MODULES or imported.startswith("numpy.random")
        return f"the pure room {room} imports {imported}" if of_device and room in PURE_ROOMS else None
    target = room_of(imported)
    if target is None:
        return f"{room} imports {imported}, which is no room"
    if target == room:
        return None
    if target in DEVICE_ROOMS and room in DEVICE_ROOMS:
        return f"the device room {room} imports the device room {target}"
    if target in DEVICE_ROOMS and room == "loop":
        return f"the loop imports the device room {target}: it knows ports only"
    if LINE_OF[target] >= LINE_OF[room]:
        return f"{room} imports {target}, which does not stand below it"
    return None


def device_use(node: ast.AST) -> str | None:
    """How a pure room touches a device in this place; None where it does not."""
    match node:
        case ast.Call(func=ast.Name(id=name)) if name in DEVICE_CALLS:
            return f"calls {name}()"
        case ast.Call(func=ast.Attribute(attr=name)) if name in DEVICE_METHODS:
            return f"calls .{name}()"
        # not called here, but handed on to be called: default_factory=datetime.now
        case ast.Attribute(
            value=ast.Name(id="datetime" | "date") | ast.Attribute(attr="datetime" | "date"), attr=name
        ):
            return f"uses .{name}" if name in ("now", "today", "utcnow") else None
    return None


def faults(module: str, source: str) -> list[str]:
    """All breaches of the order in the source of one module, each with its line."""
    room = room_of(module)
    if room is None:
        return [f"{module} has no room in the order"]
    tree = ast.parse(source)
    found = [
        (line, wrong)
        for line, imported in imports_of(module, tree)
        if (wrong := wrong_import(room, imported)) is not None
    ]
    if room in PURE_ROOMS:
        found += [
            (node.lineno, f"the pure room {room} {use}")
            for node in ast.walk(tree)
            if isinstance(node, ast.expr) and (use := device_use(node)) is not None
        ]
    return [f"{module}:{line}: {wrong}" for line, wrong in sorted(found)]


def modules() -> dict[str, Path]:
    """Every module of ours by its full name; packages by the name of their `__init__`."""
    return {
        ".".join(("assistant", *path.relative_to(ASSISTANT).with_suffix("").parts)): path
        for path in sorted(ASSISTANT.rglob("*.py"))
    }


@pytest.mark.parametrize("module", [name for name in modules() if name != "assistant.__init__"])
def test_every_module_keeps_to_its_room(module: str) -> None:
    """No module imports upwards or sideways, and no pure one touches a clock, a file, chance, SQL or a thread."""
    assert [] == faults(module, modules()[module].read_text(encoding="utf-8"))


def test_the_package_itself_imports_nothing() -> None:
    """Importing `assistant` loads no room."""
    tree = ast.parse((ASSISTANT / "__init__.py").read_text(encoding="utf-8"))
    assert [] == list(imports_of("assistant.__init__", tree))


def test_the_walk_sees_the_rooms() -> None:
    """The walk finds modules in every room that has a folder, so that an empty walk cannot pass."""
    folders = {path.name for path in ASSISTANT.iterdir() if (path / "__init__.py").exists()}
    assert folders == {name.split(".")[1] for name in modules() if name.count(".") > 1}
    assert {"day", "journal", "clock", "board"} <= folders


@pytest.mark.parametrize(
    ("module", "source", "fault"),
    [
        # upwards
        ("assistant.day.facts", "from assistant.ports import Clock", "day imports ports"),
        ("assistant.quantities", "import assistant.day.facts", "quantities imports day"),
        ("assistant.messages", "from assistant import ports", "messages imports ports"),
        ("assistant.day.facts", "from .. import ports", "day imports ports"),
        ("assistant.day.facts", "from ..phrasing.calls import x", "day imports phrasing"),
        ("assistant.day.facts", "def f():\n    from assistant.loop import Loop", "day imports loop"),
        ("assistant.ports", "from assistant.journal.days import latest_day", "ports imports journal"),
        ("assistant.loop", "from assistant.wiring import wire", "loop imports wiring"),
        ("assistant.rehearsal.brewer", "import assistant.wiring", "rehearsal imports wiring"),
        (
            "assistant.board.view",
            "from assistant.board.terminal_board import PlainBoard",
            "board.view imports board",
        ),
        # sideways
        ("assistant.understanding.parse", "from assistant.calculation.scales import plato", "does not stand below"),
        ("assistant.ear.vosk_ear", "from assistant.voice.mixing import mix", "the device room ear imports"),
        ("assistant.journal.rows", "from ..clock import system_clock", "the device room journal imports"),
        ("assistant.loop", "from assistant.clock.alarm import HandAlarm", "it knows ports only"),
        # no room
        ("assistant.helpers", "", "has no room"),
        ("assistant.loop", "from assistant import helpers", "is no room"),
        # devices in pure rooms
        ("assistant.day.due", "import time", "imports time"),
        ("assistant.day.due", "from time import monotonic as m", "imports time.monotonic"),
        ("assistant.day.due", "import os.path", "imports os.path"),
        ("assistant.calculation.boil", "import random", "imports random"),
        ("assistant.calculation.boil", "from numpy.random import default_rng", "imports numpy.random"),
        ("assistant.day.state", "import sqlite3, threading", "imports sqlite3"),
        ("assistant.day.due", "from datetime import datetime\ndatetime.now()", "calls .now()"),
        ("assistant.day.due", "import datetime as d\nd.datetime.utcnow()", "calls .utcnow()"),
        ("assistant.day.due", "from datetime import date\ndate.today()", "calls .today()"),
        ("assistant.day.plan", "open('plan.toml')", "calls open()"),
        ("assistant.day.plan", "from pathlib import Path\nPath('x').read_text()", "calls .read_text()"),
        ("assistant.phrasing.calls", "print('now')", "calls print()"),
        ("assistant.board.view", "print('now')", "calls print()"),
        ("assistant.settings", "import os", "imports os"),
        (
            "assistant.day.due",
            "from datetime import datetime\nf = field(default_factory=datetime.now)",
            "uses .now",
        ),
    ],
)
def test_the_check_finds_a_breach(module: str, source: str, fault: str) -> None:
    """Each made-up breach of the order is found, with the line where it stands."""
    assert fault in "\n".join(faults(module, source))


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("assistant.day.due", "from datetime import datetime, timedelta\nfrom assistant.day import facts"),
        ("assistant.day.estimate", "from assistant.calculation.boil import rate\nimport math"),
        ("assistant.settings", "from pathlib import Path\nfolder = Path('days')"),
        ("assistant.understanding.said", "from assistant.quantities import Unit"),
        ("assistant.journal.days", "import sqlite3, os\nfrom assistant.ports import JournalRefusal\nopen('x')"),
        ("assistant.board.terminal_board", "from assistant.board.view import rows"),
        ("assistant.loop", "import queue\nfrom assistant.ports import Clock\nfrom assistant.day.due import due"),
        ("assistant.wiring", "from assistant.clock.alarm import SchedulerAlarm\nfrom assistant.loop import Loop"),
        ("assistant.rehearsal.brewer", "from assistant.clock.hand_clock import HandClock"),
        ("assistant.__main__", "from assistant.wiring import wire"),
    ],
)
def test_the_check_lets_what_is_right_pass(module: str, source: str) -> None:
    """Imports from below, a room's own files, and devices in device rooms are no faults."""
    assert [] == faults(module, source)
