"""A gardener's own file of kinds."""

from __future__ import annotations

import pytest

from bedwright.brief import BriefError
from bedwright.catalogue import Catalogue, provenance, with_own
from fuzz.own_kinds import mutated_own_kinds

LIME = """
[kind.lime_zinnia]
like = "tall_zinnia"
name = "lime zinnia"
height_max_cm = 90
colours = [["lime", "#c8d860"]]
"""


def test_a_new_kind_is_like_another_but_for_what_is_said(catalogue: Catalogue) -> None:
    grown = with_own(catalogue, LIME)
    lime, tall = grown.kinds["lime_zinnia"], catalogue.kinds["tall_zinnia"]
    assert len(grown) == len(catalogue) + 1
    assert grown.find("lime zinnia") is lime
    assert (lime.form.height_max_cm, lime.form.height_min_cm) == (90, tall.form.height_min_cm)
    assert [form.name for form in lime.colours] == ["lime"]
    assert lime.sowing == tall.sowing
    said = {column for column, key in lime.sources if key == "own"}
    assert said == {"kinds.name", "form.height_max_cm", "colours.name"}


def test_a_new_kind_has_a_name_of_its_own(catalogue: Catalogue) -> None:
    with pytest.raises(BriefError) as raised:
        with_own(catalogue, LIME.replace('name = "lime zinnia"', ""))
    (fault,) = raised.value.faults
    assert (fault.field, fault.given) == ("kind.lime_zinnia.name", "nothing")
    assert "tall zinnia" in fault.accepted
    with_own(catalogue, '[kind.tall_zinnia]\nlike = "petunia"\n')  # a kind that has its own


def test_a_kind_of_the_catalogue_is_changed_where_it_is_said(catalogue: Catalogue) -> None:
    changed = with_own(catalogue, "[kind.impatiens]\ngermination = 0.7\nsoils = ['loam']\n")
    assert list(changed.kinds) == list(catalogue.kinds)
    kind = changed.kinds["impatiens"]
    assert (kind.sowing.germination, kind.liking.soils) == (0.7, ("loam",))
    assert kind.form == catalogue.kinds["impatiens"].form
    assert catalogue.kinds["impatiens"].sowing.germination != 0.7
    assert sum(provenance(changed).values()) == pytest.approx(1)


def test_every_kind_written_in_full_is_read_back_the_same(catalogue: Catalogue) -> None:
    from bedwright.catalogue.own import FIELD_OF, HEAD
    from bedwright.catalogue.tables import TABLES

    for kind in list(catalogue)[::9]:
        lines = [f"[kind.new_{kind.key}]"]
        values = {column: getattr(kind, column) for column in HEAD}
        for name, (_, part) in TABLES.items():
            values |= {c: getattr(getattr(kind, FIELD_OF.get(name, name)), c) for c in part}
        lines += [f"{column} = {_toml(value)}" for column, value in values.items()]
        pairs = ", ".join(f'["{f.name}", "{f.srgb}"]' for f in kind.colours)
        made = with_own(catalogue, "\n".join([*lines, f"colours = [{pairs}]"]))
        new = made.kinds[f"new_{kind.key}"]
        for part in ("form", "liking", "sowing", "growth", "uses", "safety"):
            assert getattr(new, part) == getattr(kind, part)
        assert new.colours == kind.colours
        assert {key for _, key in new.sources} == {"own"}


def _toml(value: object) -> str:
    if isinstance(value, tuple):
        return f"[{', '.join(_toml(part) for part in value)}]"
    if isinstance(value, bool):
        return str(value).lower()
    return repr(value) if isinstance(value, (int, float)) else f'"{value}"'


@pytest.mark.parametrize(
    ("text", "field", "accepted"),
    [
        ("[kind.impatiens", "file", "TOML"),
        ("[sort.impatiens]\n", "sort", "[kind.KEY]"),
        ("kind = 3", "kind", "[kind.KEY]"),
        ("[kind]\nimpatiens = 3", "kind.impatiens", "a table"),
        ("[kind.impatiens]\nspacing = 3\n", "kind.impatiens.spacing", "spacing_cm"),
        ("[kind.impatiens]\nspacing_cm = 'wide'\n", "kind.impatiens.spacing_cm", "number"),
        ("[kind.impatiens]\nhardiness = 'frail'\n", "kind.impatiens.hardiness", "tender"),
        ("[kind.impatiens]\nheight_min_cm = 90\n", "kind.impatiens", "all be true"),
        ("[kind.impatiens]\ncolours = ['red']\n", "kind.impatiens.colours[1]", "a name and"),
        ("[kind.mine]\nlike = 'tall_zinia'\n", "kind.mine.like", "tall_zinnia"),
        ("[kind.mine]\nname = 'mine'\n", "kind.mine.botanical", "like ="),
        ("[kind.'my own']\nlike = 'impatiens'\n", "kind.my own", "letters"),
    ],
)
def test_faults_name_what_was_given_and_what_is_accepted(
    catalogue: Catalogue, text: str, field: str, accepted: str
) -> None:
    with pytest.raises(BriefError) as caught:
        with_own(catalogue, text)
    by_field = {fault.field: fault for fault in caught.value.faults}
    assert field in by_field
    assert accepted in by_field[field].accepted


