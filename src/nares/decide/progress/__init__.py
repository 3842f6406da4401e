"""How a dog comes on at a step: learning curve, changes, cold starts, sessions alike, and relapse.

`progress_of` brings it together; `relapse_sentences` says what a call should mention.
"""

from nares.decide.progress.progress import Progress, progress_of
from nares.decide.progress.words import relapse_sentences

__all__ = ["Progress", "progress_of", "relapse_sentences"]
