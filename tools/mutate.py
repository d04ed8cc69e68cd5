"""How many small faults, put into chosen functions one at a time, the tests find.

Each mutant differs from the source in one place of its syntax tree: a comparison turned or moved
onto its neighbour, an operator exchanged, a whole number one up or down, another number by a tenth,
``and`` for ``or``, a condition denied, or None returned.  The tests named for the function run in a
forked process whose function has the mutant's code; a test that fails has found it, and so has one
that runs longer than 5 s of processor time.

Usage: ``script/mutate [FUNCTION ...]`` prints what survived and the score.
"""

from __future__ import annotations

import ast
import copy
import importlib
import inspect
import os
import resource
import sys
import textwrap
from collections.abc import Iterator
from pathlib import Path
from types import CodeType, FunctionType
from typing import NamedTuple

import pytest
from _pytest.runner import runtestprotocol

ROOT = Path(__file__).parents[1]
MOST_CPU_S = 5


class Target(NamedTuple):
    """A module, names of functions in it (``Class.method``), and the tests that are to find
    faults in them."""

    module: str
    functions: tuple[str, ...]
    tests: tuple[str, ...]


TARGETS = (
    Target(
        "bedwright.climate.frost",
        ("last_spring", "first_autumn", "usable", "FreezeOdds.share", "FreezeOdds.day_at",
         "FreezeOdds.fitted_day_at", "FreezeOdds.odds_at", "odds_of",
         "freeze_odds", "free_days", "freeze_free_days", "bootstrap_days", "bootstrap_sd",
         "bootstrap_range"),
        ("tests/climate/test_frost_edges.py", "tests/climate/test_frost.py"),
    ),
    Target(
        "bedwright.ground.blend",
        ("shortfalls", "solve_blend", "in_measures", "_Programme.__init__",
         "_Programme.spend_no_more_than", "_Programme._row", "_Programme.solve"),
        ("tests/ground/test_blend.py",
         "tests/ground/test_ground.py::test_a_hand_solved_blend",
         "tests/ground/test_ground.py::test_the_cap_on_nitrogen_holds_and_the_shortfall_is_named",
         "tests/ground/test_ground.py::test_rounding_takes_what_lies_nearest_and_still_meets_the"
         "_targets",
         "tests/outside/test_soil_tables.py::test_the_blend_is_as_cheap_as_another_solvers"),
    ),
    Target(
        "bedwright.planting.place.stagger",
        ("Placed.near", "Placed.spare_m", "Placed.clear", "fill_drift",
         "_off_the_edge", "_middle_of", "_away_from_neighbours", "top_up", "fill_line", "row_in",
         "_along", "_edge_angle", "_greedy"),
        ("tests/planting/test_stagger.py",),
    ),
    Target(
        "bedwright.work.raising.seeds",
        ("odds_enough", "seeds_needed", "seeds_a_spot"),
        ("tests/work/test_seeds.py",
         "tests/work/test_raising.py::test_the_count_is_enough_and_not_one_too_many",
         "tests/work/test_raising.py::test_sowing_spots"),
    ),
)  # fmt: skip

TURNED: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
}
EXCHANGED: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.FloorDiv,
    ast.Pow: ast.Mult,
    ast.BitAnd: ast.BitOr,
    ast.BitOr: ast.BitAnd,
}


def changes(node: ast.AST) -> Iterator[ast.AST]:
    """Every mutant of one node itself, not of what it holds."""
    if isinstance(node, ast.Compare):
        for n, op in enumerate(node.ops):
            for other in TURNED[type(op)]:
                ops = [*node.ops[:n], other(), *node.ops[n + 1 :]]
                yield ast.Compare(node.left, ops, node.comparators)
    elif isinstance(node, ast.BinOp) and type(node.op) in EXCHANGED:
        yield ast.BinOp(node.left, EXCHANGED[type(node.op)](), node.right)
    elif isinstance(node, ast.AugAssign) and type(node.op) in EXCHANGED:
        yield ast.AugAssign(node.target, EXCHANGED[type(node.op)](), node.value)
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub | ast.Not | ast.Invert):
        yield node.operand
    elif isinstance(node, ast.BoolOp):
        yield ast.BoolOp(ast.Or() if isinstance(node.op, ast.And) else ast.And(), node.values)
    elif isinstance(node, ast.Constant):
        yield from (ast.Constant(value) for value in other_values(node.value))
    elif isinstance(node, ast.Return) and node.value is not None and not is_none(node.value):
        yield ast.Return(ast.Constant(None))
    elif isinstance(node, ast.If | ast.While | ast.IfExp):
        denied = copy.copy(node)
        denied.test = ast.UnaryOp(ast.Not(), node.test)
        yield denied


def other_values(value: object) -> tuple[object, ...]:
    """What stands in for a constant."""
    if isinstance(value, bool):
        return (not value,)
    if isinstance(value, int):
        return value + 1, value - 1
    return (value * 1.1 + 0.01,) if isinstance(value, float) else ()


def is_none(node: ast.expr) -> bool:
    """Whether an expression is None, so that returning None changes nothing."""
    return isinstance(node, ast.Constant) and node.value is None


