"""Sources on sound, pictures and media files."""

from nares.base.sources.entry import Source

MEASURING: tuple[Source, ...] = ()
