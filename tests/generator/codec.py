"""What a phone's own lossy coding does to a sound: encoded and decoded again, in step with the original."""

import io

import numpy as np
from tests.generator.soundcraft import RATE_HZ, Sound


def through_aac(sound: Sound, kilobits_a_second: int) -> Sound:
    """A sound after AAC at a bit rate, same length, its delay taken off."""
    import av

    kept = io.BytesIO()
    with av.open(kept, "w", format="adts") as out:
        stream = out.add_stream("aac", rate=RATE_HZ)
        stream.bit_rate = kilobits_a_second * 1000
        stream.layout = "mono"
        for first in range(0, sound.size, 1024):
            part = np.pad(sound[first : first + 1024], (0, max(first + 1024 - sound.size, 0)))
            frame = av.AudioFrame.from_ndarray(part.astype(np.float32)[None], format="fltp", layout="mono")
            frame.rate, frame.pts = RATE_HZ, first
            out.mux(stream.encode(frame))
        out.mux(stream.encode(None))
    kept.seek(0)
    with av.open(kept, "r", format="aac") as back:
        decoded = np.concatenate([frame.to_ndarray()[0] for frame in back.decode(audio=0)]).astype(float)
    # An ADTS stream says nothing of the encoder's delay: 1024 samples of priming with this encoder.
    return np.pad(decoded[1024:], (0, sound.size))[: sound.size]