def spots(node: ast.AST) -> Iterator[tuple[ast.AST, str, int | None, ast.AST]]:
    """Every place in a function's body: the parent, its field, the number in a list, the child.

    Annotations, defaults and documentation are left alone.
    """
    for field, value in ast.iter_fields(node):
        if field in ("annotation", "returns", "args", "decorator_list", "type_params") and (
            not isinstance(node, ast.Call)
        ):
            continue
        many = value if isinstance(value, list) else [value]
        for n, child in enumerate(many):
            if isinstance(child, ast.Expr) and isinstance(child.value, ast.Constant):
                continue
            if isinstance(child, ast.AST):
                yield node, field, n if isinstance(value, list) else None, child
                yield from spots(child)


class Mutant(NamedTuple):
    """A changed function: its line in the source, what stands there now, and its code."""

    line: int
    words: str
    code: CodeType


def mutants(function: FunctionType) -> Iterator[Mutant]:
    """Every mutant of a function."""
    lines, first = inspect.getsourcelines(function)
    tree = ast.parse(textwrap.dedent("".join(lines)))
    for parent, field, n, child in list(spots(tree.body[0])):
        for changed in changes(child):
            ast.copy_location(changed, child)
            _put(parent, field, n, changed)
            whole = ast.fix_missing_locations(copy.deepcopy(tree))
            _put(parent, field, n, child)
            words = ast.unparse(changed).splitlines()[0]
            line = getattr(child, "lineno", 1) + first - 1
            yield Mutant(line, f"{ast.unparse(child).splitlines()[0]}  ->  {words}",
                         _code_in(compile(whole, "<mutant>", "exec"), function))  # fmt: skip


def _put(parent: ast.AST, field: str, n: int | None, child: ast.AST) -> None:
    if n is None:
        setattr(parent, field, child)
    else:
        getattr(parent, field)[n] = child


def _code_in(module: CodeType, function: FunctionType) -> CodeType:
    """The code of the one function that a module's code defines."""
    code = next(c for c in module.co_consts if isinstance(c, CodeType))
    assert code.co_freevars == function.__code__.co_freevars
    return code


def function_of(module: str, name: str) -> FunctionType:
    """A function, method or property by its name."""
    found: object = importlib.import_module(module)
    for part in name.split("."):
        found = inspect.getattr_static(found, part)
    if isinstance(found, property):
        found = found.fget
    assert isinstance(found, FunctionType), f"{module}.{name}"
    return found


def found_by(items: list[pytest.Item], function: FunctionType, code: CodeType) -> bool:
    """Whether one of the tests fails, in a forked process, once the function has other code."""
    child = os.fork()
    if child == 0:
        failed = True
        try:
            used = resource.getrusage(resource.RUSAGE_SELF)
            most = int(used.ru_utime + used.ru_stime) + MOST_CPU_S
            resource.setrlimit(resource.RLIMIT_CPU, (most, resource.RLIM_INFINITY))
            function.__code__ = code
            failed = not all(passes(item) for item in items)
        finally:
            os._exit(failed)
    _, ended = os.waitpid(child, 0)
    return ended != 0


def passes(item: pytest.Item) -> bool:
    """Whether a test passes."""
    return not any(report.failed for report in runtestprotocol(item, log=False, nextitem=None))


class Trial:
    """In place of pytest's own loop: every mutant of a target's functions before the tests that
    pytest collected; counts those made and found, and prints those that were not."""

    def __init__(self, target: Target, wanted: set[str]) -> None:
        self.target, self.made, self.found, self.failing = target, 0, 0, ""
        self.names = [name for name in target.functions if not wanted or name in wanted]

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Try every mutant."""
        for name in self.names:
            function = function_of(self.target.module, name)
            if found_by(session.items, function, function.__code__):
                self.failing = name
                break
            for mutant in mutants(function):
                self.made += 1
                if found_by(session.items, function, mutant.code):
                    self.found += 1
                else:
                    where = f"{self.target.module}.{name}:{mutant.line}"
                    print(f"  {where}: {mutant.words}", flush=True)
        return True


def tried(target: Target, wanted: set[str]) -> Trial:
    """A target's trial, carried out."""
    trial = Trial(target, wanted)
    if trial.names:
        options = ["-q", "-q", "-s", "-n", "0", "-p", "no:cacheprovider", "--no-header"]
        ended = pytest.main([*options, *target.tests], plugins=[trial])
        if trial.failing or not trial.made:
            raise SystemExit(
                f"{target.module}: the tests fail as it stands, {trial.failing} {ended}"
            )
        print(f"{target.module}: {trial.found} of {trial.made} found", flush=True)
    return trial


def main() -> None:
    """Try every target, or the functions named."""
    os.chdir(ROOT)
    trials = [tried(target, set(sys.argv[1:])) for target in TARGETS]
    made, found = sum(t.made for t in trials), sum(t.found for t in trials)
    if not made:
        raise SystemExit("no function of that name is mutated")
    print(f"{found} of {made} mutants found: {found / made:.0%}")


if __name__ == "__main__":
    main()
