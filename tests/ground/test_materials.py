"""Materials by the names that people use."""

from __future__ import annotations

import pytest

from bedwright.brief import BriefError, Stock
from bedwright.ground.materials import Pack, material_named, materials, pack_of
from conftest import brief_of


@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("peat moss", "peat"),
        ("Peat  Moss", "peat"),
        ("10-10-10", "complete fertiliser 10-10-10"),
        ("complete fertilizer 5-10-5", "complete fertiliser 5-10-5"),
        ("5-10-5 fertilizer", "complete fertiliser 5-10-5"),
        ("sulphate_of_potash", "potassium sulfate"),
        ("COMPOST", "compost"),
        ("blood meal", "dried blood"),
        ("leaf mold", "leaf mould"),
        ("sulphate of potash", "potassium sulfate"),
        ("coconut fiber", "coir"),
        ("dolomitic lime", "dolomitic limestone"),
    ],
)
def test_a_name_that_can_mean_one_material_only_is_taken(name: str, meant: str) -> None:
    found = material_named(name)
    assert found is not None
    assert found.name == meant
    pack = pack_of(Stock(material=name, pack="25 L"), "materials[1]")
    assert isinstance(pack, Pack)
    assert (pack.material, pack.label) == (materials()[meant], name)


def test_no_other_name_means_two_materials_or_is_one_itself() -> None:
    own = set(materials())
    for name in own:
        assert material_named(name) is materials()[name]
    assert material_named("") is None


@pytest.mark.parametrize(
    ("name", "offered"),
    [
        ("bone meal", ["steamed bone meal", "raw bone meal"]),
        ("lime", ["ground limestone", "dolomitic limestone", "hydrated lime"]),
        ("compst", ["compost"]),
        ("16-16-16", ["complete fertiliser 10-10-10", "analysis = '16-16-16'"]),
    ],
)
def test_a_name_that_may_mean_several_offers_them(name: str, offered: list[str]) -> None:
    with pytest.raises(BriefError) as caught:
        brief_of(materials=[{"material": name, "pack": "25 kg"}])
    (fault,) = caught.value.faults
    assert fault.field == "materials[1].material"
    for words in offered:
        assert words in fault.accepted
