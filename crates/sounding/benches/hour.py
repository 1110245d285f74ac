"""One hour of taps: the binary beside the same chain in NumPy and SciPy, in one run.

    cargo build --release
    python3 crates/sounding/benches/hour.py target/release/tooth

Needs NumPy and SciPy. The chain: read 16-bit samples, band-pass from 700 Hz to 9 kHz by
second-order sections, mean square over 2 ms at steps of half a millisecond, peaks with
rise and median tests, spectra of 43 ms before and at each event in twenty mel bands.
The model after it (a few thousand taps) is left out of the SciPy side. Three alternating
runs each; medians, the peak memory of the binary and the ratio are printed.
"""

import os
import resource
import statistics
import struct
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from scipy import ndimage, signal

RATE = 48_000
HERE = Path(__file__).resolve().parents[3]


def hour(path):
    """The example's recording, again and again, said to be of 48 kHz."""
    data = (HERE / "examples/tap-grid/bay.wav").read_bytes()[44:]
    size = 3600 * RATE * 2
    head = struct.pack("<4sI8sIHHIIHH4sI", b"RIFF", 36 + size, b"WAVEfmt ", 16, 1, 1, RATE,
                       2 * RATE, 2, 16, b"data", size)
    # In pieces: a child's peak memory begins with that of the process that starts it.
    with path.open("wb") as file:
        file.write(head)
        for start in range(0, size, len(data)):
            file.write(data[: size - start])


def mel_bands(size):
    mel = lambda f: 2595 * np.log10(1 + f / 700)
    edges = 700 * (10 ** (np.linspace(mel(250), mel(9000), 22) / 2595) - 1)
    f = np.arange(size // 2 + 1) * RATE / size
    rise = (f - edges[:-2, None]) / (edges[1:-1] - edges[:-2])[:, None]
    fall = (edges[2:, None] - f) / (edges[2:] - edges[1:-1])[:, None]
    return np.clip(np.minimum(rise, fall), 0, None)


def chain(path):
    x = np.frombuffer(path.read_bytes()[44:], dtype="<i2").astype(np.float64) / 32768
    sections = np.vstack([signal.butter(2, 700, "high", fs=RATE, output="sos"),
                          signal.butter(2, 9000, "low", fs=RATE, output="sos")])
    band = signal.sosfilt(sections, x)
    steps = (band[: len(band) // 24 * 24].reshape(-1, 24) ** 2).mean(axis=1)
    level = signal.lfilter(np.ones(4) / 4, 1, steps)
    peaks, _ = signal.find_peaks(level, distance=40)
    earlier = ndimage.uniform_filter1d(level, 17)
    peaks = peaks[(peaks > 420) & (peaks < len(level) - 260)]
    peaks = peaks[level[peaks] >= 1.5**2 * earlier[peaks - 14]]
    median = np.array([np.median(level[p - 400 : p + 200 : 2]) for p in peaks])
    peaks = peaks[level[peaks] >= 1.5**2 * median]
    size, length = 4096, 2049
    share = np.clip((np.arange(length) / length - 0.4) / 0.6, 0, None)
    window = 0.5 + 0.5 * np.cos(np.pi * share)
    bands = mel_bands(size)
    powers = []
    for p in peaks:
        at = p * 24 - 120
        both = np.stack([x[at : at + length], x[at - length - 48 : at - 48]]) * window
        powers.append((np.abs(np.fft.rfft(both, size)) ** 2) @ bands.T)
    return len(peaks), np.array(powers).shape


def main():
    binary = sys.argv[1]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "hour.wav"
        hour(path)
        ours, theirs = [], []
        for _ in range(3):
            start = time.perf_counter()
            subprocess.run([binary, "sounding", str(path), "--json"], check=True,
                           stdout=subprocess.DEVNULL)
            ours.append(time.perf_counter() - start)
            if len(ours) == 1:
                # Later children start out with the memory of this process's own arrays.
                peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
            start = time.perf_counter()
            events, _ = chain(path)
            theirs.append(time.perf_counter() - start)
    own, other = statistics.median(ours), statistics.median(theirs)
    print(f"tooth {own:.2f} s ({3600 / own:.0f} times real time, {peak:.0f} MiB); "
          f"NumPy and SciPy {other:.2f} s, {events} events; ratio {other / own:.1f} "
          f"on {os.cpu_count()} processors")


main()
