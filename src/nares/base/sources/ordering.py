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
    Source(
        "williams-1949",
        "E. J. Williams, Experimental designs balanced for the estimation of residual effects of treatments, "
        "Australian Journal of Scientific Research A 2:149-168",
        "1949",
        "from memory; its property 2026-11 in the manual of a statistics package",
    ),
    Source(
        "de-bruijn-1946",
        "N. G. de Bruijn, A combinatorial problem, Koninklijke Nederlandse Akademie van Wetenschappen "
        "49:758-764",
        "1946",
        "from memory",
    ),
    Source(
        "aardenne-ehrenfest-1951",
        "T. van Aardenne-Ehrenfest, N. G. de Bruijn, Circuits and trees in oriented linear graphs, Simon "
        "Stevin 28:203-217",
        "1951",
        "from memory",
    ),
    Source(
        "fredricksen-maiorana-1978",
        "H. Fredricksen, J. Maiorana, Necklaces of beads in k colors and k-ary de Bruijn sequences, Discrete "
        "Mathematics 23:207-210",
        "1978",
        "from memory",
    ),
    Source(
        "wald-wolfowitz-1940",
        "A. Wald, J. Wolfowitz, On a test whether two samples are from the same population, Annals of "
        "Mathematical Statistics 11:147-162",
        "1940",
        "from memory",
    ),
    Source(
        "siegel-1956",
        "S. Siegel, Nonparametric Statistics for the Behavioral Sciences, McGraw-Hill, chapter 4, the "
        "one-sample runs test",
        "1956",
        "from memory",
    ),
    Source(
        "barton-david-1957",
        "D. E. Barton, F. N. David, Multiple runs, Biometrika 44:168-178",
        "1957",
        "from memory",
    ),
)
