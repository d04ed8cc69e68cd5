"""A gardener's own file of kinds."""

from __future__ import annotations

import pytest

from bedwright.brief import BriefError
from bedwright.catalogue import Catalogue, provenance, with_own

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
