"""The graph of our model can be built again from its lexicon, and is right."""

from __future__ import annotations

import hashlib
import json
import sys
from pathlib import Path

import pytest

MODELS = Path(__file__).resolve().parents[2] / "models"
sys.path.insert(0, str(MODELS))

from build_graph import build_graph  # noqa: E402 - the folder is found above
from fst_file import Graph  # noqa: E402
from label_reach import label_reach  # noqa: E402
from pronunciations import read_lexicon  # noqa: E402
from search_graph import build_search_graph  # noqa: E402


def accepted(graph: Graph, frames: list[int]) -> set[tuple[int, ...]]:
    """Every sequence of words that the graph gives for a sequence of inputs; found by trying everything."""
    now: set[tuple[int, tuple[int, ...]]] = {(0, ())}
    for frame in [*frames, None]:
        todo = list(now)
        while todo:
            state, words = todo.pop()
            for arc in graph.arcs[state]:
                step = (arc.target, (*words, arc.output) if arc.output else words)
                if not arc.input and step not in now:
                    now.add(step)
                    todo.append(step)
        if frame is None:
            break
        now = {
            (arc.target, (*words, arc.output) if arc.output else words)
            for state, words in now
            for arc in graph.arcs[state]
            if arc.input == frame
        }
    return {words for state, words in now if state in graph.finals}


def test_the_model_that_ships_is_the_one_its_lexicon_builds(own_model: Path, tmp_path: Path) -> None:
    """Building again gives the same graph, byte for byte, with the digests of the manifest."""
    build_graph(MODELS / "lexicon" / "words.tsv", tmp_path)

    built = {file for file in tmp_path.rglob("*") if file.is_file()}
    digests = json.loads((own_model / "manifest.json").read_text())["sha256"]
    assert len(built) == 5
    for file in built:
        assert hashlib.sha256(file.read_bytes()).hexdigest() == digests[file.relative_to(tmp_path).as_posix()]


@pytest.mark.parametrize(
    "line",
    ["ten T EH N", "ten\t", "ten\tT EH1 N", "Ten\tT EH N", "ten\tT XX", "ten up\tT EH N", "go\tG OW"],
    ids=["no tab", "no phones", "stress", "capital", "unknown phone", "two words", "twice"],
)
def test_a_mistake_in_the_lexicon_is_named(tmp_path: Path, line: str) -> None:
    """A line that is wrong is told with its number."""
    path = tmp_path / "words.tsv"
    path.write_text(f"# a group\ngo\tG OW\n{line}\n")

    with pytest.raises(ValueError, match="line 3"):
        read_lexicon(path)


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> tuple[Graph, dict[str, int]]:
    """The graph of three words, two of which share their beginning and two a sound where they meet."""
    path = tmp_path_factory.mktemp("lexicon") / "words.tsv"
    path.write_text("ten\tT EH N\ntell\tT EH L\nnine\tN AY N\n")
    label_of = {"nine": 1, "tell": 2, "ten": 3, "[unk]": 4}
    return build_search_graph(read_lexicon(path), label_of), label_of


def frames(*sounds: str) -> list[int]:
    """Inputs for positional phones such as `T_B`; `=` repeats the last one, `_` is blank in a word, `.` between."""
    from pronunciations import BLANK_ID, SILENCE_ID, Position, kaldi_id  # noqa: PLC0415

    place = {"B": Position.BEGIN, "I": Position.INTERNAL, "E": Position.END, "S": Position.SINGLETON}
    out: list[int] = []
    last = 0
    for sound in sounds:
        if sound == "=":
            out.append(2 * last - 1)
            continue
        phone, _, position = sound.partition("/")
        last = {"_": BLANK_ID, ".": SILENCE_ID}.get(phone) or kaldi_id(phone, place[position])
        out.append(2 * last)
    return out


@pytest.mark.parametrize(
    ("sounds", "words"),
    [
        ("T/B EH/I N/E", ("ten",)),
        (". = T/B = = _ = EH/I N/E = .", ("ten",)),
        ("T/B EH/I L/E T/B EH/I N/E", ("tell", "ten")),
        ("T/B EH/I N/E . N/B AY/I N/E", ("ten", "nine")),
        ("T/B EH/I N/E N/B AY/I N/E", None),
        ("T/B EH/I", None),
        (".", ()),
    ],
)
def test_what_the_graph_accepts(
    small: tuple[Graph, dict[str, int]], sounds: str, words: tuple[str, ...] | None
) -> None:
    """Words, repeated sounds and blanks are accepted; one sound for two words and half a word are not."""
    graph, label_of = small
    expected = set() if words is None else {tuple(label_of[word] for word in words)}

    assert accepted(graph, frames(*sounds.split())) == expected


def test_labels_ahead_are_found(small: tuple[Graph, dict[str, int]]) -> None:
    """For every state the intervals name exactly the labels that a search by hand finds next."""
    graph, _ = small
    reach = label_reach(graph)
    for state in range(len(graph.arcs)):
        ahead, seen, todo = set(), {state}, [state]
        while todo:
            here = todo.pop()
            if here in graph.finals:
                ahead.add(reach.end_label)
            for arc in graph.arcs[here]:
                if arc.output:
                    ahead.add(reach.new_label[arc.output])
                elif arc.target not in seen:
                    seen.add(arc.target)
                    todo.append(arc.target)
        assert {label for begin, end in reach.ahead[state] for label in range(begin, end)} == ahead


def test_a_new_label_is_given_to_each_word_once(small: tuple[Graph, dict[str, int]]) -> None:
    """The new labels are 1, 2, 3... with one left for the end."""
    graph, label_of = small
    reach = label_reach(graph)

    assert sorted([*reach.new_label.values(), reach.end_label]) == list(range(1, len(label_of) + 2))
