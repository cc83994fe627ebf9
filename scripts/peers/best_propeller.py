"""The best propeller for a thrust and a speed by SciPy's bounded optimiser on the published series, for
reference/propeller/calculated_best_propeller.csv.

    best_propeller.py > reference/propeller/calculated_best_propeller.csv

`pitch`: diameter fixed, the pitch ratio that needs the least power. `diameter`: shaft speed fixed, the
diameter that needs the least power, its pitch following from the thrust. Written from the coefficient
tables alone; shares no code with the program.
"""

import csv
from pathlib import Path

import numpy as np
import scipy
from scipy.optimize import brentq, minimize_scalar

REFERENCE = Path(__file__).resolve().parents[2] / "reference" / "propeller"
DENSITY = 1025.0
PITCH_RATIOS = (0.5, 1.4)

HEAD = """\
# source: oosterveld1975 coefficients through SciPy {scipy} (bounded Brent), script scripts/peers/best_propeller.py
# kind: independent calculation (own script in another language on the published coefficients)
# units: thrust_n N, advance_m_s m/s, given m (find = pitch) or rev/s (find = diameter), diameter_m m, pitch_ratio, rev_s rev/s, power_w W open water
# rounding: 6 significant digits
# tolerance: power 2e-5 (flat optimum, rounding); pitch ratio and diameter 1 % of themselves (the optimum is flat: 1 % of either changes power by about 1e-5)
# licence: own
find,thrust_n,advance_m_s,blades,area_ratio,given,diameter_m,pitch_ratio,rev_s,power_w"""

CASES = [
    ("pitch", 600.0, 1.5, 3, 0.50, 0.35),
    ("pitch", 900.0, 2.0, 3, 0.50, 0.40),
    ("pitch", 300.0, 1.6, 3, 0.40, 0.38),
    ("pitch", 1200.0, 2.3, 4, 0.60, 0.45),
    ("pitch", 450.0, 2.2, 4, 0.45, 0.35),
    ("diameter", 600.0, 1.5, 3, 0.50, 14.0),
    ("diameter", 900.0, 2.0, 3, 0.50, 15.0),
    ("diameter", 450.0, 2.2, 4, 0.45, 18.0),
    ("diameter", 1200.0, 2.3, 4, 0.60, 10.0),
]


def terms(which):
    with open(REFERENCE / f"oosterveld1975_{which}.csv", newline="", encoding="utf-8") as lines:
        rows = list(csv.reader(line for line in lines if not line.startswith("#")))
    return np.array([[float(cell) for cell in row[:5]] for row in rows[1:]])


KT, KQ = terms("kt"), terms("kq")


def series(table, j, pitch_ratio, area, blades):
    c, s, t, u, v = table.T
    return float(np.sum(c * j**s * pitch_ratio**t * area**u * blades**v))


def power(thrust, advance, blades, area, diameter, pitch_ratio):
    """(revolutions, open-water power) for the thrust: one root in the advance ratio."""
    wanted = thrust / (DENSITY * diameter**2 * advance**2)
    excess = lambda j: series(KT, j, pitch_ratio, area, blades) - wanted * j * j
    j = brentq(excess, 1e-3, 1.3 * pitch_ratio, xtol=1e-14)
    revs = advance / (j * diameter)
    kq = series(KQ, j, pitch_ratio, area, blades)
    return revs, 2 * np.pi * DENSITY * revs**3 * diameter**5 * kq


def best_pitch(thrust, advance, blades, area, diameter):
    of = lambda ratio: power(thrust, advance, blades, area, diameter, ratio)[1]
    found = minimize_scalar(of, bounds=PITCH_RATIOS, method="bounded", options={"xatol": 1e-9})
    return diameter, found.x


def best_diameter(thrust, advance, blades, area, revs):
    def pitch_for(diameter):
        return brentq(lambda ratio: power(thrust, advance, blades, area, diameter, ratio)[0] - revs, *PITCH_RATIOS)

    def of(diameter):
        try:
            return power(thrust, advance, blades, area, diameter, pitch_for(diameter))[1]
        except ValueError:  # no pitch of the series gives this thrust at these revolutions
            return 1e9
    # The reachable diameters first, then the best of them.
    reachable = [d for d in np.linspace(0.2, 0.9, 1401) if of(d) < 1e9]
    found = minimize_scalar(of, bounds=(reachable[0], reachable[-1]), method="bounded", options={"xatol": 1e-9})
    return found.x, pitch_for(found.x)


def main():
    print(HEAD.format(scipy=scipy.__version__))
    for find, thrust, advance, blades, area, given in CASES:
        best = best_pitch if find == "pitch" else best_diameter
        diameter, ratio = best(thrust, advance, blades, area, given)
        revs, watts = power(thrust, advance, blades, area, diameter, ratio)
        print(f"{find},{thrust:g},{advance:g},{blades},{area:g},{given:g},{diameter:.6g},{ratio:.6g},{revs:.6g},{watts:.6g}")


if __name__ == "__main__":
    main()
