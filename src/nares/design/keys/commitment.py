"""What binds somebody to a key without telling it: SHA-256 of its canonical JSON, nonce and all.

The nonce is what hides: a run has so few possible contents that without it everybody could try them all. The
digest is what binds: nobody can find a second key with the same one.
"""

import hashlib
import hmac
from collections.abc import Mapping
from typing import Any

import rfc8785

from nares.base.errors import Unusable
from nares.base.lineups import RunKey
from nares.design.keys.writing import run_value, runs_from


def commitment_of(key: Mapping[str, Any]) -> str:
    """The commitment to a whole key: SHA-256, in hex, of the UTF-8 bytes of its RFC 8785 canonical JSON.

    Raises:
        Unusable: If the key holds something JSON cannot carry exactly.

    Sources:
        rfc-8785: section 3.2.
        fips-180-4: SHA-256.
    """
    return hashlib.sha256(canonical(dict(key))).hexdigest()


def run_commitment_of(run: RunKey) -> str:
    """The commitment to one run: the same of the run as it stands in the key."""
    return commitment_of(run_value(run))


def run_commitments_of(key: Mapping[str, Any]) -> tuple[str, ...]:
    """The commitments to all runs of a key, in order."""
    return tuple(run_commitment_of(run) for run in runs_from(key))


def gives(key: Mapping[str, Any], commitment: str) -> bool:
    """Whether a key, or the value of one run, gives a commitment; capitals and outer spaces set aside."""
    return hmac.compare_digest(commitment_of(key).encode(), commitment.strip().lower().encode())


def canonical(value: Any) -> bytes:
    """RFC 8785 canonical JSON.

    Raises:
        Unusable: If it holds something JSON cannot carry exactly.
    """
    try:
        return rfc8785.dumps(value)
    except (rfc8785.CanonicalizationError, UnicodeError, RecursionError) as fault:
        raise Unusable(f"This key cannot be written as JSON exactly: {fault}. Give plain values.") from None
