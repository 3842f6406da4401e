"""Sources on odour: how long it stays, how it spreads."""

from nares.base.sources.entry import Source

ODOUR: tuple[Source, ...] = (
    Source(
        "jezierski-2014",
        "T. Jezierski et al., Efficacy of drug detection by fully-trained police dogs varies by breed, "
        "training level, type of drug and search environment, Forensic Science International 237:112-118",
        "2014",
        "abstract 2026-11, title from memory",
    ),
)
