"""Output labels that can come next from each state, numbered so that they form few intervals.

The look-ahead of the decoder asks at every state whether a word of the live word list can still be
reached. The answer is cheap when the words below a node of the tree have neighbouring numbers.
"""

from __future__ import annotations

from dataclasses import dataclass

from fst_file import Graph, Intervals


@dataclass(frozen=True, slots=True)
class Reach:
    """The new label of every old one, the label that stands for the end, and the labels ahead of each state."""

    new_label: dict[int, int]
    end_label: int
    ahead: list[Intervals]


def label_reach(graph: Graph) -> Reach:
    """Number the output labels in the order of a depth-first walk, and find what can come next from each state."""
    new_label, end_label = _number_labels(graph)
    silent = [
        [arc.target for arc in leaving if not arc.output and arc.target != state]
        for state, leaving in enumerate(graph.arcs)
    ]
    component, count = _components(silent)
    labels: list[set[int]] = [set() for _ in range(count)]
    following: list[set[int]] = [set() for _ in range(count)]
    for state, leaving in enumerate(graph.arcs):
        own = component[state]
        labels[own] |= {new_label[arc.output] for arc in leaving if arc.output}
        if state in graph.finals:
            labels[own].add(end_label)
        following[own] |= {component[target] for target in silent[state]} - {own}
    ahead: list[Intervals] = []
    for own in range(count):  # what follows a component has a lower number
        parts = [(label, label + 1) for label in labels[own]]
        for other in following[own]:
            parts += ahead[other]
        ahead.append(_joined(parts))
    return Reach(new_label, end_label, [ahead[component[state]] for state in range(len(graph.arcs))])


def _number_labels(graph: Graph) -> tuple[dict[int, int], int]:
    """New labels from 1 in the order they are met; the first end met takes a number too."""
    new_label: dict[int, int] = {}
    end_label = 0
    seen: set[int] = set()
    now, later = [0], list[int]()
    while now or later:
        state = now.pop() if now else later.pop()
        if state in seen:
            continue
        seen.add(state)
        if state in graph.finals and not end_label:
            end_label = len(new_label) + 1
        silent: list[int] = []
        for arc in graph.arcs[state]:
            if arc.output:
                new_label.setdefault(arc.output, len(new_label) + 1 + bool(end_label))
                later.append(arc.target)
            else:
                silent.append(arc.target)
        now += reversed(silent)
    return new_label, end_label


def _components(following: list[list[int]]) -> tuple[list[int], int]:
    """Strongly connected components (Tarjan 1972, without recursion), numbered in reverse topological order."""
    size = len(following)
    order, lowest, component = [-1] * size, [0] * size, [-1] * size
    stack: list[int] = []
    met = found = 0
    for root in range(size):
        if order[root] >= 0:
            continue
        work = [(root, 0)]
        while work:
            state, branch = work.pop()
            if branch == 0:
                order[state] = lowest[state] = met
                met += 1
                stack.append(state)
            else:
                lowest[state] = min(lowest[state], lowest[following[state][branch - 1]])
            while branch < len(following[state]):
                target = following[state][branch]
                branch += 1
                if order[target] < 0:
                    work += [(state, branch), (target, 0)]
                    break
                if component[target] < 0:
                    lowest[state] = min(lowest[state], order[target])
            else:
                if lowest[state] == order[state]:
                    while component[state] < 0:
                        component[stack.pop()] = found
                    found += 1
    return component, found


def _joined(intervals: list[tuple[int, int]]) -> Intervals:
    out: list[tuple[int, int]] = []
    for begin, end in sorted(intervals):
        if out and begin <= out[-1][1]:
            out[-1] = (out[-1][0], max(out[-1][1], end))
        else:
            out.append((begin, end))
    return tuple(out)
