"""Builds the graph of our model from the lexicon; the acoustic model stays as it is.

    python models/build_graph.py models/lexicon/words.tsv models/kettle-ear-1

New words need no training: add them to the lexicon with their pronunciations and build again.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Iterable
from pathlib import Path

from fst_file import ACCEPTOR, INPUT_SORTED, OUTPUT_SORTED, Arc, Graph, const_bytes, look_ahead_bytes, relabelled
from label_reach import label_reach
from manifest import update_digests
from pronunciations import GARBAGE, phone_count, read_lexicon, word_boundary_lines, words_of
from search_graph import build_search_graph


def build_graph(lexicon_file: Path, model_folder: Path) -> int:
    """Write graph/ of a model; return the number of words it holds, the garbage word not counted.

    Raises:
        ValueError: when the lexicon has a mistake.
    """
    lexicon = read_lexicon(lexicon_file)
    label_of = {word: number for number, word in enumerate([*words_of(lexicon), GARBAGE], 1)}
    graph = build_search_graph(lexicon, label_of)
    reach = label_reach(graph)
    label_of = {word: reach.new_label[label] for word, label in label_of.items()}
    folder = model_folder / "graph"
    (folder / "phones").mkdir(parents=True, exist_ok=True)
    (folder / "HCLr.fst").write_bytes(
        look_ahead_bytes(relabelled(graph, reach.new_label), reach.end_label, reach.ahead)
    )
    open_list = _any_word(label for word, label in label_of.items() if word != GARBAGE)
    (folder / "Gr.fst").write_bytes(const_bytes(open_list, INPUT_SORTED | OUTPUT_SORTED | ACCEPTOR))
    by_label = sorted(label_of.items(), key=lambda item: item[1])
    _write_lines(folder / "words.txt", ["<eps> 0", *(f"{word} {label}" for word, label in by_label)])
    _write_lines(folder / "phones" / "word_boundary.int", word_boundary_lines())
    # Vosk wants the number of a disambiguation symbol; the graph has none, so one that is not used.
    _write_lines(folder / "disambig_tid.int", [str(2 * phone_count() + 1)])
    return len(label_of) - 1


def _any_word(labels: Iterable[int]) -> Graph:
    """Any sequence of words, all alike: what a recogniser without a word list would hear."""
    sorted_labels = sorted(labels)
    cost = math.log(len(sorted_labels) + 1)
    return Graph([[Arc(label, label, cost, 0) for label in sorted_labels]], {0: cost})


def _write_lines(path: Path, lines: Iterable[str]) -> None:
    path.write_text("".join(f"{line}\n" for line in lines), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    if len(sys.argv) != 3:
        sys.exit("usage: python models/build_graph.py LEXICON MODEL_FOLDER")
    words = build_graph(Path(sys.argv[1]), Path(sys.argv[2]))
    update_digests(Path(sys.argv[2]))
    print(f"{sys.argv[2]}: a graph of {words} words")
