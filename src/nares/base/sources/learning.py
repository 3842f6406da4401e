"""Sources on learning, deciding and statistics."""

from nares.base.sources.entry import Source

LEARNING = (Source("wald-1947", "A. Wald, Sequential Analysis. Wiley, New York", "1947", "from memory"),)
