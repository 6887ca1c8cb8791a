"""From a lexicon to the graph that turns frames of a CTC model into words.

How the graph is made, and why:
- Words form a prefix tree over phones; a word's label stands on the first arc where only this word is
  left, so that the look-ahead prunes early. Equal tails of words are shared.
- An arc carries the number of a phone's first frame, the state entered repeats the phone (Kaldi's
  order, from which Vosk reads word times). Between two phones blank may stand; between two equal ones
  it must, inside a word and across words, or one long sound would count twice.
- Between words blank is silence. Every end of a word, and the start, may be the end of all.
- The garbage word is one repeating pseudo-phone on the best of all acoustic outputs, with a cost to
  enter and a cost for each frame. A loop over all phones instead makes long unknown speech take minutes.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from fst_file import Arc, Graph
from pronunciations import ANYTHING, BLANK_ID, GARBAGE, SILENCE_ID, Position, Pronunciation, base_of, kaldi_id

GARBAGE_ENTRY_COST = 4.0
GARBAGE_FRAME_COST = 0.5
WORD_BONUS = 2.5
"""Taken off the cost of every known word, against lost words: with it and the blank penalty that is in
the acoustic model, 79-83 % of the strings of a development set came out right instead of 59 %."""

_WIDE = 4
"""A node of the tree with this many branches gets a state of its own that its entrances share."""


@dataclass(frozen=True, slots=True)
class _Node:
    """A node of the tree: its branches as (phone, word label or 0, what follows or None at a word's end)."""

    number: int
    branches: tuple[tuple[int, int, _Node | None], ...]


class _Tree:
    """Prefix tree over Kaldi phones; equal nodes are made once."""

    def __init__(self, entries: Sequence[tuple[tuple[int, ...], int]]) -> None:
        self._made: dict[tuple[tuple[int, int, int], ...], _Node] = {}
        self._entries = sorted(set(entries))
        self.root = self._grow(0, len(self._entries), 0)

    def _node(self, branches: list[tuple[int, int, _Node | None]]) -> _Node:
        key = tuple((phone, label, child.number if child else -1) for phone, label, child in branches)
        if key not in self._made:
            self._made[key] = _Node(len(self._made), tuple(branches))
        return self._made[key]

    def _tail(self, phones: tuple[int, ...]) -> _Node | None:
        return self._node([(phones[0], 0, self._tail(phones[1:]))]) if phones else None

    def _grow(self, first: int, last: int, depth: int) -> _Node:
        """The node for entries[first:last], which share their first `depth` phones."""
        branches: list[tuple[int, int, _Node | None]] = []
        at = first
        while at < last:
            phones, label = self._entries[at]
            until = at
            while until < last and self._entries[until][0][depth] == phones[depth]:
                until += 1
            if len(phones) == depth + 1:  # phones at a word's end are never shared with a longer word
                branches += [(phones[depth], same[1], None) for same in self._entries[at:until]]
            elif until - at == 1:
                branches.append((phones[depth], label, self._tail(phones[depth + 1 :])))
            else:
                branches.append((phones[depth], 0, self._grow(at, until, depth + 1)))
            at = until
        return self._node(branches)


def build_search_graph(lexicon: Sequence[Pronunciation], label_of: Mapping[str, int]) -> Graph:
    """The transducer from frames to word labels.

    lexicon: pronunciations of all words, without the garbage word.
    label_of: a number above 0 for every word and for the garbage word.
    """
    return _Builder(lexicon, label_of).graph


class _Builder:
    """Expands the tree into states."""

    def __init__(self, lexicon: Sequence[Pronunciation], label_of: Mapping[str, int]) -> None:
        tree = _Tree([(entry.kaldi_phones(), label_of[entry.word]) for entry in lexicon])
        self._garbage_label = label_of[GARBAGE]
        self.graph = Graph()
        start, self._between, self._silence = (self.graph.add_state() for _ in range(3))
        self.graph.finals[self._between] = 0.0
        self._arcs = self.graph.arcs
        self._ends: dict[int, int] = {}
        self._states: dict[tuple[int, int], int] = {}
        self._blanks: dict[int, int] = {}
        self._joins: dict[int, int] = {}
        self._todo: list[tuple[int, int, _Node]] = []
        anything = kaldi_id(ANYTHING, Position.SINGLETON)
        first_phones = {base_of(phone) for phone, _, _ in tree.root.branches} | {base_of(anything)}
        self._starts = {base: self._add_start() for base in sorted(first_phones)}
        self._arcs[start] += [Arc(0, 0, 0.0, self._between), Arc(_enter(SILENCE_ID), 0, 0.0, self._silence)]
        self._arcs[self._silence] += [
            Arc(_repeat(SILENCE_ID), 0, 0.0, self._silence),
            Arc(0, 0, 0.0, self._between),
        ]
        for phone, label, child in tree.root.branches:
            arc = Arc(_enter(phone), label, self._cost(label), self._after(phone, child))
            self._arcs[self._starts[base_of(phone)]].append(arc)
        while self._todo:
            self._expand(*self._todo.pop())
        self._add_garbage(anything)

    def _add_start(self) -> int:
        """A state before words that begin with the same phone; a word's end leaves out its own phone's."""
        state = self.graph.add_state()
        self._arcs[self._between].append(Arc(0, 0, 0.0, state))
        return state

    def _cost(self, label: int) -> float:
        return -WORD_BONUS if label else 0.0

    def _after(self, phone: int, child: _Node | None) -> int:
        """The state entered with `phone`, before what `child` holds."""
        if child is None:
            return self._end(phone)
        key = (child.number, phone)
        if key not in self._states:
            self._states[key] = self.graph.add_state()
            self._todo.append((self._states[key], phone, child))
        return self._states[key]

    def _end(self, phone: int) -> int:
        """The state at the end of every word whose last phone is `phone`."""
        if phone not in self._ends:
            state = self._ends[phone] = self.graph.add_state()
            self.graph.finals[state] = 0.0
            self._arcs[state] += [
                Arc(_repeat(phone), 0, 0.0, state),
                Arc(_enter(SILENCE_ID), 0, 0.0, self._silence),
            ]
            others = (start for base, start in self._starts.items() if base != base_of(phone))
            self._arcs[state] += [Arc(0, 0, 0.0, other) for other in others]
        return self._ends[phone]

    def _leaving(self, node: _Node, without: int | None = None) -> list[Arc]:
        return [
            Arc(_enter(phone), label, self._cost(label), self._after(phone, child))
            for phone, label, child in node.branches
            if base_of(phone) != without
        ]

    def _join(self, node: _Node) -> int:
        if node.number not in self._joins:
            state = self._joins[node.number] = self.graph.add_state()
            self._arcs[state] += self._leaving(node)
        return self._joins[node.number]

    def _blank(self, node: _Node, wide: bool) -> int:
        """The state of blank before what `node` holds."""
        if node.number not in self._blanks:
            state = self._blanks[node.number] = self.graph.add_state()
            self._arcs[state].append(Arc(_repeat(BLANK_ID), 0, 0.0, state))
            self._arcs[state] += [Arc(0, 0, 0.0, self._join(node))] if wide else self._leaving(node)
        return self._blanks[node.number]

    def _expand(self, state: int, phone: int, node: _Node) -> None:
        wide = len(node.branches) >= _WIDE
        blank = self._blank(node, wide)
        self._arcs[state] += [Arc(_repeat(phone), 0, 0.0, state), Arc(_enter(BLANK_ID), 0, 0.0, blank)]
        repeats = any(base_of(following) == base_of(phone) for following, _, _ in node.branches)
        if wide and not repeats:
            self._arcs[state].append(Arc(0, 0, 0.0, self._join(node)))
        else:
            self._arcs[state] += self._leaving(node, base_of(phone) if repeats else None)

    def _add_garbage(self, phone: int) -> None:
        end = self._end(phone)
        self._arcs[end] = [
            arc._replace(cost=GARBAGE_FRAME_COST) if arc.target == end else arc for arc in self._arcs[end]
        ]
        arc = Arc(_enter(phone), self._garbage_label, GARBAGE_ENTRY_COST, end)
        self._arcs[self._starts[base_of(phone)]].append(arc)


def _enter(phone: int) -> int:
    """Kaldi's number for the first frame of a phone (the transition out of its one state)."""
    return 2 * phone


def _repeat(phone: int) -> int:
    """Kaldi's number for another frame of the same phone (the self-loop)."""
    return 2 * phone - 1
