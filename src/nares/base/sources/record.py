"""Sources on canonical form, digests and exchange formats."""

from nares.base.sources.entry import Source

RECORD = (
    Source(
        "rfc-8785",
        "A. Rundgren, B. Jordan, S. Erdtman, JSON Canonicalization Scheme (JCS)",
        "RFC 8785, June 2020",
        "2026-11",
    ),
    Source(
        "rfc-6901",
        "P. Bryan, K. Zyp, M. Nottingham, JavaScript Object Notation (JSON) Pointer",
        "RFC 6901, April 2013",
        "from memory",
    ),
    Source(
        "rfc-8493",
        "J. Kunze, J. Littman, E. Madden, J. Scancella, C. Adams, The BagIt File Packaging Format (V1.0)",
        "RFC 8493, October 2018",
        "from memory",
    ),
    Source(
        "fips-180-4",
        "National Institute of Standards and Technology, Secure Hash Standard (SHS)",
        "FIPS PUB 180-4, August 2015",
        "from memory",
    ),
    Source(
        "swgdog-sc2-2006",
        "Scientific Working Group on Dog and Orthogonal Detection Guidelines, SC2: general guidelines, "
        "abstract NCJ 218541",
        "2006",
        "abstract read 2026-11",
    ),
)
