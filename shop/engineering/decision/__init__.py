"""Decisions: the names that the rest of the application uses."""

from shop.engineering.decision.agreement import (
    AgreementDecision,
    CountDecision,
    decide_agreement,
    decide_exact,
)
from shop.engineering.decision.capability import Capability, can_prove, can_prove_equal
from shop.engineering.decision.judging import Decision, decide
from shop.engineering.decision.normal import conformance_probability
from shop.engineering.decision.pairs import PairDecision, decide_pair, equal_thresholds, worst
from shop.engineering.decision.rules import (
    EXPANDED_UNCERTAINTY,
    ISO_14253_95,
    RULES,
    SIMPLE_ACCEPTANCE,
    Rule,
    rule_named,
)
from shop.engineering.decision.thresholds import Thresholds, Verdict, thresholds
from shop.engineering.decision.uncertainty import InstrumentData, parse_permissible
from shop.engineering.errors import DecisionError

__all__ = [
    "EXPANDED_UNCERTAINTY",
    "ISO_14253_95",
    "RULES",
    "SIMPLE_ACCEPTANCE",
    "AgreementDecision",
    "Capability",
    "CountDecision",
    "Decision",
    "DecisionError",
    "InstrumentData",
    "PairDecision",
    "Rule",
    "Thresholds",
    "Verdict",
    "can_prove",
    "can_prove_equal",
    "conformance_probability",
    "decide",
    "decide_agreement",
    "decide_exact",
    "decide_pair",
    "equal_thresholds",
    "parse_permissible",
    "rule_named",
    "thresholds",
    "worst",
]
