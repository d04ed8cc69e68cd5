"""What the ground states, in words."""

from __future__ import annotations

from datetime import date

import pytest

from bedwright import geometry, ground
from bedwright.brief import Stock
from bedwright.facts import Fact
from bedwright.geometry import outline_of
from bedwright.ground import Ground, Pack, make_ground, packs_of
from bedwright.ground.materials import Bounds, pack_of
from bedwright.report import fault_of, label_words, say, sentences
from bedwright.report.ground_words import accepted
from bedwright.units import System
from conftest import brief_of

BASES = (geometry.Misfit, ground.Unread)


def facts_of(*modules: object) -> list[type[Fact]]:
    """The fact classes that modules show, without the bases."""
    found = {cls for module in modules for cls in vars(module).values()
             if isinstance(cls, type) and issubclass(cls, Fact)}  # fmt: skip
    return sorted(found - {Fact, *BASES}, key=lambda cls: cls.__name__)


@pytest.mark.parametrize("fact", facts_of(ground, geometry), ids=lambda fact: fact.__name__)
def test_every_fact_has_words(fact: type[Fact]) -> None:
    assert say.dispatch(fact) is not say.dispatch(object)
    if issubclass(fact, BASES):
        assert accepted.dispatch(fact) is not accepted.dispatch(object)


@pytest.mark.parametrize(
    ("fact", "units", "words"),
    [
        (ground.Shortfall("phosphate", 5.0, 10.0), "metric",
         "the feed brings too little phosphate (P₂O₅): 5 g/m² less than the 10 g/m² wanted"),
        (ground.SmallForCutter(8.0, 46.0, 0, 365), "metric",
         "a cover takes about a year, and there is no time before digging; renting a cutter pays"
         " from about 46 m²"),
        (ground.SmallForCutter(8.0, 46.45, 1, 365), "us",
         "a cover takes about a year, and there is 1 day before digging; renting a cutter pays from"
         " about 500 sq ft"),
        (ground.LargeForSpade(990.0, 20, 365), "metric",
         "a cover takes about a year, and there are 20 days before digging; over so large a bed it"
         " saves about 16 hours of spade work"),
        (ground.NotEnoughToFill(0.0254), "us",
         "there is not enough to fill the bed: it stays 1 in below the height wanted"),
        (ground.TooRich(0.181, 0.15), "metric",
         "the fill is so rich in organic matter (18% in all; up to 15% lasts) that the bed will"
         " sink within the year"),
        (ground.FillRotsAway(0.75, 1 / 3), "metric",
         "75% of the fill is organic material, which rots away: expect it to sink by about 33% of"
         " its height in a year, and top it up"),
        (ground.LimeRaisesPh(5.4, 6.3, ground.ByBuffer(6.2, "SMP")), "metric",
         "pH 5.4 is too acid for most annuals: lime raises it toward 6.3. The amount is worked out"
         " by the soil's pH of 6.2 in the SMP buffer"),
        (ground.LimedLately(5.0, date(2026, 8, 1), 365), "metric",
         "pH 5 is too acid for most annuals, but lime was spread on 1 August 2026, less than a year"
         " before: it is still at work, so add none and test again"),
        (ground.OnlyPartToBeHad(ground.PackNamed("leaf mould", "1 kg"), 0.254,
                                (ground.PackNamed("my lime", "2 kg"),)), "us",
         "of leaf mold (1 kg) only 25.4% of what is needed can be had: test again before you add"
         " more; the rest may come from my lime (2 kg)"),
    ],
)  # fmt: skip
def test_facts_in_words(fact: Fact, units: System, words: str) -> None:
    assert say(fact, units) == words


def test_names_of_the_registry_are_spelled_as_the_brief_wants_and_ones_own_stay() -> None:
    assert label_words("complete fertiliser 5-10-5", "us") == "complete fertilizer 5-10-5"
    assert label_words("complete fertiliser 5-10-5", "metric") == "complete fertiliser 5-10-5"
    assert label_words("the shed's fertiliser", "us") == "the shed's fertiliser"


def test_sentences_begin_with_a_capital_but_for_ph() -> None:
    facts = (ground.PhSuits(6.2, 5.8, 7.2), ground.MuchLime(2000.0, 1200.0))
    assert sentences(facts, "metric") == (
        "pH 6.2 suits most annuals (5.8 to 7.2): nothing to do. So much lime is unusual: ask the"
        " soil laboratory first."
    )


@pytest.mark.parametrize(
    ("entry", "fact"),
    [
        ({"material": "compst"},
         ground.NoSuchMaterial("m.material", "compst", ("compost", "composted bark"))),
        ({"material": "urea", "pack": "a sack"}, ground.NoPackSize("m.pack", "a sack")),
        ({"material": "urea", "pack": "60 t"},
         ground.PackOutOfBounds("m.pack", "60 t", Bounds(1e-5, 50.0), Bounds(1e-3, 5e4))),
        ({"material": "urea", "analysis": "46"}, ground.NoAnalysis("m.analysis", "46")),
        ({"material": "urea", "analysis": "90-20-0"}, ground.NoAnalysis("m.analysis", "90-20-0")),
        ({"material": "compost", "analysis": "1-1-1"},
         ground.AnalysisOfNoFertiliser("m.analysis", "1-1-1", "compost")),
    ],
)  # fmt: skip
def test_what_is_wrong_with_a_material_is_a_fact(entry: dict[str, str], fact: Fact) -> None:
    assert pack_of(Stock(**{"pack": "1 kg", **entry}), "m") == [fact]


def test_faults_of_materials_name_field_given_and_accepted() -> None:
    size = ground.PackOutOfBounds("m.pack", "60 t", Bounds(1e-5, 50.0), Bounds(1e-3, 5e4))
    fault = fault_of(size)
    assert (fault.field, fault.given) == ("m.pack", "'60 t'")
    assert fault.accepted == "10 mL to 50 m³, or 1 g to 50 t"


def made(units: System, **tables: object) -> Ground:
    brief = brief_of(units=units, **tables)
    packs, wrong = packs_of(brief.materials)
    assert not wrong
    return make_ground(outline_of(brief.bed), brief, packs, date(2027, 3, 1))


def test_bags_that_nobody_named_are_of_sizes_that_shops_have() -> None:
    """Litres with metric units, cubic feet with American ones; about as much of each."""
    metric, us = (made(units, ground={"raise_by": "5 cm"}).refill for units in ("metric", "us"))
    assert {layer.pack for layer in metric.layers} == {"50 L", "25 L"}
    assert {layer.pack for layer in us.layers} == {"2 cu ft", "0.75 cu ft"}
    assert us.reached_m3 == pytest.approx(metric.reached_m3, rel=0.1)


def test_a_pack_is_named_as_the_gardener_wrote_it() -> None:
    (pack,), _ = packs_of(brief_of(materials=[{"material": "compost", "pack": "1 m3"}]).materials)
    assert isinstance(pack, Pack)
    assert pack.as_written == "1 m³"
