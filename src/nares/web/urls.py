"""Every address, in one list. A page's JSON twin is the same address with ``.json``."""

from django.urls import path, re_path, register_converter
from django.urls.converters import PathConverter

from nares.web.agreement import views as agreement
from nares.web.card import views as card
from nares.web.cues import views as cues
from nares.web.dogs import add_session
from nares.web.dogs import views as dogs
from nares.web.importing import views as importing
from nares.web.lineups import designing, paper
from nares.web.lineups import views as lineups
from nares.web.marking import views as marking
from nares.web.media import views as media
from nares.web.overruling import views as overruling
from nares.web.progress import views as progress
from nares.web.record import views as record
from nares.web.scoring import views as scoring
from nares.web.seats import deeds as seat_deeds
from nares.web.seats import views as seats
from nares.web.sessions import views as sessions
from nares.web.shell import errors, person
from nares.web.signs import views as signs
from nares.web.timeline import regions
from nares.web.timeline import views as timeline
from nares.web.today import views as today
from nares.web.whatif import views as whatif


class NameConverter(PathConverter):
    """A name as somebody gave it: letters of any script, spaces, even a slash."""

    regex = r".+?"


register_converter(NameConverter, "name")

SHA256 = r"(?P<sha256>[0-9a-f]{64})"

