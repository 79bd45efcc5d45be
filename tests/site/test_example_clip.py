"""The example clip that ships is the painter's own, invented, and small."""

from __future__ import annotations

import av
import numpy as np

from tests import film_example


def test_the_example_clip_is_what_the_painter_paints() -> None:
    assert film_example.PATH.stat().st_size < film_example.MOST_BYTES
    with av.open(str(film_example.PATH)) as clip:
        pictures = [frame.to_ndarray(format="rgb24") for frame in clip.decode(video=0)]
    times = film_example.times()
    assert len(pictures) == len(times)
    for i in (0, len(times) // 2):
        off = pictures[i].astype(float) - film_example.frame(times[i])
        assert 20 * np.log10(255 / np.sqrt((off**2).mean())) > 30, "dB"
