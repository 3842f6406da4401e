"""Keys of line-ups: written down, committed to, read back, checked, and held against their own seed."""

from nares.design.keys.commitment import commitment_of, run_commitment_of, run_commitments_of
from nares.design.keys.following import key_findings
from nares.design.keys.reading import faults_of_key, read_json, read_key
from nares.design.keys.writing import brief_from, key_of, run_from, run_value, runs_from

__all__ = [
    "brief_from",
    "commitment_of",
    "faults_of_key",
    "key_findings",
    "key_of",
    "read_json",
    "read_key",
    "run_commitment_of",
    "run_commitments_of",
    "run_from",
    "run_value",
    "runs_from",
]