# A name may hold a slash, so the longest address of a kind comes first.
urlpatterns = [
    path("", today.today, name="today"),
    re_path(r"^(?:today|index)?\.json$", today.today_json, name="today-json"),
    path("person/", person.change_person, name="person"),
    path("add-dog/", dogs.add_dog, name="add-dog"),
    path("dogs/<name:name>/signs/clear/", signs.clear, name="clear-signs"),
    path("dogs/<name:name>/signs.json", signs.signs_json, name="signs-json"),
    path("dogs/<name:name>/signs/", signs.signs, name="signs"),
    path("dogs/<name:name>/overrule/withdraw/", overruling.withdraw, name="withdraw"),
    path("dogs/<name:name>/overrule.json", overruling.overrule_json, name="overrule-json"),
    path("dogs/<name:name>/overrule/", overruling.overrule, name="overrule"),
    path("overrulings.json", overruling.overrulings_json, name="overrulings-json"),
    path("overrulings/", overruling.overrulings, name="overrulings"),
    path("import.json", importing.choose_json, name="sheets-json"),
    path("import/", importing.choose, name="import"),
    re_path(rf"^import/{SHA256}\.json$", importing.sheet_json, name="sheet-json"),
    re_path(rf"^import/{SHA256}/$", importing.sheet, name="sheet"),
    path("dogs/<name:name>/card/handler.json", card.handler_json, name="handler-card-json"),
    path("dogs/<name:name>/card/handler/", card.handler, name="handler-card"),
    path("dogs/<name:name>/card/take/", card.take, name="take-card"),
    path("dogs/<name:name>/card/ration/", card.ration, name="ration"),
    path("dogs/<name:name>/card.json", card.card_json, name="card-json"),
    path("dogs/<name:name>/card.pdf", card.card_pdf, name="card-pdf"),
    path("dogs/<name:name>/card/", card.card, name="card"),
    path("dogs/<name:name>/cues/name/", cues.name_cue, name="name-cue"),
    path("dogs/<name:name>/cues.json", cues.cues_json, name="cues-json"),
    path("dogs/<name:name>/cues/", cues.cues, name="cues"),
    path("dogs/<name:name>/what-if.json", whatif.what_if_json, name="what-if-json"),
    path("dogs/<name:name>/progress.json", progress.progress_json, name="progress-json"),
    path("dogs/<name:name>/progress/", progress.progress, name="progress"),
    path("dogs/<name:name>/lineups.json", scoring.dog_lineups_json, name="dog-lineups-json"),
    path("dogs/<name:name>/lineups/", scoring.dog_lineups, name="dog-lineups"),
    path("lineups/<name:lineup>/score.json", scoring.score_json, name="score-json"),
    path("lineups/<name:lineup>/score/", scoring.score, name="score"),
    path("dogs/<name:name>.json", dogs.dog_json, name="dog-json"),
    path("dogs/<name:name>/add-session/", add_session.add_session, name="add-session"),
    path("dogs/<name:name>/what-if/", whatif.what_if, name="what-if"),
    path("dogs/<name:name>/", dogs.dog, name="dog"),
    # The seats: a new address here must be named in nares.web.seats.gate to be open to a seat.
    path("seat.json", seats.seat_json, name="seat-json"),
    path("seat/placing.pdf", seats.placing_pdf, name="seat-placing"),
    path("seat/place/", seat_deeds.place, name="seat-place"),
    path("seat/begin/", seat_deeds.begin, name="seat-begin"),
    path("seat/call/", seat_deeds.call, name="seat-call"),
    path("seat/observe/", seat_deeds.observe, name="seat-observe"),
    path("seat/open/", seat_deeds.open_run, name="seat-open"),
    path("seat/void/", seat_deeds.void, name="seat-void"),
    path("seat/close/", seat_deeds.close, name="seat-close"),
    path("seat/leave/", seats.leave, name="seat-leave"),
    path("seat/", seats.seat, name="seat"),
    path("measuring/<str:token>.json", add_session.measuring_json, name="measuring-json"),
    path("measuring/<str:token>/", add_session.measuring, name="measuring"),
    path("sessions/<name:session>/timeline/edits.json", timeline.edits_json, name="edits"),
    path("sessions/<name:session>/timeline.json", timeline.timeline_json, name="timeline-json"),
    path("sessions/<name:session>/timeline/regions/", regions.regions, name="regions"),
    path("sessions/<name:session>/timeline/own.json", timeline.own_sheet_json, name="own-sheet-json"),
    path("sessions/<name:session>/timeline/own/", timeline.own_sheet, name="own-sheet"),
    path("sessions/<name:session>/timeline/", timeline.timeline, name="timeline"),
    path("sessions/<name:session>/agreement.json", agreement.of_session_json, name="agreement-json"),
    path("sessions/<name:session>/agreement/", agreement.of_session, name="agreement"),
    path("sessions/<name:session>.json", sessions.session_json, name="session-json"),
    path("sessions/<name:session>/reps/<int:rep>/confirm/", sessions.confirm, name="confirm"),
    path("sessions/<name:session>/reps/<int:rep>/follow/", sessions.follow, name="follow"),
    path("sessions/<name:session>/reps/<int:rep>/correct/", sessions.correct, name="correct"),
    path("sessions/<name:session>/reps/<int:rep>/set-aside/", sessions.set_aside, name="set-aside"),
    path("sessions/<name:session>/reps/<int:rep>/", sessions.session, name="session-rep"),
    path("sessions/<name:session>/confirm/", sessions.confirm_all, name="confirm-all"),
    path("sessions/<name:session>/", sessions.session, name="session"),
    # lineups
    path("lineups.json", lineups.lineups_json, name="lineups-json"),
    path("lineups/", lineups.lineups, name="lineups"),
    path("lineups/new/area.json", designing.area_json, name="lineup-area"),
    path("lineups/new/", designing.new, name="new-lineup"),
    path("lineups/<name:lineup>/calls.pdf", lineups.calls_pdf, name="lineup-calls"),
    path("lineups/<name:lineup>/key.json", lineups.key_json, name="lineup-key"),
    path("lineups/<name:lineup>/close/", lineups.close, name="close-lineup"),
    path("lineups/<name:lineup>/paper/", paper.paper, name="lineup-paper"),
    path("lineups/<name:lineup>.json", lineups.lineup_json, name="lineup-json"),
    path("lineups/<name:lineup>/", lineups.lineup, name="lineup"),
    path("agreement.json", agreement.over_sessions_json, name="agreement-over-json"),
    path("agreement/", agreement.over_sessions, name="agreement-over"),
    path("marks.json", marking.marks_json, name="marks-json"),
    path("marks/", marking.marks, name="marks"),
    path("record.json", record.record_json, name="record-json"),
    path("record/amend/", record.amend, name="amend"),
    path("record/entries/<int:number>/", record.entry, name="entry"),
    path("record/", record.record, name="record"),
    re_path(rf"^media/{SHA256}$", media.media, name="media"),
    re_path(rf"^media/{SHA256}/peaks\.json$", media.peaks, name="peaks"),
    re_path(rf"^media/{SHA256}/spectrogram\.json$", media.spectrogram, name="spectrogram"),
    re_path(rf"^media/{SHA256}/spectrogram/(?P<number>[0-9]{{1,4}})\.png$", media.spectrogram_tile),
]

handler400 = errors.bad_request
handler404 = errors.not_found
handler500 = errors.server_fault
