"""Every fact that a stage can state has words."""

from __future__ import annotations

import importlib
import pkgutil

import bedwright
from bedwright.facts import Fact
from bedwright.report.say import say


def facts_of(base: type[Fact]) -> set[type[Fact]]:
    return {found for sub in base.__subclasses__() for found in {sub, *facts_of(sub)}}


def test_every_fact_has_words() -> None:
    for module in pkgutil.walk_packages(bedwright.__path__, "bedwright."):
        if not module.name.endswith("__main__"):
            importlib.import_module(module.name)
    bare = say.dispatch(object)
    silent = {fact for fact in facts_of(Fact) if say.dispatch(fact) is bare}
    leaves = {fact for fact in silent if not fact.__subclasses__()}
    assert {fact.__name__ for fact in leaves if fact.__module__.startswith("bedwright")} == set()


def test_a_facts_code_is_its_name() -> None:
    class TooLittleBloom(Fact):
        pass

    assert TooLittleBloom().code == "too_little_bloom"
