"""What a first page would wait for, loaded before anybody asks."""


def warm_up() -> None:
    """Load the drawing engine with its typefaces, and the numbers behind a fitted hold.

    Every page works without it; the first one then takes a second or two longer.
    """
    import scipy.special  # noqa: F401

    from nares.report.plots import RatePoint, success_svg

    success_svg([RatePoint("", "", 1, 1, 1.0, 0.2, 1.0)], ready=0.85, not_ready=0.6)
