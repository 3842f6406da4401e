"""Ring 1: what to do next with a dog, from its reps. Programme, step call, hold model, asks, decision."""

from nares.decide.holds import HoldModel, hold_model
from nares.decide.step import StepCall, step_call

__all__ = ["HoldModel", "StepCall", "hold_model", "step_call"]
