"""Ring 2, decoding only: a recording becomes sound and pictures on one clock, and a decode report.

The decoder (PyAV with its FFmpeg) is imported when a file is opened, not before.
"""

from nares.media.browser import plays_in_browser
from nares.media.digest import sha256_of
from nares.media.joined import Joined, open_parts
from nares.media.peaks import waveform_peaks
from nares.media.proxy import make_proxy
from nares.media.recording import Recording, open_recording
from nares.media.report import DecodeReport

__all__ = [
    "DecodeReport",
    "Joined",
    "Recording",
    "make_proxy",
    "open_parts",
    "open_recording",
    "plays_in_browser",
    "sha256_of",
    "waveform_peaks",
]
