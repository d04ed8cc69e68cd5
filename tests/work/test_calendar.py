from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from bedwright.brief import Dates, Span
from bedwright.catalogue import Catalogue
from bedwright.plan import Plan, make_plan
from bedwright.report.soil import soil_parts
from bedwright.work.calendar import LOCATE_DAYS, Task, make_diary
from conftest import brief_of, weather_at


def tasks_of(plan: Plan) -> dict[str, Task]:
    return {task.key: task for task in plan.diary.tasks}


def test_tasks_are_in_order_and_inside_their_windows(example: Plan) -> None:
    tasks = example.diary.tasks
    assert [t.best for t in tasks] == sorted(t.best for t in tasks)
    assert len({t.key for t in tasks}) == len(tasks)
    for task in tasks:
        assert task.earliest <= task.best <= task.latest, task
        assert task.title
        assert task.reason


def test_the_job_comes_in_its_order(example: Plan) -> None:
    tasks = tasks_of(example)
    day = example.season.day
    assert tasks["locate"].best <= day(example.dig) - timedelta(days=LOCATE_DAYS)
    assert tasks["order"].best < tasks["mark-out"].best < tasks["dig"].best < tasks["water-in"].best
    out = [t.best for k, t in tasks.items() if k.startswith(("set-out", "place-"))]
    assert min(out) >= day(example.ready)
    for letter in (row.letter for row in example.raising.indoor):
        assert tasks["seed-order"].best < tasks[f"sow-{letter}"].best


def test_every_item_is_sown_set_out_and_seen_in_flower(example: Plan) -> None:
    seen = {letter for t in example.diary.tasks for letter in t.letters}
    assert seen >= {i.letter for i in example.planting.items}


def test_no_task_falls_on_a_day_away_when_it_can_be_helped(oval: Plan) -> None:
    assert oval.brief.dates.away
    for task in oval.diary.tasks:
        if task.watch:
            continue
        for span in oval.brief.dates.away:
            stuck = span.start <= task.earliest and task.latest <= span.end
            assert stuck or not span.start <= task.best <= span.end
    show = tasks_of(oval)["show"]
    assert show.best == date(2027, 7, 4)
    assert f"of {len(oval.planting.items)} kinds" in show.title


def test_a_task_that_cannot_be_moved_is_told(oval: Plan) -> None:
    away = Span(start=date(2027, 1, 1), end=date(2027, 12, 31))
    brief = oval.brief.model_copy(update={"dates": Dates(away=(away,))})
    diary = make_diary(
        brief, oval.season, oval.dig, oval.ready, oval.ground, oval.planting, oval.raising
    )
    assert len(diary.clashes) > 20
    assert "while you are away" in diary.clashes[0]


def test_an_untested_soil_is_sent_to_a_laboratory(catalogue: Catalogue) -> None:
    plan = make_plan(brief_of(), catalogue=catalogue, weather=weather_at(53.27, -9.05))
    assert "soil-test" in tasks_of(plan)
    tested = make_plan(
        brief_of(ground={"test": {"ph": 4.2}, "texture": "clay"}),
        catalogue=catalogue,
        weather=weather_at(53.27, -9.05),
    )
    assert "soil-test" not in tasks_of(tested)
    assert "ph-2" in tasks_of(tested)


def test_a_frostless_place_has_no_frost_watch(catalogue: Catalogue) -> None:
    plan = make_plan(brief_of(), catalogue=catalogue, weather=weather_at(1.35, 103.82))
    assert "frost-watch" not in tasks_of(plan)
    assert replace(plan).diary.tasks


def test_an_absence_moves_the_digging_and_all_that_hangs_on_it(
    catalogue: Catalogue, oval: Plan
) -> None:
    away = [{"start": oval.season.day(oval.dig), "end": oval.season.day(oval.dig + 20)}]
    brief = brief_of(dates={"begin": oval.season.day(oval.dig), "away": away})
    plan = make_plan(brief, catalogue=catalogue, weather=weather_at(53.27, -9.05))
    assert plan.season.day(plan.dig) > away[0]["end"]
    tasks = tasks_of(plan)
    assert tasks["dig"].best < tasks["water-in"].best
    assert plan.ready == plan.dig + plan.ground.settle_days


def test_smothering_begins_a_year_before(catalogue: Catalogue) -> None:
    brief = brief_of(ground={"clear_by": "smother"})
    plan = make_plan(brief, catalogue=catalogue, weather=weather_at(53.27, -9.05))
    assert (plan.season.day(plan.dig) - tasks_of(plan)["smother"].best).days == 365
    assert any("smothering takes about a year" in str(note) for note in plan.notes)


def test_sowing_in_place_says_what_decided_it_and_the_odds_it_runs(example: Plan) -> None:
    tasks = tasks_of(example)
    courses = {i.letter: i.candidate.course for i in example.planting.items}
    for row in example.raising.in_place:
        reason = tasks[f"place-{row.letter}"].reason
        assert f"Decided by {courses[row.letter].decided_by}." in reason
        assert f"odds of {courses[row.letter].risk:.0%}" in reason


def test_potting_on_speaks_of_what_the_plants_stand_in(oval: Plan) -> None:
    rows = [replace(row, pot_on=row.harden - 14) for row in oval.raising.indoor]
    raising = replace(oval.raising, indoor=tuple(rows))
    for container, word in (("tray", "cell"), ("soil block", "block")):
        indoors = oval.brief.indoors.model_copy(update={"container": container})
        brief = oval.brief.model_copy(update={"indoors": indoors})
        diary = make_diary(brief, oval.season, oval.dig, oval.ready, oval.ground, oval.planting,
                           raising)  # fmt: skip
        said = {t.reason for t in diary.tasks if t.key.startswith("pot-")}
        assert said == {f"When roots show at the edge of the {word}."}


def test_side_dressing_falls_in_the_weeks_that_the_soil_sheet_gives(example: Plan) -> None:
    """Four to six weeks after planting (Kansas State Research and Extension, Sidedressing Annual
    Flowers, read in copies)."""
    task = tasks_of(example)["side-dress"]
    out = example.season.day(max(i.candidate.course.out for i in example.planting.items))
    assert (task.earliest - out, task.latest - out) == (timedelta(weeks=4), timedelta(weeks=6))
    notes = " ".join(line.working for part in soil_parts(example) for line in part.lines)
    assert "four to six weeks after planting" in notes
