"""Two briefs made from the same one, put together: nothing of either is lost, clashes are told."""

from __future__ import annotations

import json
import subprocess
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedwright.store import Difference, merge
from page import SMALL

Values = dict[str, Any]
WORDS = ("a", "b", "c", "d")
scalars = st.sampled_from(WORDS)
spots = st.lists(scalars, min_size=2, max_size=2)
tables = st.dictionaries(st.sampled_from(("kind", "height", "name")), scalars, min_size=1)
names = st.lists(scalars, min_size=1, max_size=4, unique=True)


def some(**parts: Any) -> Any:
    """Tables with some of these parts, and not without any."""
    return st.fixed_dictionaries({}, optional=parts).filter(bool)


briefs = some(
    title=scalars,
    units=scalars,
    place=some(town=scalars, altitude=scalars, horizon=st.lists(spots, min_size=1, max_size=3)),
    bed=st.fixed_dictionaries(
        {"shape": st.sampled_from(("polygon", "curve"))},
        optional={"length": scalars, "corners": st.lists(spots, min_size=1, max_size=4)},
    ),
    wishes=some(grow=names, leave_out=names, height=scalars),
    surroundings=st.lists(tables, min_size=1, max_size=3),
    existing=st.lists(
        st.fixed_dictionaries({"name": scalars, "at": spots}), min_size=1, max_size=2
    ),
)


@given(briefs, briefs)
def test_a_change_of_one_alone_is_taken_as_it_is(base: Values, other: Values) -> None:
    for theirs, mine in ((base, other), (other, base)):
        made = merge(base, theirs, mine)
        assert made.values == other
        assert made.clashes == ()
        assert bool(made.differences) == (base != other)


@given(briefs, briefs)
def test_what_both_changed_alike_is_taken_once(base: Values, other: Values) -> None:
    made = merge(base, other, deepcopy(other))
    assert (made.values, made.clashes) == (other, ())


@given(briefs, briefs, briefs)
def test_without_a_clash_it_does_not_matter_who_was_first(
    base: Values, theirs: Values, mine: Values
) -> None:
    made, turned = merge(base, theirs, mine), merge(base, mine, theirs)
    assert len(made.clashes) == len(turned.clashes)
    if not made.clashes:
        assert made.values == turned.values


@given(briefs, briefs, briefs)
def test_nothing_that_either_typed_is_lost(base: Values, theirs: Values, mine: Values) -> None:
    """Every value that only one of the two has is in what is made, or told as a clash."""
    made = merge(base, theirs, mine)
    told = made.clashes
    for given_by in (theirs, mine):
        for path, value in leaves(given_by):
            if value == at(base, path) or value in values_of(base, path):
                continue
            there = value in values_of(made.values, path)
            assert there or any(inside(path, one, theirs, mine) for one in told), (path, value)


@given(briefs, briefs, briefs)
def test_at_a_clash_the_second_s_value_stands_and_the_first_s_is_told(
    base: Values, theirs: Values, mine: Values
) -> None:
    for one in merge(base, theirs, mine).clashes:
        assert one.theirs != one.mine
        assert one.base not in (one.theirs, one.mine)


def leaves(value: Any, path: tuple[Any, ...] = ()) -> Any:
    """The paths of plain values, numbers of items left out, and the values."""
    if isinstance(value, dict):
        for name, one in value.items():
            yield from leaves(one, (*path, name))
    elif isinstance(value, list):
        for one in value:
            yield from leaves(one, path)
    else:
        yield path, value


def values_of(brief: Values, path: tuple[Any, ...]) -> list[Any]:
    return [value for own, value in leaves(brief) if own == path]


def at(brief: Any, path: tuple[Any, ...]) -> Any:
    for part in path:
        if not isinstance(brief, dict):
            return None
        brief = brief.get(part)
    return brief


def inside(path: tuple[Any, ...], one: Difference, theirs: Values, mine: Values) -> bool:
    """Whether a clash is about a path, numbers of items left out."""
    told = tuple(part for part in one.path if isinstance(part, str))
    return path[: len(told)] == told


