"""One height map of 4096 by 4096: the binary beside the same figures in NumPy and SciPy.

    cargo build --release
    python3 crates/texture/benches/map.py target/release/tooth

Needs NumPy and SciPy. Both sides: least-squares plane, S-filter 0.5 mm and L-filter 25 mm,
height, hybrid, functional and core parameters, autocorrelation length and aspect ratio (padded,
pairs divided out), the virtual sand patch by lids of 65 mm and by closing with 25 mm. Three
alternating runs each in processes of their own; medians, peak memories and the ratio.
With `sizes`, the binary alone at four sizes.
"""

import json
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

SIDE, STEP = 4096, 0.05


def surface(side):
    import numpy as np

    rng = np.random.default_rng(7)
    size = np.fft.rfftfreq(side, STEP)[None, :] ** 2 + np.fft.fftfreq(side, STEP)[:, None] ** 2
    wave = np.fft.rfft2(rng.standard_normal((side, side))) * np.exp(-np.pi**2 * size * 1.5**2 / 2)
    z = np.fft.irfft2(wave, (side, side))
    return (0.4 * z / z.std() + 0.01 * rng.standard_normal((side, side))).astype("f4")


def chain(path):
    """The same figures in NumPy and SciPy, in double precision where they take it."""
    import numpy as np
    from scipy import fft, ndimage

    z = np.load(path).astype("f8")
    n, m = z.shape
    y, x = (np.arange(n) - (n - 1) / 2)[:, None], (np.arange(m) - (m - 1) / 2)[None, :]
    z -= z.mean() + (z * x).mean() / (x * x).mean() * x + (z * y).mean() / (y * y).mean() * y
    sigma = np.sqrt(np.log(2) / np.pi) / np.sqrt(2 * np.pi)
    z = ndimage.gaussian_filter(z, sigma * 0.5 / STEP, mode="reflect", truncate=5.34)
    z -= ndimage.gaussian_filter(z, sigma * 25 / STEP, mode="reflect", truncate=5.34)
    z -= z.mean()
    out = {"Sa": np.abs(z).mean(), "Sq": np.sqrt((z**2).mean())}
    out["Ssk"] = (z**3).mean() / out["Sq"] ** 3
    out["Sku"] = (z**4).mean() / out["Sq"] ** 4
    out["Sp"], out["Sv"] = z.max(), -z.min()
    dx, dy = np.diff(z, axis=1) / STEP, np.diff(z, axis=0) / STEP
    out["Sdq"] = np.sqrt((dx**2).mean() + (dy**2).mean())
    area = 0
    for a in (dx[:-1], dx[1:]):
        for b in (dy[:, :-1], dy[:, 1:]):
            area = area + np.sqrt(1 + a * a + b * b)
    out["Sdr"] = (area / 4 - 1).mean()
    c = np.sort(z.ravel())[::-1]
    k, p, q = len(c), int(0.1 * len(c)), int(0.8 * len(c))
    total = np.cumsum(c) / k
    out["Vmp"] = total[p - 1] - 0.1 * c[p]
    out["Vvv"] = 0.2 * c[q] - (total[-1] - total[q - 1])
    out["Vmc"] = total[q - 1] - 0.8 * c[q] - out["Vmp"]
    out["Vvc"] = 0.9 * c[p] - (total[-1] - total[p - 1]) - out["Vvv"]
    w = int(0.4 * k)
    s = np.argmin(c[: k - w] - c[w:])
    slope, at = np.polyfit(np.arange(s, s + w) / k, c[s : s + w], 1)
    out["Sk"] = -slope
    rows, columns = 3 * n // 2, 3 * m // 2
    f = fft.rfft2(z, (rows, columns))
    acf = fft.irfft2(np.abs(f) ** 2, (rows, columns))
    ty = np.minimum(np.arange(rows), rows - np.arange(rows))[:, None]
    tx = np.minimum(np.arange(columns), columns - np.arange(columns))[None, :]
    near = (ty <= n // 2) & (tx <= m // 2)
    acf = np.where(near, acf / np.maximum((n - ty) * (m - tx), 1) / out["Sq"] ** 2, 1)
    low = acf < 0.2
    far = np.sqrt((ty * STEP) ** 2 + (tx * STEP) ** 2)
    out["Sal"] = far[low].min()
    depth, cells = 0, round(n * STEP / 65)
    for r in range(cells):
        for s in range(cells):
            part = z[r * n // cells : (r + 1) * n // cells, s * m // cells : (s + 1) * m // cells]
            yy, xx = np.indices(part.shape)
            yy, xx = yy - yy.mean(), xx - xx.mean()
            part = part - part.mean() - (part * xx).mean() / (xx**2).mean() * xx
            part -= (part * yy).mean() / (yy**2).mean() * yy
            depth += np.quantile(part, 0.999) / cells**2
    out["mean_texture_depth"] = depth
    width = 2 * round(25 / STEP / 2) + 1
    out["closing"] = (ndimage.grey_closing(z, (width, width)) - z).mean()
    return {key: float(value) for key, value in out.items()}


def run(command):
    start = time.perf_counter()
    child = subprocess.Popen(command, stdout=subprocess.PIPE)
    out = child.stdout.read()
    _, status, used = os.wait4(child.pid, 0)
    assert status == 0, command
    return time.perf_counter() - start, used.ru_maxrss / 1024, json.loads(out)


def command(binary, path):
    return [binary, "texture", str(path), "--spacing-mm", str(STEP), "--s-filter-mm", "0.5",
            "--l-filter-mm", "25", "--json"]


def main():
    binary, *rest = sys.argv[1:]
    if binary == "--chain":
        print(json.dumps(chain(rest[0])))
        return
    # The map is made by another process: a child's peak begins with that of its parent.
    with tempfile.TemporaryDirectory() as folder:
        make = "import sys, numpy; from map import surface; " \
               "numpy.save(sys.argv[2], surface(int(sys.argv[1])))"
        path = Path(folder) / "map.npy"
        for side in [1024, 2048, 4096, 8192] if "sizes" in rest else [SIDE]:
            subprocess.run([sys.executable, "-c", make, str(side), str(path)], check=True,
                           cwd=Path(__file__).parent)
            if "sizes" in rest:
                seconds, memory, _ = min(run(command(binary, path)) for _ in range(3))
                print(f"{side} × {side}: {seconds:.2f} s, {1e9 * seconds / side**2:.0f} ns a "
                      f"height, {memory:.0f} MiB (map {side**2 * 4 / 2**20:.0f})")
                continue
            ours, theirs = [], []
            for _ in range(3):
                ours.append(run(command(binary, path)))
                theirs.append(run([sys.executable, __file__, "--chain", str(path)]))
            own, other = (statistics.median(r[0] for r in runs) for runs in (ours, theirs))
            peaks = [max(r[1] for r in runs) for runs in (ours, theirs)]
            print(f"tooth {own:.2f} s, {peaks[0]:.0f} MiB; NumPy and SciPy {other:.2f} s, "
                  f"{peaks[1]:.0f} MiB; ratio {other / own:.1f} on {os.cpu_count()} processors")
            said, chained = ours[0][2], theirs[0][2]
            own = {key.removesuffix("_mm"): value for key, value in said["areal"].items()}
            own |= {"mean_texture_depth": said["mean_texture_depth_mm"],
                    "closing": said["closing_depth_mm"]}
            for key, value in chained.items():
                print(f"  {key:20} {own[key]:12.6f} {value:12.6f}")


if __name__ == "__main__":
    main()
