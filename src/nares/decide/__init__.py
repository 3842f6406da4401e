"""Ring 1: what to do next with a dog, from its reps. Programme, step call, hold model, asks, decision.

scipy is imported only where a hold with breaks is fitted.
"""

from nares.decide.calling.characteristics import (
    Characteristics,
    characteristics_of,
    ladder_risk,
    operating_characteristics,
    risk_for_ladder,
    uneven_characteristics,
)
from nares.decide.calling.lines import StepLines, step_lines, wald_lines
from nares.decide.calling.step import StepCall, step_call
from nares.decide.decision import Decision, Evidence, decide
from nares.decide.hold.asks import asks_between, draw_asks
from nares.decide.hold.holds import HoldModel, hold_model, recency_weights
from nares.decide.hold.nextasks import hold_model_of, needs_other_dogs, next_asks
from nares.decide.hold.otherdogs import OtherDogs, learn_other_dogs
from nares.decide.hold.pooling import pooled_hold_model
from nares.decide.hold.schedule import fleshler_hoffman, percentile_rank
from nares.decide.hold.survival import Survived, kaplan_meier
from nares.decide.plan import SessionPlan, asks_again, plan_session
from nares.decide.reptable import RepTable, read_rep_table, write_rep_table
from nares.decide.steps.programme import Programme, Step
from nares.decide.steps.programme_check import check_programme
from nares.decide.steps.programme_file import read_programme, shipped_programme

__all__ = [
    "Characteristics",
    "Decision",
    "Evidence",
    "HoldModel",
    "OtherDogs",
    "Programme",
    "RepTable",
    "SessionPlan",
    "Step",
    "StepCall",
    "StepLines",
    "Survived",
    "asks_again",
    "asks_between",
    "characteristics_of",
    "check_programme",
    "decide",
    "draw_asks",
    "fleshler_hoffman",
    "hold_model",
    "hold_model_of",
    "kaplan_meier",
    "ladder_risk",
    "learn_other_dogs",
    "needs_other_dogs",
    "next_asks",
    "operating_characteristics",
    "percentile_rank",
    "plan_session",
    "pooled_hold_model",
    "read_programme",
    "read_rep_table",
    "recency_weights",
    "risk_for_ladder",
    "shipped_programme",
    "step_call",
    "step_lines",
    "uneven_characteristics",
    "wald_lines",
    "write_rep_table",
]
