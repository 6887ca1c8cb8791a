"""On which line a field of a plan stands."""

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.day.plan_places import Path, find_places

DOCUMENT = '''\
# a comment with [brackets] and "quotes"
top = 1
"quoted key" = "a # b"

[beer] # after a heading
name = """
two [lines]
"""
boil = '75 min'
rig.name = "dotted"
rig.hydrometer.glass = true
[[mash.rest]]
at = [ # a list
  ["a", 'b]'],

  { x = 1, y = { z = "}" } },
]
[[mash.rest]]
at = 2
[mash.rest.inner]
deep = 1979-05-27T07:32:00Z
[[mash.rest]]
[yeast]
path = 'C:\\'
last = 3'''


@pytest.mark.parametrize(
    ("line", "path"),
    [
        (1, ()),
        (2, ("top",)),
        (3, ("quoted key",)),
        (5, ("beer",)),
        (6, ("beer", "name")),
        (9, ("beer", "boil")),
        (10, ("beer", "rig")),
        (10, ("beer", "rig", "name")),
        (11, ("beer", "rig", "hydrometer", "glass")),
        (12, ("mash", "rest", 0)),
        (13, ("mash", "rest", 0, "at")),
        (14, ("mash", "rest", 0, "at", 0)),
        (14, ("mash", "rest", 0, "at", 0, 1)),
        (16, ("mash", "rest", 0, "at", 1)),
        (16, ("mash", "rest", 0, "at", 1, "y", "z")),
        (18, ("mash", "rest", 1)),
        (19, ("mash", "rest", 1, "at")),
        (20, ("mash", "rest", 1, "inner")),
        (21, ("mash", "rest", 1, "inner", "deep")),
        (22, ("mash", "rest", 2)),
        (24, ("yeast", "path")),
        (25, ("yeast", "last")),
    ],
)
def test_a_field_is_found_on_its_line(line: int, path: Path) -> None:
    """Tables, lists of tables, dotted names and inline tables each know their line."""
    assert line == find_places(DOCUMENT)[path]


def paths_of(value: object, path: Path = ()) -> list[Path]:
    """Every path of a parsed document."""
    entries: list[tuple[str | int, object]] = []
    if isinstance(value, dict):
        entries = list(value.items())
    elif isinstance(value, list):
        entries = list(enumerate(value))
    return [path, *(inner for key, entry in entries for inner in paths_of(entry, (*path, key)))]


def test_the_reader_of_toml_sees_the_same_fields() -> None:
    """The places are those of exactly the fields that the standard reader finds."""
    assert set(paths_of(tomllib.loads(DOCUMENT))) == set(find_places(DOCUMENT))


SCALARS = st.sampled_from(
    ["1", "true", '"a # ] } b"', "'c, [d'", '"\\" = x"', "1e3", '"""\n[x]\n"""', "'''y'''", "2024-01-01"]
)
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3).map(lambda items: "[ # x\n" + ",\n".join(items) + "\n]"),
        st.lists(inner.filter(lambda text: "\n" not in text), max_size=3).map(
            lambda items: "{" + ", ".join(f"k{number} = {item}" for number, item in enumerate(items)) + "}"
        ),
    ),
    max_leaves=6,
)


@given(
    st.lists(
        st.tuples(st.sampled_from(["", "[t{}]\n", "[[list]]\n", "[[list]]\n[list.sub]\n"]), VALUES), max_size=8
    )
)
def test_any_valid_document_has_all_its_fields_placed(pieces: list[tuple[str, str]]) -> None:
    """In documents built at random every field that the standard reader finds has a line, and no other."""
    text = "".join(
        f"{heading.format(number)}a{number}.b = {value}\n" for number, (heading, value) in enumerate(pieces)
    )

    assert set(paths_of(tomllib.loads(text))) == set(find_places(text))
