"""Scoring of line-ups: hits and false alerts, sensitivity, bias for a position, blind against known."""

from nares.design.scoring.score import Score, Scored, score_runs

__all__ = ["Score", "Scored", "score_runs"]
