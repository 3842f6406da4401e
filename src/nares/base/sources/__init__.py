"""Published sources, each written down once; docstrings and tests cite them by key.

One file a field: `care`, `detection`, `learning`, `measuring`, `odour`, `ordering`, `record`. `SOURCES` joins
them.
"""

from nares.base.sources.care import CARE
from nares.base.sources.detection import DETECTION
from nares.base.sources.entry import Source
from nares.base.sources.learning import LEARNING
from nares.base.sources.measuring import MEASURING
from nares.base.sources.odour import ODOUR
from nares.base.sources.ordering import ORDERING
from nares.base.sources.record import RECORD

SOURCES: dict[str, Source] = {
    source.key: source for source in (*CARE, *DETECTION, *LEARNING, *MEASURING, *ODOUR, *ORDERING, *RECORD)
}

__all__ = ["SOURCES", "Source"]
