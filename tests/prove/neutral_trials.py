"""Many odd problems of the neutral form, planned and looked at by both checkers.

    python -m tests.prove.neutral_trials FIRST PAST [sound | odd]

A line for each that went wrong: what broke, what was left out of a problem of which all can be planned,
a sum that differs from the one stated, a search that took longer than it may.
"""

import faulthandler
import json
import sys
import time
import traceback
from collections.abc import Iterator

from jobs.planning.budget import Limits
from jobs.planning.checker import breaches
from jobs.planning.plan_files import write_plan
from jobs.planning.problem_files import read_problem, write_problem
from jobs.planning.search import search
from tests.jobs.planning.hostile_shops import Document, hostile_problem
from tests.jobs.planning.neutral_checker import objective, wrong

SECONDS, TOO_LONG, HANGS = 0.5, 4.0, 600.0
# What is said where the search did not come to an end by itself; each is looked into.
DOUBTFUL = ("was not made", "no order was found", "no way through")


def troubles(document: Document, sound: bool, limits: Limits) -> Iterator[str]:
    """All that is not as it has to be when this problem is planned."""
    problem = read_problem(json.loads(json.dumps(document)))
    began = time.process_time()
    found = search(problem, limits)
    took = time.process_time() - began
    if took > TOO_LONG:
        yield f"took {took:.1f} s"
    planned = found.planned or problem
    what, plan = write_problem(planned), json.loads(json.dumps(write_plan(found.plan)))
    told = {one["op"] for one in plan["assignments"]}
    wanted = {one["id"] for job in document["jobs"] for one in job["operations"] if one["status"] != "done"}
    if told != wanted and (sound or not found.faults):
        yield f"left out {sorted(wanted - told)}: {'; '.join(map(str, found.faults))}"
    for fault in found.faults:
        if any(words in str(fault) for words in DOUBTFUL):
            yield f"{'nothing' if not told else len(told)} planned of {len(wanted)}: {fault}"
    if told == wanted:
        what = document
    if told:
        yield from (f"ours: {one}" for one in breaches(planned, found.plan))
        yield from (f"second: {one}" for one in wrong(what, plan))
        if objective(what, plan) != found.objective:
            yield f"the sum is {objective(what, plan)} and {found.objective} is stated"


def main(first: int, past: int, kind: str) -> int:
    bad = 0
    for number in range(first, past):
        faulthandler.dump_traceback_later(HANGS, exit=True)
        try:
            document = hostile_problem(number, kind == "sound")
            wrongs = list(troubles(document, kind == "sound", Limits(seconds=SECONDS)))
        except Exception:
            wrongs = [traceback.format_exc()]
        bad += bool(wrongs)
        for one in wrongs[:3]:
            print(f"{number}: {one[:900]}", flush=True)
    print(f"{kind}: {past - first} problems, {bad} of them went wrong")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]), int(sys.argv[2]), sys.argv[3] if len(sys.argv) > 3 else "sound"))
