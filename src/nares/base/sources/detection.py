"""Sources on detection and on comparing shares."""

from nares.base.sources.entry import Source

DETECTION = (
    Source(
        "clopper-pearson-1934",
        "C. J. Clopper, E. S. Pearson, The use of confidence or fiducial limits illustrated in the case "
        "of the "
        "binomial, Biometrika 26:404-413",
        "1934",
        "from memory",
    ),
    Source(
        "nist-2012b",
        "NIST/SEMATECH e-Handbook of Statistical Methods, section 7.2.4.1 and 7.2.4.2, intervals for a "
        "proportion",
        "2012",
        "setting 2026-11, limits from memory",
    ),
    Source(
        "fisher-1935",
        "R. A. Fisher, The Design of Experiments, chapter 2, the lady tasting tea; figures as in A. Agresti, "
        "Categorical Data Analysis",
        "1935",
        "from memory",
    ),
    Source(
        "freeman-halton-1951",
        "G. H. Freeman, J. H. Halton, Note on an exact treatment of contingency, goodness of fit and other "
        "problems of significance, Biometrika 38:141-149",
        "1951",
        "from memory",
    ),
    Source(
        "hautus-1995",
        "M. J. Hautus, Corrections for extreme proportions and their biasing effects on estimated values "
        "of d', "
        "Behavior Research Methods, Instruments, and Computers 27:46-51",
        "1995",
        "as described in the documentation of the R package psycho and in code, 2026-11",
    ),
    Source(
        "gourevitch-galanter-1967",
        "V. Gourevitch, E. Galanter, A significance test for one parameter isosensitivity functions, "
        "Psychometrika 32:25-33",
        "1967",
        "from memory",
    ),
    Source(
        "perlman-1986",
        "G. Perlman, |STAT handbook, manual page of the program dprime",
        "as distributed on a public disk",
        "2026-11",
    ),
    Source(
        "short-notes-sdt",
        "Short Notes on Theory of Signal Detection, lecture notes on the web, table of d' and the likelihood "
        "ratio",
        "undated",
        "2026-11",
    ),
    Source(
        "sensr-2011",
        "R. H. B. Christensen, P. B. Brockhoff, sensR: Thurstonian models for sensory discrimination, R "
        "package, "
        "vignette on methodology",
        "vignette of the package",
        "2026-11",
    ),
)
