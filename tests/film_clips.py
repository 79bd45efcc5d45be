"""Real clips for the tests of the film check: painted pictures, packed by real codecs (PyAV)."""

from __future__ import annotations

import struct
from collections.abc import Iterable, Sequence
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
from numpy.typing import NDArray

TICKS = 90_000  # time steps a second
OPTIONS = {
    "libx264": {"preset": "veryfast", "crf": "18", "g": "30"},
    "libvpx-vp9": {"deadline": "realtime", "cpu-used": "8", "crf": "24", "b": "0"},
    "mpeg4": {},
}


def write_clip(
    path: Path,
    pictures: Iterable[NDArray[np.uint8]],
    times: Sequence[float],
    codec: str = "libx264",
    turned: int = 0,
    quality: str = "",
) -> Path:
    """A clip of these pictures at these times (s); the ending of ``path`` says the container.

    ``turned`` (degrees clockwise, MP4 only): the pictures are packed as a phone held that way packs them, and
    the file says how to turn them back, so that a player shows them as painted. ``quality``: the codec's crf,
    for a small file with its index first.
    """
    step = Fraction(1, TICKS)
    with av.open(str(path), "w", options={"movflags": "faststart"} if quality else {}) as out:
        stream = None
        for picture, t in zip(pictures, times, strict=True):
            packed = np.ascontiguousarray(np.rot90(picture, turned // 90))
            if stream is None:
                stream = out.add_stream(codec, rate=30)
                stream.height, stream.width = packed.shape[:2]
                stream.pix_fmt = "yuv420p"
                stream.codec_context.time_base = step if codec != "mpeg4" else Fraction(1, 12)
                stream.options = OPTIONS[codec]
                if quality:
                    stream.options = {"preset": "veryslow", "crf": quality, "g": "30"}
            frame = av.VideoFrame.from_ndarray(packed, format="rgb24")
            frame.pts, frame.time_base = round(t * TICKS), step
            out.mux(stream.encode(frame))
        if stream is not None:
            out.mux(stream.encode(None))
    if turned:
        _say_turned(path, turned)
    return path


def again_and_again(path: Path, once: Path, seconds: float, times: int) -> Path:
    """A clip of ``seconds`` packed once, played that many times over without packing it anew."""
    with av.open(str(once)) as source, av.open(str(path), "w") as out:
        way = source.streams.video[0]
        stream = out.add_stream_from_template(way)
        packets = [packet for packet in source.demux(way) if packet.size]
        step = round(seconds / way.time_base)
        places = [(packet.pts, packet.dts) for packet in packets]
        for i in range(times):
            for packet, (pts, dts) in zip(packets, places, strict=True):
                packet.pts, packet.dts = pts + i * step, dts + i * step
                packet.stream = stream
                out.mux(packet)
                packet.time_base = way.time_base
    return path


def index_first(path: Path, once: Path, says: dict[str, str] | None = None) -> Path:
    """The same MP4 with its index before the pictures, so that one that is cut short opens; ``says``: what it
    says of itself by QuickTime metadata keys, as phones write them."""
    flags = "faststart+use_metadata_tags" if says else "faststart"
    with av.open(str(once)) as source, av.open(str(path), "w", options={"movflags": flags}) as out:
        out.metadata.update(says or {})
        stream = out.add_stream_from_template(source.streams.video[0])
        for packet in source.demux(source.streams.video[0]):
            if packet.size:
                packet.stream = stream
                out.mux(packet)
    return path


def _say_turned(path: Path, degrees: int) -> None:
    """Writes the turn into the track header's matrix (ISO/IEC 14496-12, 8.3.2)."""
    data = bytearray(path.read_bytes())
    at = data.index(b"tkhd") + 4
    version = data[at]
    matrix = at + 4 + (32 if version else 20) + 16
    one = 1 << 16
    cos, sin = {90: (0, one), 180: (-one, 0), 270: (0, -one)}[degrees]
    struct.pack_into(">9i", data, matrix, cos, sin, 0, -sin, cos, 0, 0, 0, 1 << 30)
    path.write_bytes(data)


def sound_only(path: Path) -> Path:
    """A second of silence in an MP4."""
    with av.open(str(path), "w") as out:
        stream = out.add_stream("aac", rate=8000)
        for i in range(8):
            frame = av.AudioFrame.from_ndarray(np.zeros((1, 1024), np.float32), format="fltp", layout="mono")
            frame.sample_rate, frame.pts = 8000, 1024 * i
            out.mux(stream.encode(frame))
        out.mux(stream.encode(None))
    return path
