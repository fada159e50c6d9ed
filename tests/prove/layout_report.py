"""The long trial of layouts, and its report: `python -m tests.prove.layout_report [trials] [report]`."""

import random
import sys
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

from shop.engineering.layout.slip_kinds import Slip, Where
from shop.engineering.layout.slips import name_slip
from shop.engineering.layout.tapes import Tape
from tests.prove.layout_people import play, possible
from tests.prove.layout_trials import TAPES, Trial, layouts

SEED, EACH = 20261125, 10_000
RIGHT, WRONG, CLAIMED = 0.80, 0.01, 0.005


@dataclass
class Score:
    """How many slips there were, how many were named right or wrong; on how many good marks one was named."""

    of: Counter[Slip] = field(default_factory=Counter)
    named: Counter[Slip] = field(default_factory=Counter)
    misnamed: Counter[Slip] = field(default_factory=Counter)
    good: int = 0
    claimed: int = 0

    @property
    def trials(self) -> int:
        return self.of.total()

    @property
    def right(self) -> int:
        return self.named.total()

    @property
    def wrong(self) -> int:
        return self.misnamed.total()

    @property
    def holds(self) -> bool:
        shares = self.right / self.trials, self.wrong / self.trials, self.claimed / self.good
        return shares[0] >= RIGHT and shares[1] <= WRONG and shares[2] <= CLAIMED

    def add(self, other: "Score") -> None:
        self.of += other.of
        self.named += other.named
        self.misnamed += other.misnamed
        self.good += other.good
        self.claimed += other.claimed


def scored(*, seed: int, each: int) -> Score:
    """So many slips with each tape, and as many good marks."""
    total = Score()
    for tape in TAPES.values():
        total.add(scored_with(tape, seed=seed, trials=each))
    return total


def scored_with(tape: Tape, *, seed: int, trials: int) -> Score:
    """Slips drawn evenly from those that could be made with the layout in hand."""
    rng, score = random.Random(seed), Score()
    for trial in layouts(rng, tape):
        slip = rng.choice(possible(trial))
        if not play(rng, trial, slip):
            continue
        score.of[slip] += 1
        judge(score, trial, slip)
        good = Trial(trial.board, trial.plan, tape)
        play(rng, good, None)
        score.good += 1
        score.claimed += name(good) is not None
        if score.trials == trials:
            return score
    raise AssertionError("layouts never end")


def judge(score: Score, trial: Trial, slip: Slip) -> None:
    """Right is the slip with, where they are told, its datum and whether the mark is wrong or its reading."""
    found = name(trial)
    if found is None:
        return
    told_slip, told_datum, told_where = found
    is_read = trial.where == Where.READ
    right = (
        told_slip == slip
        and (told_datum in ("", trial.datum) or slip == Slip.HOOKED)
        and (told_where is None or (told_where == Where.READ) == is_read)
    )
    (score.named if right else score.misnamed)[slip] += 1


def name(trial: Trial) -> tuple[Slip, str, Where | None] | None:
    found = name_slip(trial.plan.mark, trial.plan.spans, trial.values, trial.board.datums, trial.tape)
    return (found.slip, found.datum, found.where) if found else None


def report(each: int) -> tuple[str, bool]:
    """The report, and whether it holds what is asked."""
    lines = [
        "The usual slip of a mark, named from its readings",
        "",
        f"{each} slips with each tape, one to a layout, drawn evenly from those that the layout allows;",
        f"as many good marks. Seed {SEED}. Asked, over all: named right from {RIGHT:.0%}, wrong up to",
        f"{WRONG:.0%}, on good marks up to {CLAIMED:.1%}. What is not named is told as “mark it again”.",
    ]
    total = Score()
    for name_of, tape in TAPES.items():
        score = scored_with(tape, seed=SEED, trials=each)
        total.add(score)
        lines += ["", *_table(f"tape {name_of}", score)]
    lines += ["", *_table("all tapes", total), "", "holds" if total.holds else "DOES NOT HOLD"]
    return "\n".join(lines) + "\n", total.holds


def _table(title: str, score: Score) -> list[str]:
    rows = [f"{title:<32}{'slips':>8}{'right':>9}{'wrong':>9}{'no name':>9}"]
    for slip in Slip:
        rows.append(
            _row(slip.value.replace("_", " "), score.of[slip], score.named[slip], score.misnamed[slip])
        )
    rows.append(_row("all", score.trials, score.right, score.wrong))
    rows.append(f"  {'good marks with a slip claimed':<30}{score.good:>8}{score.claimed / score.good:>9.2%}")
    return rows


def _row(name_of: str, of: int, right: int, wrong: int) -> str:
    of_some = max(of, 1)
    rest = of - right - wrong
    return f"  {name_of:<30}{of:>8}{right / of_some:>9.1%}{wrong / of_some:>9.2%}{rest / of_some:>9.1%}"


if __name__ == "__main__":
    text, holds = report(int(sys.argv[1]) if len(sys.argv) > 1 else EACH)
    if len(sys.argv) > 2:
        Path(sys.argv[2]).write_text(text, encoding="utf-8")
    sys.stdout.write(text)
    sys.exit(0 if holds else 1)
