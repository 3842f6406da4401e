"""Sources on sound, pictures and media files."""

from nares.base.sources.entry import Source

MEASURING: tuple[Source, ...] = (
    Source(
        "apple-tn2258",
        "Apple, AAC Audio: Encoder Delay and Synchronization, Technical Note TN2258",
        "TN2258",
        "2026-11",
    ),
    Source(
        "concha-2014",
        "A. Concha et al., Using sniffing behavior to differentiate true negative from false negative "
        "responses in trained scent-detection dogs, Chemical Senses 39(9):749-754 (2014)",
        "2014",
        "2026-11",
    ),
    Source(
        "bland-altman-1986",
        "J. M. Bland, D. G. Altman, Statistical methods for assessing agreement between two methods of "
        "clinical "
        "measurement, The Lancet 327:307-310",
        "1986",
        "opening 2026-11, figures as quoted in the tests of statistics packages",
    ),
    Source(
        "zou-2013",
        "G. Y. Zou, Confidence interval estimation for the Bland-Altman limits of agreement with multiple "
        "observations per individual, Statistical Methods in Medical Research 22:630-642",
        "2013",
        "from memory",
    ),
    Source(
        "cohen-1960",
        "J. Cohen, A coefficient of agreement for nominal scales, Educational and Psychological "
        "Measurement 20:37-46",
        "1960",
        "from memory",
    ),
    Source(
        "fleiss-cohen-everitt-1969",
        "J. L. Fleiss, J. Cohen, B. S. Everitt, Large sample standard errors of kappa and weighted kappa, "
        "Psychological Bulletin 72:323-327",
        "1969",
        "from memory; figures as quoted in the tests of statsmodels",
    ),
    Source(
        "shrout-fleiss-1979",
        "P. E. Shrout, J. L. Fleiss, Intraclass correlations: uses in assessing rater reliability, "
        "Psychological "
        "Bulletin 86:420-428",
        "1979",
        "figures as quoted in the tests of statistics packages, 2026-11",
    ),
    Source(
        "mcgraw-wong-1996",
        "K. O. McGraw, S. P. Wong, Forming inferences about some intraclass correlation coefficients, "
        "Psychological "
        "Methods 1:30-46",
        "1996",
        "from memory",
    ),
    Source(
        "conover-1999",
        "W. J. Conover, Practical Nonparametric Statistics. Wiley",
        "3rd edition, 1999",
        "from memory",
    ),
    Source(
        "zar-2010",
        "J. H. Zar, Biostatistical Analysis. Pearson",
        "5th edition, 2010",
        "figures as quoted in the tests of a circular statistics package, 2026-11",
    ),
    Source(
        "woods-2015",
        "D. L. Woods, J. M. Wyma, E. W. Yund, T. J. Herron, B. Reed, Factors influencing the latency of "
        "simple reaction "
        "time, Frontiers in Human Neuroscience 9:131",
        "2015",
        "abstract 2026-11",
    ),
)
