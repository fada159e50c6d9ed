"""A plan as a JSON document `shop-plan/1`, out and in; errors are told all at once, each with its path."""

import datetime as dt
from typing import Any

from jobs.planning.plan import Assignment, JobFinish, Plan
from jobs.planning.problem_files import moment
from jobs.planning.reading import Node, read_whole

SCHEMA = "shop-plan/1"


def read_plan(document: Any) -> Plan:
    """The plan that the document says.

    Raises:
        UnreadableError: with all that is wrong.
    """
    return read_whole(document, SCHEMA, _plan)


def _plan(root: Node) -> Plan:
    return Plan(
        instance=root.at("instance").text(),
        assignments=tuple(_assignment(one) for one in root.at("assignments").items()),
        jobs=tuple(_finish(one) for one in root.at("jobs").items()),
        frozen_from=root.at("frozen_from").optional_text(),
    )


def _assignment(node: Node) -> Assignment:
    return Assignment(
        op=node.at("op").text(),
        person=node.at("person").optional_text(),
        bay=node.at("bay").optional_text(),
        start=node.at("start").moment(),
        end=node.at("end").moment(),
        others=node.at("others").texts(),
    )


def _finish(node: Node) -> JobFinish:
    return JobFinish(
        job=node.at("job").text(),
        finish=node.at("finish").moment(),
        tardy_minutes=node.at("tardy_minutes").whole(),
        p50=node.at("p50").optional_moment(),
        p80=node.at("p80").optional_moment(),
    )


def write_plan(plan: Plan) -> dict[str, Any]:
    """The plan as a document of the neutral form."""
    told: dict[str, Any] = {
        "schema": SCHEMA,
        "instance": plan.instance,
        "assignments": [_assignment_out(one) for one in plan.assignments],
        "jobs": [_finish_out(one) for one in plan.jobs],
    }
    return told | ({"frozen_from": plan.frozen_from} if plan.frozen_from else {})


def _assignment_out(one: Assignment) -> dict[str, Any]:
    told: dict[str, Any] = {
        "op": one.op,
        "person": one.person,
        "bay": one.bay,
        "start": moment(one.start),
        "end": moment(one.end),
    }
    return told | ({"others": list(one.others)} if one.others else {})


def _finish_out(one: JobFinish) -> dict[str, Any]:
    told: dict[str, Any] = {
        "job": one.job,
        "finish": moment(one.finish),
        "tardy_minutes": one.tardy_minutes,
    }
    forecast: dict[str, dt.datetime | None] = {"p50": one.p50, "p80": one.p80}
    return told | {name: moment(at) for name, at in forecast.items() if at}
