"""OpenFst's binary files, byte by byte: `const` and `olabel_lookahead`, which Vosk loads.

Layout as OpenFst 1.7 writes it, little-endian. A graph's start is state 0.
"""

from __future__ import annotations

import struct
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

_FST_MAGIC, _ADD_ON_MAGIC = 2125659606, 446681434
_EXPANDED = 0x1
ACCEPTOR, INPUT_SORTED, OUTPUT_SORTED = 0x10000, 0x10000000, 0x40000000
"""Property bits."""

_ARC = np.dtype([("input", "<i4"), ("output", "<i4"), ("cost", "<f4"), ("target", "<i4")])
_STATE = np.dtype(
    [("final", "<f4"), ("first_arc", "<u4"), ("arcs", "<u4"), ("input_epsilons", "<u4"), ("output_epsilons", "<u4")]
)

Intervals = tuple[tuple[int, int], ...]
"""Half-open ranges of labels."""


class Arc(NamedTuple):
    """From a state to `target`: takes `input`, gives `output` (0: nothing), at a cost in natural log."""

    input: int
    output: int
    cost: float
    target: int


@dataclass(slots=True)
class Graph:
    """A transducer; `arcs[s]` leave state s, `finals` gives the cost of ending there."""

    arcs: list[list[Arc]] = field(default_factory=list)
    finals: dict[int, float] = field(default_factory=dict)

    def add_state(self) -> int:
        """Add a state without arcs and return its number."""
        self.arcs.append([])
        return len(self.arcs) - 1


def const_bytes(graph: Graph, properties: int) -> bytes:
    """A graph as a `const` file; `properties` are the bits that hold for it."""
    flat = [tuple(arc) for leaving in graph.arcs for arc in leaving]
    arcs = np.array(flat, dtype=_ARC) if flat else np.zeros(0, _ARC)
    count = np.array([len(leaving) for leaving in graph.arcs], dtype="<u4")
    source = np.repeat(np.arange(len(graph.arcs)), count)
    states = np.zeros(len(graph.arcs), _STATE)
    states["final"] = np.inf
    states["arcs"] = count
    states["first_arc"] = np.concatenate([[0], np.cumsum(count)[:-1]])
    states["input_epsilons"] = np.bincount(source[arcs["input"] == 0], minlength=len(graph.arcs))
    states["output_epsilons"] = np.bincount(source[arcs["output"] == 0], minlength=len(graph.arcs))
    for state, cost in graph.finals.items():
        states["final"][state] = cost
    header = _header("const", 2, properties, start=0, states=len(graph.arcs), arcs=len(arcs))
    return header + states.tobytes() + arcs.tobytes()


def look_ahead_bytes(graph: Graph, end_label: int, reachable: Sequence[Intervals]) -> bytes:
    """A graph as an `olabel_lookahead` file.

    graph: arcs sorted by output label.
    end_label: the label that stands for "the end can be reached".
    reachable: for every state, the labels that can come next.
    """
    out = [
        _header("olabel_lookahead", 1, OUTPUT_SORTED, start=-1, states=0, arcs=0),
        struct.pack("<i", _ADD_ON_MAGIC),
        const_bytes(graph, OUTPUT_SORTED),
        b"\x01\x00\x01",  # has an add-on; none for input labels; one for output labels
        b"\x00\x00",  # labels of outputs, not of inputs; the relabelling is not kept
        struct.pack("<iq", end_label, len(reachable)),
    ]
    for intervals in reachable:
        out.append(struct.pack("<q", len(intervals)))
        out += [struct.pack("<ii", begin, end) for begin, end in intervals]
        out.append(struct.pack("<i", sum(end - begin for begin, end in intervals)))
    return b"".join(out)


def relabelled(graph: Graph, new_label: Mapping[int, int]) -> Graph:
    """The same graph with other output labels, arcs sorted by output label, then input label."""
    arcs = [
        sorted(
            (Arc(arc.input, new_label[arc.output] if arc.output else 0, arc.cost, arc.target) for arc in leaving),
            key=lambda arc: (arc.output, arc.input),
        )
        for leaving in graph.arcs
    ]
    return Graph(arcs, dict(graph.finals))


def _header(kind: str, version: int, properties: int, *, start: int, states: int, arcs: int) -> bytes:
    texts = b"".join(struct.pack("<i", len(text)) + text.encode() for text in (kind, "standard"))
    tail = struct.pack("<iiQqqq", version, 0, _EXPANDED | properties, start, states, arcs)
    return struct.pack("<i", _FST_MAGIC) + texts + tail
