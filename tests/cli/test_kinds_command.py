"""``bedwright kinds`` as its users run it."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
import typer.main
import typer.testing
from typer.testing import CliRunner

from bedwright.catalogue import Catalogue, Kind
from bedwright.cli import app

runner = CliRunner()


def run(*words: str) -> str:
    result = runner.invoke(app, ["kinds", *words])
    assert result.exit_code == 0, result.output
    return result.output


def listed(output: str, catalogue: Catalogue) -> set[str]:
    return {kind.key for kind in catalogue if f"  {kind.key} " in output}


def test_every_kind_is_listed(catalogue: Catalogue) -> None:
    output = run()
    assert listed(output, catalogue) == set(catalogue.kinds)
    assert output.startswith(f"{len(catalogue)} of {len(catalogue)} kinds")


@pytest.mark.parametrize(
    ("words", "keeps"),
    [
        (["--tender"], lambda k: k.hardiness == "tender"),
        (["--tender", "--hardy"], lambda k: k.hardiness in ("tender", "hardy")),
        (["--half-hardy"], lambda k: k.hardiness == "half_hardy"),
        (["--shade"], lambda k: k.liking.sun_min_h < 4),
        (["--dry"], lambda k: k.liking.moisture == "dry"),
        (["--cutting", "--drying"], lambda k: {"cutting", "drying"} <= set(k.uses.uses)),
        (["--height", "1 ft"], lambda k: k.form.height_m <= 0.3048),
        (["--edible"], lambda k: k.uses.edible != "no"),
        (["--pets"], lambda k: k.safety.dogs == k.safety.cats == "none_known"),
    ],
)
def test_filters_keep_what_they_say(catalogue: Catalogue, words: list[str], keeps) -> None:  # type: ignore[no-untyped-def]
    expected = {kind.key for kind in catalogue if keeps(kind)}
    assert 0 < len(expected) < len(catalogue)
    assert listed(run(*words), catalogue) == expected


def test_colours_are_found_by_word(catalogue: Catalogue) -> None:
    found = listed(run("--colour", "white"), catalogue)
    white = {k.key for k in catalogue if any("white" in form.name for form in k.colours)}
    assert white <= found < set(catalogue.kinds)


def test_what_may_harm_is_said() -> None:
    assert "None known is not none" in run("--pets")
    assert "grown without sprays" in run("--edible")


def test_every_kind_has_a_card_with_its_sources(
    catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Typer's runner would build the command line anew for each of all these cards.
    monkeypatch.setattr(typer.testing, "_get_command", cache(typer.main.get_command))
    for kind in catalogue:
        output = run(kind.key)
        assert kind.name in output
        assert kind.botanical in output
        _cites(kind, catalogue, output)


def _cites(kind: Kind, catalogue: Catalogue, output: str) -> None:
    flat = " ".join(output.split())
    for key in {key for _, joined in kind.sources for key in joined.split("+")}:
        assert key in flat
        if key in catalogue.bibliography:
            assert " ".join(catalogue.bibliography[key][0].split())[:30] in flat


def test_a_card_follows_the_units() -> None:
    assert "32 °F" in run("impatiens", "--units", "us")
    assert "0 °C" in run("Impatiens walleriana")


def test_how_well_sourced_it_is() -> None:
    output = run("--sources")
    assert "all figures" in output
    assert "dates, spacing, safety" in output
    assert "form.height_min_cm" in output


def test_own_kinds_are_listed_and_planned(tmp_path: Path) -> None:
    own = tmp_path / "mine.toml"
    own.write_text('[kind.lime_zinnia]\nlike = "tall_zinnia"\nname = "lime zinnia"\n')
    assert "lime_zinnia" in run("--own", str(own))
    assert "your own file" in run("lime zinnia", "--own", str(own))
    brief = tmp_path / "bed.toml"
    text = (
        'own_kinds = "mine.toml"\n[place]\nlatitude = 35\nlongitude = -83\n'
        '[bed]\nshape = "circle"\ndiameter = "2.5 m"\n[wishes]\ngrow = ["lime_zinnia"]\n'
    )
    brief.write_text(text)
    result = runner.invoke(app, ["plan", str(brief), "--out", str(tmp_path / "out")])
    assert result.exit_code == 0, result.output
    assert "lime zinnia" in (tmp_path / "out" / "plan.json").read_text()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["no such plant"], "KIND"),
        (["impatien"], "near it: impatiens"),
        (["--colour", "plaid"], "--colour"),
        (["--height", "30"], "--height"),
        (["--own", "nowhere.toml"], "nowhere.toml"),
    ],
)
def test_faults_are_told(words: list[str], told: str) -> None:
    result = runner.invoke(app, ["kinds", *words])
    assert result.exit_code == 2
    assert told in result.output


def test_a_faulty_own_file_stops_a_brief_and_is_told(tmp_path: Path) -> None:
    (tmp_path / "mine.toml").write_text("[kind.impatiens]\nspacing = 3\n")
    brief = tmp_path / "bed.toml"
    brief.write_text(
        'own_kinds = "mine.toml"\n[place]\nlatitude = 35\nlongitude = -83\n'
        '[bed]\nshape = "circle"\ndiameter = "2.5 m"\n'
    )
    result = runner.invoke(app, ["check", str(brief)])
    assert result.exit_code == 2
    assert "mine.toml kind.impatiens.spacing" in result.output
