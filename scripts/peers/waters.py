"""The same year of high and low waters with utide, and the same passage as an engineer would write it with NumPy. Times both and holds
their answers against the program's.

    waters.py measured.json
"""

import json
import statistics
import sys
import time
from pathlib import Path

import numpy as np
import utide

REPEATS = 3
KNOT = 1852 / 3600
YEAR = np.datetime64("2026-01-01T00:00:00")


def median_s(run):
    times = []
    for _ in range(REPEATS):
        begin = time.perf_counter()
        run()
        times.append(time.perf_counter() - begin)
    return statistics.median(times)


def extremes(at_s, height):
    """High and low waters by a parabola through the three highest or lowest samples."""
    middle = height[1:-1]
    turns = (middle - height[:-2]) * (height[2:] - middle) < 0
    i = np.flatnonzero(turns) + 1
    a, b, c = height[i - 1], height[i], height[i + 1]
    off = 0.5 * (a - c) / (a - 2 * b + c)
    return at_s[i] + off * (at_s[1] - at_s[0]), b - 0.25 * (a - c) * off


def year(measured):
    """A fit of our hourly heights gives utide the station's constants; the year itself is its reconstruction at six minutes."""
    hourly = np.array(measured["hourly_m"])
    at = YEAR + np.arange(len(hourly)) * np.timedelta64(3600, "s")
    coef = utide.solve(at, hourly, lat=measured["latitude_deg"], method="ols", conf_int="none", trend=False, verbose=False)
    seconds = np.arange(0, 365 * 86400 + 1, 360.0)
    times = YEAR + seconds.astype("timedelta64[s]")

    def waters():
        tide = utide.reconstruct(times, coef, verbose=False)
        return extremes(seconds, np.asarray(tide.h))

    taken = median_s(waters)
    at_s, heights = waters()
    own = np.array(measured["waters"])
    own_s = own[:, 0] - YEAR.astype("datetime64[s]").astype(float)
    near = np.abs(at_s[None, :] - own_s[:, None]).argmin(axis=1)
    print(
        f"year of waters    program {1e3 * measured['seconds']:9.1f} ms   utide {1e3 * taken:9.1f} ms   {taken / measured['seconds']:7.1f} times;"
        f" times differ by {np.median(np.abs(at_s[near] - own_s)):.0f} s, heights by {1e3 * np.median(np.abs(heights[near] - own[:, 1])):.0f} mm"
        " in the middle"
    )


def programme(measured):
    """Backwards over the pieces, all instants and speeds of a piece at once."""
    pieces, instants, speeds = measured["pieces"], measured["instants"], measured["speeds"]
    length = 40 * 1852 / pieces
    spans = np.array(measured["spans_s"])
    row = np.linspace(2 * KNOT, 8 * KNOT, speeds)
    power = 25 * (row / KNOT) ** 3
    grid = np.arange(0, 20 * 3600 + 1, 300.0)
    stream = 1.2 * KNOT * np.sin(grid / (12.42 * 3600) * 2 * np.pi)

    def run():
        after_t = np.linspace(spans[-1, 0], spans[-1, 1], instants)
        after = np.where(after_t <= measured["hours"] * 3600 + 1, 0.0, np.inf)
        for i in range(pieces - 1, -1, -1):
            t = np.linspace(spans[i, 0], spans[i, 1], instants)
            ground = row[None, :] + np.interp(t, grid, stream)[:, None]
            takes = length / np.maximum(ground, 1e-9)
            ground = row[None, :] + np.interp(t[:, None] + 0.5 * takes, grid, stream)
            takes = length / np.maximum(ground, 1e-9)
            to = t[:, None] + takes
            cost = power[None, :] * takes + 60 * takes
            if after_t[-1] > after_t[0]:
                place = np.clip((to - after_t[0]) / (after_t[1] - after_t[0]), 0, instants - 1)
                k = np.minimum(place.astype(int), instants - 2)
                togo = after[k] + (after[k + 1] - after[k]) * (place - k)
            else:
                togo = np.full(to.shape, after[0])
            togo = np.where((ground > 0.1) & (to <= after_t[-1] + 1e-6), togo, np.inf)
            whole = np.where(np.isfinite(togo), cost + togo, np.inf)
            # Closer between the neighbours of the best by a parabola, as the program does.
            best = whole.argmin(axis=1)
            at = np.arange(instants)
            low = whole[at, best]
            inner = (best > 0) & (best < speeds - 1)
            a, c = whole[at, np.maximum(best - 1, 0)], whole[at, np.minimum(best + 1, speeds - 1)]
            with np.errstate(invalid="ignore", divide="ignore"):
                bend = a - 2 * low + c
                closer = low - (a - c) ** 2 / (8 * bend)
            after = np.where(inner & np.isfinite(a) & np.isfinite(c) & (bend > 0), closer, low)
            after_t = t
        return after[0]

    with np.errstate(invalid="ignore"):
        taken = median_s(run)
        energy = run()
    print(
        f"passage           program {1e3 * measured['seconds']:9.1f} ms   NumPy {1e3 * taken:9.1f} ms   {taken / measured['seconds']:7.1f} times;"
        f" energy differs by {100 * (energy / measured['energy_j'] - 1):.2f} %"
    )


def main():
    measured = json.loads(Path(sys.argv[1]).read_text())
    print(f"utide {utide.__version__}, NumPy {np.__version__}; medians of {REPEATS} and of 7 runs")
    year(measured["year"])
    programme(measured["programme"])
    for key, value in measured.items():
        if key.endswith("_s"):
            print(f"{key[:-2]:34} {1e3 * value:9.1f} ms")


main()
