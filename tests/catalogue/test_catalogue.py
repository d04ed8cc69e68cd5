from __future__ import annotations

from importlib.resources import files

import pytest

from bedwright.catalogue import Catalogue, CatalogueError, parse_catalogue, provenance
from bedwright.catalogue.load import disagreements, driving_shares
from bedwright.catalogue.tables import TABLES


def bodies() -> dict[str, str]:
    folder = files("bedwright.catalogue") / "data"
    return {n: (folder / f"{n}.csv").read_text() for n in ("kinds", *TABLES, "colours", "sources")}


def test_size_and_spread(catalogue: Catalogue) -> None:
    assert len(catalogue) >= 60
    for hardiness in ("hardy", "half_hardy", "tender"):
        assert sum(kind.hardiness == hardiness for kind in catalogue) >= 15
    assert sum(kind.liking.sun_min_h < 4 for kind in catalogue) >= 5
    assert len({kind.family for kind in catalogue}) >= 15
    assert all(kind.colours for kind in catalogue)


def test_every_figure_has_a_source_that_the_bibliography_knows(catalogue: Catalogue) -> None:
    for kind in catalogue:
        for column, joined in kind.sources:
            for key in joined.split("+"):
                known = key in ("memory", "estimate") or key in catalogue.bibliography
                assert known, (kind.key, column)
    shares = provenance(catalogue)
    assert sum(shares.values()) == pytest.approx(1)
    assert shares["sourced"] > 0.3
    assert driving_shares(catalogue)["sourced"] > 0.6


def test_every_bibliography_entry_is_used(catalogue: Catalogue) -> None:
    used = {key for kind in catalogue for _, joined in kind.sources for key in joined.split("+")}
    assert set(catalogue.bibliography) <= used


def test_no_kind_contradicts_itself(catalogue: Catalogue) -> None:
    assert {k.key: disagreements(k) for k in catalogue if disagreements(k)} == {}


def test_names_find_kinds(catalogue: Catalogue) -> None:
    for name in ("garden_cosmos", "Cosmos bipinnatus", "tall garden cosmos", "cosmea"):
        found = catalogue.find(name)
        assert found is not None
        assert found.key == "garden_cosmos"
    assert catalogue.find("triffid") is None
    assert "garden_cosmos" in catalogue.like("garden cosmo")


def test_a_name_that_several_kinds_have_offers_first_what_gardeners_mean(
    catalogue: Catalogue,
) -> None:
    for name in ("marigold", "Marigolds"):
        offered = catalogue.like(name)
        assert set(offered[:3]) == {"african_marigold", "french_marigold", "signet_marigold"}
        assert set(offered[3:]) == {"cape_marigold", "corn_marigold", "pot_marigold"}
    assert set(catalogue.like("salvia")) >= {"red_salvia", "mealycup_sage", "painted_sage"}
    assert catalogue.like("cornflour")[0] == "cornflower"
    assert catalogue.like("") == []


@pytest.mark.parametrize(("many", "one"), [("poppies", "poppy"), ("Daisies", "daisy")])
def test_plurals_in_ies_offer_what_the_singular_does(
    catalogue: Catalogue, many: str, one: str
) -> None:
    assert catalogue.like(many) == catalogue.like(one) != []


@pytest.mark.parametrize("letters", ["s", "o", "st"])
def test_a_letter_or_two_are_no_name(catalogue: Catalogue, letters: str) -> None:
    assert catalogue.like(letters) == []


def test_faults_name_table_line_and_column() -> None:
    broken = bodies()
    broken["form"] = broken["form"].replace(",upright,", ",sideways,", 1)
    broken["kinds"] = broken["kinds"].replace(",tender,", ",soft,", 1)
    with pytest.raises(CatalogueError) as caught:
        parse_catalogue(broken)
    text = str(caught.value)
    assert "form.csv line" in text
    assert "habit: given 'sideways'; accepted: one of mound, upright" in text
    assert "hardiness: given 'soft'" in text


def test_missing_rows_unknown_sources_and_wrong_headings_are_faults() -> None:
    broken = bodies()
    broken["uses"] = "\n".join(broken["uses"].splitlines()[:-1]) + "\n"
    broken["safety"] = broken["safety"].replace("key,people", "key,folk", 1)
    broken["growth"] = broken["growth"].replace("memory", "hearsay", 1)
    with pytest.raises(CatalogueError) as caught:
        parse_catalogue(broken)
    text = str(caught.value)
    assert "safety.csv line 1: columns key,folk" in text
    assert "uses.csv: no row for" in text


def test_a_source_that_nobody_wrote_down_is_a_fault() -> None:
    broken = bodies()
    broken["growth"] = broken["growth"].replace(",memory", ",hearsay", 1)
    with pytest.raises(CatalogueError, match=r"source 'hearsay' is not in sources\.csv"):
        parse_catalogue(broken)


def test_every_list_of_weeds_has_a_name(catalogue: Catalogue) -> None:
    for kind in catalogue:
        assert not set(kind.safety.weed_in) & set(kind.safety.invasive), kind.key
