"""The surroundings of all openings, coarsely: where the whole picture jumped to.

Conventions
-----------
The panel is averaged into about `PANEL_CELLS` cells each way, faded out at its borders and compared with
the first picture by phase correlation. Its answer is whole cells: a guess that the tiles refine and confirm.
"""

import numpy as np
from numpy.typing import NDArray

from nares.base.vocab import Region

PANEL_CELLS = 64


class Panel:
    """The surroundings of all openings, coarsely: finds a jump of the whole picture."""

    def __init__(self, regions: tuple[Region, ...], luma: NDArray[np.uint8]) -> None:
        height, width = luma.shape
        top, left = min(r.y - r.h for r in regions), min(r.x - 2 * r.w for r in regions)
        low, right = max(r.y + 2 * r.h for r in regions), max(r.x + 3 * r.w for r in regions)
        self._rows = spaced(top * height, low * height, height)
        self._cols = spaced(left * width, right * width, width)
        self._window = np.outer(np.hanning(len(self._rows)), np.hanning(len(self._cols)))
        self._memory = np.conj(self._spectrum(luma))

    def jump(self, luma: NDArray[np.uint8]) -> tuple[float, float]:
        """The most likely shift (row, column) of the panel since the first picture. [px]"""
        cross = self._spectrum(luma) * self._memory
        peak = np.fft.irfft2(cross / np.maximum(np.abs(cross), 1e-9), s=self._window.shape)
        row, col = np.unravel_index(int(np.argmax(peak)), peak.shape)
        rows, cols = peak.shape
        turned = (int(row) + rows // 2) % rows - rows // 2, (int(col) + cols // 2) % cols - cols // 2
        return turned[0] * self._pitch(self._rows), turned[1] * self._pitch(self._cols)

    def _pitch(self, places: NDArray[np.intp]) -> float:
        return float(places[-1] - places[0]) / max(len(places) - 1, 1)

    def _averaged(self, luma: NDArray[np.uint8]) -> NDArray[np.float64]:
        """The panel's cells, each the mean of the pixels up to the next."""
        rows = np.add.reduceat(luma[: self._rows[-1] + 1], self._rows, axis=0, dtype=np.float64)
        return np.asarray(np.add.reduceat(rows[:, : self._cols[-1] + 1], self._cols, axis=1))

    def _spectrum(self, luma: NDArray[np.uint8]) -> NDArray[np.complex128]:
        seen = self._averaged(luma)
        return np.asarray(np.fft.rfft2((seen - seen.mean()) * self._window))


def spaced(low: float, high: float, size: int) -> NDArray[np.intp]:
    """Whole pixels at an even pitch between two places, kept inside the picture."""
    first, last = max(0, int(low)), min(size - 1, int(high))
    pitch = max(1, -(-(last - first) // PANEL_CELLS))
    return np.arange(first, last + 1, pitch)
