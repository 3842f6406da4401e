"""Sources on drawing and on the order of trials."""

from nares.base.sources.entry import Source

ORDERING: tuple[Source, ...] = (
    Source(
        "rfc-4231-2005",
        "M. Nystrom, Identifiers and Test Vectors for HMAC-SHA-224, HMAC-SHA-256, HMAC-SHA-384, and "
        "HMAC-SHA-512",
        "RFC 4231, December 2005",
        "from memory",
    ),
    Source(
        "gellermann-1933",
        "L. W. Gellermann, Chance orders of alternating stimuli in visual discrimination experiments, The "
        "Pedagogical Seminary and Journal of Genetic Psychology 42:206-208",
        "1933",
        "criteria 2026-11 as quoted by D. M. Fragaszy, D. S. Fragaszy, Behavior Research Methods & "
        "Instrumentation 10:83-88 (1978); count of 44 from memory; the printed list was not seen",
    ),
    Source(
        "jadoul-2023",
        "Y. Jadoul, D. Duengen, A. Ravignani, PyGellermann: a Python tool to generate pseudorandom series "
        "for human and non-human animal behavioural experiments, BMC Research Notes 16:135",
        "2023",
        "paper 2026-11; counts as its tests state them",
    ),
    Source(
        "fellows-1967",
        "B. J. Fellows, Chance stimulus sequences for discrimination tasks, Psychological Bulletin 67:87-92",
        "1967",
        "from memory",
    ),
)
