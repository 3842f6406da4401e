"""Sources on canonical form, digests and exchange formats."""

from nares.base.sources.entry import Source

RECORD = (
    Source(
        "rfc-8785",
        "A. Rundgren, B. Jordan, S. Erdtman, JSON Canonicalization Scheme (JCS)",
        "RFC 8785, June 2020",
        "2026-11",
    ),
)
