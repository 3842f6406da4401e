"""Proposing where the openings are in a recording, for a person to accept, move or refuse."""

from pathlib import Path

from nares.measure.picture.propose import Proposed, propose_openings
from nares.media.samples import sample_pictures


def propose_regions(path: Path) -> Proposed:
    """Propose the front and the side opening of a recording; either may be None.

    Raises:
        Unusable: If the file cannot be read or has no pictures.
    """
    samples = sample_pictures(path)
    shape = samples.start[0].luma.shape if samples.start else ()
    return propose_openings(
        [picture.luma for picture in samples.start],
        [picture.luma for picture in samples.later if picture.luma.shape == shape],
    )