def test_all_faults_come_at_once(catalogue: Catalogue) -> None:
    text = "[kind.impatiens]\nspacing_cm = 'wide'\nfrost = 2\n[kind.mine]\nlike = 'nothing'\n"
    with pytest.raises(BriefError) as caught:
        with_own(catalogue, text)
    assert len(caught.value.faults) == 3
    assert str(caught.value).count("given") == 3


@pytest.mark.parametrize(
    ("text", "field", "accepted"),
    [
        ("kind = [1]", "kind", "[kind.KEY]"),
        ("[[kind]]\nname = 'mine'\n", "kind", "[kind.KEY]"),
        ("[kind.impatiens]\ncolours = 5\n", "kind.impatiens.colours", "a list of 1 to 40"),
        ("[kind.impatiens]\ncolours = []\n", "kind.impatiens.colours", "a list of 1 to 40"),
        ("[kind.impatiens]\ncolours = 'red'\n", "kind.impatiens.colours", "a list of 1 to 40"),
        ("[kind.impatiens]\ncolours = [5]\n", "kind.impatiens.colours[1]", "a name and a colour"),
        ("[kind.impatiens]\ncolours = [[1, 2, 3]]\n", "kind.impatiens.colours[1]", "a name and"),
        ("[kind.impatiens]\ncolours = [[1, 2]]\n", "kind.impatiens.colours[1]", "a name and"),
        (
            "[kind.impatiens]\ncolours = [['a\\u202e', '#ffffff']]\n".replace("'", '"'),
            "kind.impatiens.colours[1]",
            "a name and",
        ),
        (
            "[kind.impatiens]\ncolours = [['a', '#ffffff'], ['a', '#fffff0']]\n",
            "kind.impatiens.colours[2]",
            "each name once",
        ),
        ("[kind.mine]\nlike = {}\n", "kind.mine.like", "a key of the catalogue"),
        ("[kind.mine]\nlike = ['impatiens']\n", "kind.mine.like", "a key of the catalogue"),
        ("[kind.impatiens]\nname = {}\n", "kind.impatiens.name", "text in quotes"),
        ("[kind.impatiens]\nname = [1]\n", "kind.impatiens.name", "words in quotes"),
        ("[kind.impatiens]\nname = 2027-01-01\n", "kind.impatiens.name", "text in quotes"),
        ('[kind.impatiens]\nname = "a\\u0001b"\n', "kind.impatiens.name", "on one line"),
        ('[kind.impatiens]\nname = "a\\u202eb"\n', "kind.impatiens.name", "on one line"),
        ('[kind.impatiens]\nedible_note = "a\\uFFFEb"\n', "kind.impatiens.edible_note", "one line"),
        (f"[kind.impatiens]\nname = '{'x' * 61}'\n", "kind.impatiens.name", "up to 60 letters"),
        ("[kind.impatiens]\nspacing_cm = nan\n", "kind.impatiens.spacing_cm", "a number from"),
        ("[kind.impatiens]\nspacing_cm = inf\n", "kind.impatiens.spacing_cm", "a number from"),
        (
            f"[kind.impatiens]\nspacing_cm = 0x{'f' * 5000}\n",
            "kind.impatiens.spacing_cm",
            "a number from",
        ),
        (f"[kind.impatiens]\nspacing_cm = {'9' * 5000}\n", "file", "numbers of a garden"),
        (f"a = {'[' * 9000}", "file", "TOML"),
        (f"{'a.' * 60}b = 1", "file", "fewer than 50 parts"),
        (f"[kind.{'k' * 61}]\nlike = 'impatiens'\n", f"kind.{'k' * 61}", "60 at most"),
        ("\n".join(f"[kind.k{n}]" for n in range(201)), "kind", "at most 200 kinds"),
    ],
)
def test_wrong_sorts_of_value_and_unprintable_text_are_faults(
    catalogue: Catalogue, text: str, field: str, accepted: str
) -> None:
    with pytest.raises(BriefError) as caught:
        with_own(catalogue, text)
    by_field = {fault.field: fault for fault in caught.value.faults}
    assert field in by_field, by_field
    assert accepted in by_field[field].accepted
    assert all(line.isprintable() for line in str(caught.value).split("\n"))


def test_many_faults_of_one_sort_are_counted(catalogue: Catalogue) -> None:
    columns = "\n".join(f"nonsense{n} = 1" for n in range(3000))
    with pytest.raises(BriefError) as caught:
        with_own(catalogue, f"[kind.impatiens]\n{columns}\nspacing_cm = 'wide'\n")
    faults = caught.value.faults
    assert len(faults) == 7
    assert "2,994 more of the same sort" in faults[5].given
    assert faults[6].field == "kind.impatiens.spacing_cm"


def test_random_files_are_read_or_answered_with_faults(catalogue: Catalogue) -> None:
    faults = []
    for seed in range(150):
        try:
            with_own(catalogue, mutated_own_kinds(seed))
        except BriefError as error:
            faults.append(str(error))
    assert 15 < len(faults) < 135
    assert all(line.isprintable() for text in faults for line in text.split("\n"))
