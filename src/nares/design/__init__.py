"""Designing: orders, line-ups and sealed keys, their scoring, and what else than the target predicts pay."""
