"""The learned listener: its layers, its slopes, its settings; and the intakes read from chances of frames."""

import numpy as np
import pytest
from benchmarks.teaching import new_pupil, settings_of_listener, slopes, teach
from numpy.typing import NDArray

from nares.measure.sound.intakes import find_intakes, intake_rows
from nares.measure.sound.listener import PIECE, Listener, beside, listener, listener_from


def small(seed: int = 0) -> Listener:
    return new_pupil(5, 6, 4, seed, reach=(1, 2, 4)).listener()


def plain_chances(listener: Listener, rows: NDArray[np.float32]) -> NDArray[np.float64]:
    """The same in the slow, obvious way: frame by frame, neighbour by neighbour, double precision."""
    now = rows.astype(np.float64)
    for number, reach in enumerate(listener.reach):
        size, then = now.shape[1], []
        for t in range(now.shape[0]):
            near = [now[k] if 0 <= k < now.shape[0] else np.zeros(size) for k in (t - reach, t, t + reach)]
            then.append(np.tanh(np.concatenate(near) @ listener.into[number] + listener.at[number]))
        now = np.array(then) + (now if number else 0.0)
    odds = np.exp(now @ listener.out + listener.base)
    return np.asarray(odds / odds.sum(axis=1, keepdims=True))


def test_chances_are_those_of_the_slow_way() -> None:
    rows = np.random.default_rng(1).standard_normal((40, 5)).astype(np.float32)
    np.testing.assert_allclose(small().chances(rows), plain_chances(small(), rows), atol=1e-5)


def test_chances_do_not_depend_on_where_sound_is_cut() -> None:
    rows = np.random.default_rng(2).standard_normal((PIECE + 300, 5)).astype(np.float32)
    shifted = np.concatenate([np.zeros((500, 5), dtype=np.float32), rows])
    np.testing.assert_allclose(small().chances(rows)[10:], small().chances(shifted)[510:], atol=1e-5)


def test_no_frames_and_fewer_frames_than_a_layer_reaches() -> None:
    assert small().chances(np.zeros((0, 5), dtype=np.float32)).shape == (0, 4)
    rows = np.ones((2, 5), dtype=np.float32)
    np.testing.assert_allclose(small().chances(rows), plain_chances(small(), rows), atol=1e-5)
    assert beside(rows, 4)[:, 5:10].tolist() == rows.tolist()


def test_slopes_are_those_of_small_differences() -> None:
    chance, pupil = np.random.default_rng(3), new_pupil(5, 6, 4, 0, reach=(1, 2, 4))
    rows = chance.standard_normal((30, 5)).astype(np.float32)
    truth = chance.dirichlet([1.0] * 4, 30).astype(np.float32)
    _, found = slopes(pupil, rows, truth)
    for key, layer in pupil.settings.items():
        flat = int(np.argmax(np.abs(found[key])))
        at = np.unravel_index(flat, layer.shape)
        kept, losses = layer[at], []
        for by in (0.02, -0.02):
            layer[at] = kept + by
            losses.append(slopes(pupil, rows, truth)[0])
        layer[at] = kept
        assert (losses[0] - losses[1]) / 0.04 == pytest.approx(found[key][at], rel=0.03), key


def test_a_listener_learns_what_can_be_learned() -> None:
    chance, lessons = np.random.default_rng(4), []
    for _ in range(4):
        rows = chance.standard_normal((600, 2)).astype(np.float32)
        kind = (np.roll(rows[:, 0], 2) > 0).astype(int)  # told by the frame two before
        lessons.append((rows, np.eye(2, dtype=np.float32)[kind]))
    pupil = teach(new_pupil(2, 6, 2, 0, reach=(1, 2)), lessons, steps=400, seed=1)
    chances = pupil.listener().chances(lessons[0][0])
    assert np.mean(chances.argmax(axis=1) == lessons[0][1].argmax(axis=1)) > 0.95


def test_settings_come_back_from_whole_numbers() -> None:
    rows = np.random.default_rng(5).standard_normal((50, 5)).astype(np.float32)
    again = listener_from(settings_of_listener(small()))
    np.testing.assert_allclose(again.chances(rows), small().chances(rows), atol=2e-3)


def test_the_shipped_listener_knows_more_than_a_second() -> None:
    shipped = listener("breath/air")
    assert sum(shipped.reach) == 127
    assert shipped.into[0].shape[0] == 3 * 15
    assert shipped.base.shape == (4,)


def chances(drawing: NDArray[np.float64]) -> NDArray[np.float32]:
    rest = (1 - drawing) / 3
    return np.stack([rest, drawing, rest, rest], axis=1).astype(np.float32)


def test_an_edge_lies_where_drawing_in_is_about_even() -> None:
    drawing = np.zeros(100)
    drawing[40:60] = 1.0
    drawing[39], drawing[60] = 0.25, 0.75
    found = find_intakes(chances(drawing))
    assert found.start_s == pytest.approx([(39.5 + 0.2 / 0.75) * 0.005])
    assert found.end_s == pytest.approx([(60.5 + 0.3 / 0.75) * 0.005])
    assert found.start_within_s[0] < 0.007


def test_a_gentle_edge_is_known_less_well_than_a_steep_one() -> None:
    drawing = np.interp(np.arange(100), [30, 40, 60, 62], [0.0, 1.0, 1.0, 0.0])
    found = find_intakes(chances(drawing))
    assert found.start_within_s[0] > 2 * found.end_within_s[0]
    # Evenly spread over 50 ms, nine tenths lie within 20 ms of the middle; a bell curve's 95 % in 31 ms.
    assert found.start_within_s[0] == pytest.approx(0.031, abs=0.003)


def test_intakes_at_the_ends_of_a_recording_and_none_at_all() -> None:
    drawing = np.zeros(60)
    drawing[:20] = drawing[-20:] = 0.9
    found = find_intakes(chances(drawing))
    assert found.start_s[0] == pytest.approx(0.0, abs=0.003)
    assert found.end_s[-1] == pytest.approx(0.3, abs=0.003)
    assert len(find_intakes(chances(np.zeros(60)))) == 0
    assert intake_rows(chances(np.zeros(60)), find_intakes(chances(np.zeros(60)))).shape[0] == 0


def test_a_flicker_is_no_intake() -> None:
    drawing = np.zeros(60)
    drawing[20:25] = 0.9
    assert len(find_intakes(chances(drawing))) == 0


def test_neighbours_a_cycle_away_are_seen() -> None:
    drawing = np.zeros(200)
    for first in (20, 60, 100):  # 200 ms apart
        drawing[first : first + 20] = 0.8
    rows = intake_rows(chances(drawing), find_intakes(chances(drawing)))
    assert rows[:, -2] == pytest.approx([0.0, 0.8, 0.0], abs=0.02)
    assert rows[:, -1] == pytest.approx([0.8, 0.8, 0.8], abs=0.02)
