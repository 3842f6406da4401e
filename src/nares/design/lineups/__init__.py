"""Line-ups: places on a plan, what lies where in each run, in which order it is placed, what is no blank."""

from nares.design.lineups.brief import Brief
from nares.design.lineups.containers import Packed, packing_list
from nares.design.lineups.draw import LineupDrawn, draw_lineup
from nares.design.lineups.findings import design_findings
from nares.design.lineups.plans import plan_findings
from nares.design.lineups.shapes import area_of
from nares.design.lineups.warmth import WARM_H, warmth_findings

__all__ = [
    "WARM_H",
    "Brief",
    "LineupDrawn",
    "Packed",
    "area_of",
    "design_findings",
    "draw_lineup",
    "packing_list",
    "plan_findings",
    "warmth_findings",
]
