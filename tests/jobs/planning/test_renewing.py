"""A certificate that runs out before the work of the whole shop can be done."""

import datetime as dt

from jobs.planning.problem import Certificate
from jobs.planning.search import repair, search
from tests.jobs.planning.small_shop import LIMITS, at, job, operation, person, shop

JUDGES = [job(f"J{n}", operation(f"{n}a", 480, skill="judge")) for n in range(1, 7)]


def _judge(until: dt.date) -> tuple[Certificate, ...]:
    return (Certificate("judge", None, until),)


def test_the_last_certificate_is_taken_as_renewed_and_that_is_told() -> None:
    ann, bob = (
        person("ann", certificates=_judge(at(3).date())),
        person("bob", certificates=_judge(at(2).date())),
    )
    problem = shop(*JUDGES, people=(ann, bob))
    found = search(problem, LIMITS)
    assert {one.op for one in found.plan.assignments} == {one.id for one in problem.operations()}
    words = [str(one) for one in found.faults if "runs out" in one.what]
    day = at(3)
    assert words == [
        f"ann: the last certificate for “judge” runs out on {day.day} {day:%b %Y}; planned as if renewed. "
        "Have it renewed before, or qualify somebody else"
    ]
    late = [one.person for one in found.plan.assignments if one.end.date() > at(3).date()]
    assert late
    assert set(late) == {"ann"}
    assert repair(problem).plan.assignments


def test_where_all_fits_before_it_runs_out_nothing_is_said() -> None:
    ann = person("ann", certificates=_judge(at(6).date()))
    found = search(shop(JUDGES[0], people=(ann,)), LIMITS)
    assert found.faults == ()


def test_one_that_has_run_out_stays_so() -> None:
    ann = person("ann", "fab", certificates=_judge(at(1).date()))
    found = search(shop(JUDGES[0], people=(ann,)), LIMITS)
    assert found.plan.assignments == ()
    assert not any("as if renewed" in one.what for one in found.faults)