@pytest.mark.parametrize(
    ("theirs", "mine", "made", "clashes"),
    [
        # Different fields of one table.
        ({"place": {"town": "Cork"}}, {"place": {"town": "Galway", "altitude": "9 m"}},
         {"place": {"town": "Cork", "altitude": "9 m"}}, []),
        # The same field.
        ({"place": {"town": "Cork"}}, {"place": {"town": "Sligo"}}, {"place": {"town": "Sligo"}},
         [(("place", "town"), "Galway", "Cork", "Sligo")]),
        # One took the field out, the other changed it.
        ({"place": {}}, {"place": {"town": "Sligo"}}, {"place": {"town": "Sligo"}},
         [(("place", "town"), "Galway", None, "Sligo")]),
        # Names that each added and took out.
        ({"wishes": {"grow": ["b", "x"]}}, {"wishes": {"grow": ["a", "b", "y"]}},
         {"wishes": {"grow": ["b", "x", "y"]}}, []),
        # Something that stands by, from each, and one that one of them changed.
        ({"surroundings": [{"kind": "tree", "height": "5 m"}, {"kind": "fence"}]},
         {"surroundings": [{"kind": "tree", "height": "6 m"}, {"kind": "wall"}]},
         {"surroundings": [{"kind": "tree", "height": "6 m"}, {"kind": "fence"}, {"kind": "wall"}]},
         []),
        # One took it away, the other changed it.
        ({"surroundings": []}, {"surroundings": [{"kind": "tree", "height": "6 m"}]},
         {"surroundings": [{"kind": "tree", "height": "6 m"}]},
         [(("surroundings", 0), {"kind": "tree", "height": "5 m"}, None,
           {"kind": "tree", "height": "6 m"})]),
        # A peg set by one, another moved by the other.
        ({"bed": {"shape": "polygon", "corners": [["0", "0"], ["5", "0"], ["9", "0"], ["9", "9"]]}},
         {"bed": {"shape": "polygon", "corners": [["0", "0"], ["9", "0"], ["9", "7"]]}},
         {"bed": {"shape": "polygon", "corners": [["0", "0"], ["5", "0"], ["9", "0"], ["9", "7"]]}},
         []),
        # The same peg, moved along by one and to the left by the other: neither meant both.
        ({"bed": {"shape": "polygon", "corners": [["0", "0"], ["9", "0"], ["8", "9"]]}},
         {"bed": {"shape": "polygon", "corners": [["0", "0"], ["9", "0"], ["9", "8"]]}},
         {"bed": {"shape": "polygon", "corners": [["0", "0"], ["9", "0"], ["9", "8"]]}},
         [(("bed", "corners", 2), ["9", "9"], ["8", "9"], ["9", "8"])]),
        # Another shape has other measures.
        ({"bed": {"shape": "circle", "diameter": "2"}},
         {"bed": {"shape": "polygon", "corners": [["0", "0"], ["9", "0"], ["9", "8"]]}},
         {"bed": {"shape": "polygon", "corners": [["0", "0"], ["9", "0"], ["9", "8"]]}},
         [(("bed",), {"shape": "polygon", "corners": [["0", "0"], ["9", "0"], ["9", "9"]]},
           {"shape": "circle", "diameter": "2"},
           {"shape": "polygon", "corners": [["0", "0"], ["9", "0"], ["9", "8"]]})]),
        # Of two drifts each asked something of another; of the same drift that clashes.
        ({"changes": [{"at": ["1", "1"], "plant": "coleus"}]},
         {"changes": [{"at": ["2", "1"], "plant": "viola"}]},
         {"changes": [{"at": ["1", "1"], "plant": "coleus"}, {"at": ["2", "1"], "plant": "viola"}]},
         []),
        ({"changes": [{"at": ["1", "1"], "plant": "coleus"}]},
         {"changes": [{"at": ["1", "1"], "plant": "viola"}]},
         {"changes": [{"at": ["1", "1"], "plant": "viola"}]},
         [(("changes",), None, [{"at": ["1", "1"], "plant": "coleus"}],
           [{"at": ["1", "1"], "plant": "viola"}])]),
    ],
)  # fmt: skip
def test_two_changes_put_together(
    theirs: Values, mine: Values, made: Values, clashes: list[Any]
) -> None:
    base: Values = {
        "place": {"town": "Galway"},
        "wishes": {"grow": ["a", "b"]},
        "surroundings": [{"kind": "tree", "height": "5 m"}],
        "bed": {"shape": "polygon", "corners": [["0", "0"], ["9", "0"], ["9", "9"]]},
    }
    found = merge(base, {**base, **theirs}, {**base, **mine})
    assert found.values == {**base, **made}
    assert [(one.path, one.base, one.theirs, one.mine) for one in found.clashes] == [
        (path, had or ([] if path == ("changes",) else had), other, own)
        for path, had, other, own in clashes
    ]


def test_each_difference_is_told_once(tmp_path: Path) -> None:
    theirs = {**SMALL, "title": "Theirs", "ground": {"dig_depth": "25 cm"}}
    mine = {**SMALL, "season": {"year": 2028}}
    found = merge(SMALL, theirs, mine).differences
    assert [(one.path, one.theirs, one.mine) for one in found] == [
        (("title",), "Theirs", SMALL["title"]),
        (("season", "year"), 2027, 2028),
        (("ground", "dig_depth"), "25 cm", None),
    ]


fields = st.dictionaries(st.sampled_from("uvwxyz"), scalars)


@given(fields, fields, fields)
def test_fields_clash_where_git_says_so(base: Values, theirs: Values, mine: Values) -> None:
    """By git merge-file, of texts with each field in a paragraph of its own."""
    texts = [text(one) for one in (mine, base, theirs)]
    found = merge(base, theirs, mine)
    done = merge_file(*texts)
    assert (done is None) == bool(found.clashes)
    if done is not None:
        assert done == text(found.values)


def text(brief: Values) -> str:
    return "".join(f"[{n}]\n\n\n{brief.get(n, '-')}\n\n\n/{n}\n\n\n" for n in "uvwxyz")


def merge_file(mine: str, base: str, theirs: str) -> str | None:
    """What git makes of three texts; None where they conflict."""
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        paths = []
        for name, body in (("mine", mine), ("base", base), ("theirs", theirs)):
            paths.append(Path(folder) / name)
            paths[-1].write_text(body)
        done = subprocess.run(["git", "merge-file", "-p", *paths], capture_output=True, text=True)
    assert done.returncode >= 0
    return None if done.returncode else done.stdout


@given(briefs, briefs, briefs)
def test_what_is_put_together_is_plain_values(base: Values, theirs: Values, mine: Values) -> None:
    before = json.dumps([base, theirs, mine])
    made = merge(base, theirs, mine).values
    assert json.loads(json.dumps(made)) == made
    assert "null" not in json.dumps(made)
    assert json.dumps([base, theirs, mine]) == before, "nothing given is changed"
