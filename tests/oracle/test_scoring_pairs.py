"""Pairing and its rates against the general library for scoring heard events."""

import mir_eval
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from nares.measure.scoring import event_scores, pair_events

times = st.lists(st.integers(0, 400).map(lambda step: step * 0.013), max_size=14, unique=True).map(sorted)


@given(true=times, found=times, window=st.sampled_from([0.014, 0.02, 0.05, 0.2]))
def test_as_many_pairs_as_the_library_finds(true: list[float], found: list[float], window: float) -> None:
    theirs = mir_eval.util.match_events(np.array(true), np.array(found), window) if true and found else []
    assert len(pair_events(true, found, window)) == len(theirs)


@given(true=times.filter(bool), found=times.filter(bool))
def test_the_same_rates_as_the_library(true: list[float], found: list[float]) -> None:
    f1, precision, recall = mir_eval.onset.f_measure(np.array(true), np.array(found), window=0.05)
    ours = event_scores(true, found, 0.05)
    assert (ours.f1, ours.precision, ours.recall) == pytest.approx((f1, precision, recall))
