"""Sources on learning, deciding and statistics."""

from nares.base.sources.entry import Source

LEARNING = (
    Source("wald-1947", "A. Wald, Sequential Analysis. Wiley, New York", "1947", "from memory"),
    Source(
        "montgomery-2009",
        "D. C. Montgomery, Introduction to Statistical Quality Control. Wiley",
        "6th edition, 2009",
        "from memory",
    ),
    Source(
        "nist-2012",
        "NIST/SEMATECH e-Handbook of Statistical Methods, section 6.2.6, What is a sequential sampling plan?",
        "2012",
        "from memory",
    ),
    Source(
        "bottine-2015",
        "S. M. Bottine, SPRT: Wald's Sequential Probability Ratio Test, R package, manual and vignette",
        "1.0, 2015",
        "2026-11",
    ),
    Source(
        "kleinbaum-klein-2012",
        "D. G. Kleinbaum, M. Klein, Survival Analysis: A Self-Learning Text. Springer; remission data of "
        "E. J. Freireich et al., Blood 21:699-716 (1963)",
        "3rd edition, 2012",
        "data 2026-11, table from memory",
    ),
    Source(
        "therneau-2024",
        "T. M. Therneau, survival: Survival Analysis, R package, saved test output r_lung.Rout.save",
        "3.x",
        "2026-11",
    ),
    Source(
        "lawless-1982",
        "J. F. Lawless, Statistical Models and Methods for Lifetime Data, Wiley: ball bearing data of "
        "Lieblein and Zelen 1956",
        "1st",
        "data and figures from memory",
    ),
    Source(
        "prentice-1974",
        "R. L. Prentice, A log gamma model and its maximum likelihood estimation, Biometrika 61:539-544",
        "1974",
        "from memory; as written in the documentation of lifelines and flexsurv, read 2026-11",
    ),
    Source(
        "fleshler-hoffman-1962",
        "M. Fleshler, H. S. Hoffman, A progression for generating variable-interval schedules, Journal of "
        "the Experimental Analysis of Behavior 5:529-530; figures as printed in the vignette "
        "fleshler_hoffman of the R package YEAB",
        "1962",
        "2026-11",
    ),
    Source(
        "galbicka-1994",
        "G. Galbicka, Shaping in the 21st century: moving percentile schedules into applied settings, "
        "Journal of Applied Behavior Analysis 27:739-760, after J. R. Platt (1973)",
        "1994",
        "abstract 2026-11, equation from memory",
    ),
    Source(
        "smith-2004",
        "A. C. Smith et al., Dynamic analysis of learning in behavioral experiments, Journal of "
        "Neuroscience 24:447-461; equations and example responses as in public code of the first author",
        "2004",
        "abstract and code 2026-11",
    ),
    Source(
        "gallistel-2004",
        "C. R. Gallistel, S. Fairhurst, P. Balsam, The learning curve: implications of a quantitative "
        "analysis, PNAS 101:13124-13131; algorithm, data and change points as in the R package cpdetectoR",
        "2004",
        "abstract and package 2026-11",
    ),
    Source(
        "reynolds-stoumbos-1999",
        "M. R. Reynolds, Z. G. Stoumbos, A CUSUM chart for monitoring a proportion when inspecting "
        "continuously, Journal of Quality Technology 31:87-108",
        "1999",
        "from memory",
    ),
    Source(
        "weil-1970",
        "C. S. Weil, Selection of the valid number of sampling units, Food and Cosmetics Toxicology "
        "8:177-182; litters of rats as in the data of the R package aod",
        "1970",
        "data 2026-11",
    ),
    Source(
        "korn-graubard-1998",
        "E. L. Korn, B. I. Graubard, Confidence intervals for proportions with small expected number of "
        "positive counts estimated from survey data, Survey Methodology 24:193-201",
        "1998",
        "from memory",
    ),
    Source(
        "newcombe-1998",
        "R. G. Newcombe, Two-sided confidence intervals for the single proportion: comparison of seven "
        "methods, Statistics in Medicine 17:857-872",
        "1998",
        "inputs 2026-11, limits from memory",
    ),
    Source(
        "fagerland-2017",
        "M. W. Fagerland, S. Lydersen, P. Laake, Statistical Analysis of Contingency Tables. Chapman and "
        "Hall; figures as in the tests of the R package contingencytables",
        "2017",
        "2026-11",
    ),
    Source(
        "rescorla-wagner-1972",
        "R. A. Rescorla, A. R. Wagner, A theory of Pavlovian conditioning, in Classical Conditioning II, "
        "Appleton-Century-Crofts, 64-99; rule as in the R packages calmr and ndl, rows as printed in "
        "teaching sheets on simulating it",
        "1972",
        "packages and sheets 2026-11",
    ),
    Source(
        "danks-2003",
        "D. Danks, Equilibria of the Rescorla-Wagner model, Journal of Mathematical Psychology 47:109-121; "
        "data of B. A. Spellman (1996) as in the R package ndl",
        "2003",
        "data 2026-11",
    ),
    Source(
        "chapman-robbins-1990",
        "G. B. Chapman, S. J. Robbins, Cue interaction in human contingency judgment, Memory and Cognition "
        "18:537-545",
        "1990",
        "from memory",
    ),
    Source(
        "allan-1980",
        "L. G. Allan, A note on measurement of contingency between two binary variables in judgment tasks, "
        "Bulletin of the Psychonomic Society 15:147-149",
        "1980",
        "from memory",
    ),
    Source(
        "cheng-1997",
        "P. W. Cheng, From covariation to causation: a causal power theory, Psychological Review 104:367-405",
        "1997",
        "from memory",
    ),
    Source(
        "newcombe-1998b",
        "R. G. Newcombe, Interval estimation for the difference between independent proportions: comparison "
        "of eleven methods, Statistics in Medicine 17:873-890",
        "1998",
        "inputs 2026-11, limits from memory",
    ),
    Source(
        "agresti-coull-1998",
        "A. Agresti, B. A. Coull, Approximate is better than exact for interval estimation of binomial "
        "proportions, The American Statistician 52:119-126",
        "1998",
        "from memory",
    ),
    Source(
        "belsley-kuh-welsch-1980",
        "D. A. Belsley, E. Kuh, R. E. Welsch, Regression Diagnostics. Wiley",
        "1980",
        "from memory",
    ),
    Source(
        "nist-dopt-2012",
        "NIST/SEMATECH e-Handbook of Statistical Methods, section 5.5.2.1, D-Optimal designs",
        "2012",
        "2026-11",
    ),
)
