"""From lanes to reps: one rep for every visit of the nose, and one for every mark nobody was in for."""

from nares.measure.reps.assemble import assemble_reps

__all__ = ["assemble_reps"]
