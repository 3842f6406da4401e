"""Every deed and every page, by name: what the doors may call.

A deed takes the desk and one request of `nares.app.deeds` and returns a receipt; a page takes the desk
and returns a value of `nares.app.pages`. A deed that is refused has written nothing.
"""

from nares.app.again import measure_again, regions_proposed
from nares.app.agreement_page import agreement_page
from nares.app.carding import card_page, handler_page, printed_card, take_card
from nares.app.confirming import amend, confirm_reps, correct_rep, set_aside
from nares.app.correcting import correct_events
from nares.app.cues.cues_page import cues_page
from nares.app.cues.naming import name_cue, session_cues
from nares.app.dogs import add_dog, dog_page, today_page
from nares.app.entries import record_page, set_clock_back
from nares.app.following import follow_events
from nares.app.lineups.asking import lineup_area
from nares.app.lineups.choosing import rule_choices
from nares.app.lineups.drawing import draw_lineup
from nares.app.lineups.opening import close_lineup, open_run, void_run
from nares.app.lineups.pages import lineup_page, lineups_page
from nares.app.lineups.placing import place_run
from nares.app.lineups.score_pages import dog_lineups_page, score_page
from nares.app.lineups.seat_pages import seat_page
from nares.app.lineups.seats import leave_seat, seat_of, take_seat
from nares.app.lineups.sheets import call_sheet, placing_sheet
from nares.app.lineups.typing_calls import type_calls
from nares.app.lineups.working import begin_run, make_call, observe_run
from nares.app.marks_page import marks_page
from nares.app.measuring import Progress
from nares.app.overruling import overrule_call, withdraw_overruling
from nares.app.overrulings_page import overrulings_page
from nares.app.playing import media_file, spectrogram, spectrogram_tile, waveform
from nares.app.progress_page import progress_page
from nares.app.rationing import set_ration
from nares.app.running import run_session
from nares.app.sessions import session_page
from nares.app.sheet_files import keep_waiting, let_go, waiting
from nares.app.sheets import import_sheet, sheet_page, sheets_page
from nares.app.signs import clear_signs, note_signs, signs_page
from nares.app.standing import lanes_as, own_sheets
from nares.app.tables import import_reps, reps_table
from nares.app.timelines import timeline_page
from nares.app.verifying import verify_record
from nares.app.warming import warm_up
from nares.app.what_if import what_if_page

__all__ = [
    "Progress",
    "add_dog",
    "agreement_page",
    "amend",
    "begin_run",
    "call_sheet",
    "card_page",
    "clear_signs",
    "close_lineup",
    "confirm_reps",
    "correct_events",
    "correct_rep",
    "cues_page",
    "dog_lineups_page",
    "dog_page",
    "draw_lineup",
    "follow_events",
    "handler_page",
    "import_reps",
    "import_sheet",
    "keep_waiting",
    "lanes_as",
    "leave_seat",
    "let_go",
    "lineup_area",
    "lineup_page",
    "lineups_page",
    "make_call",
    "marks_page",
    "measure_again",
    "media_file",
    "name_cue",
    "note_signs",
    "observe_run",
    "open_run",
    "overrule_call",
    "overrulings_page",
    "own_sheets",
    "place_run",
    "placing_sheet",
    "printed_card",
    "progress_page",
    "record_page",
    "regions_proposed",
    "reps_table",
    "rule_choices",
    "run_session",
    "score_page",
    "seat_of",
    "seat_page",
    "session_cues",
    "session_page",
    "set_aside",
    "set_clock_back",
    "set_ration",
    "sheet_page",
    "sheets_page",
    "signs_page",
    "spectrogram",
    "spectrogram_tile",
    "take_card",
    "take_seat",
    "timeline_page",
    "today_page",
    "type_calls",
    "verify_record",
    "void_run",
    "waiting",
    "warm_up",
    "waveform",
    "what_if_page",
    "withdraw_overruling",
]
