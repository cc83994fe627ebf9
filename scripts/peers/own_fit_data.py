"""Measured hulls of the Delft series, the published forms, and how errors of a prediction are counted.

The open sets lie in reference/hull. `own_fit.py` chooses and writes the fit.
"""
import csv
import math
from pathlib import Path

import numpy as np
from scipy.interpolate import CubicSpline, PchipInterpolator

FOLDER = Path(__file__).resolve().parents[2] / "reference" / "hull"
# Fresh water of 15 degC, assumed for the tank (the sets do not say); g as the sets' Froude numbers are nominal on it.
DENSITY, VISCOSITY, GRAVITY = 999.1, 1.1386e-6, 9.81
# Rows that look like tests with keel and rudder (friction / total 0.58 to 0.75 at Fn 0.15, 0.9 to 1.1 elsewhere).
SUSPECT = (8, 9, 13, 19, 30, 32, 34)
NODES = np.round(np.arange(0.15, 0.601, 0.05), 3)
BANDS = ((0.15, 0.25), (0.25, 0.35), (0.35, 0.45), (0.45, 0.60))
# Nodes that the set with keel and rudder reaches.
SHARED = 7
Z80 = 1.2815515655
# Keel and rudder were the same on all models of the first series (from memory): their force goes by 1/volume.
REFERENCE_VOLUME = 0.0376


def rows(name):
    with open(FOLDER / name, encoding="utf-8") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def table(name):
    return np.array([[float(v) for v in row.values()] for row in rows(name)])


MODELS = {int(r["sysser"]): {k: float(v) for k, v in r.items()} for r in rows("dsyhs2022_models.csv")}
BARE = [s for s in MODELS if s not in SUSPECT]


def form(model):
    """Form parameters as the fits name them."""
    length, beam, depth, volume = (model[k] for k in ("lwl_m", "bwl_m", "tc_m", "vol_m3"))
    return {
        "slender": volume ** (1 / 3) / length,
        "beam_length": beam / length,
        "beam_draught": beam / depth,
        "cp": model["cp"],
        "cm": model["cm"],
        "xb": 0.5 - model["lcb_m_from_mid"] / length,
        "xf": 0.5 - model["lcf_m_from_mid"] / length,
        "aw": model["aw_m2"] / volume ** (2 / 3),
        "sc": model["sc_m2"] / volume ** (2 / 3),
    }


FORMS = {s: form(m) for s, m in MODELS.items()}


def friction(hull, froude, surface=None):
    """Friction / weight of a model on the ITTC line with 0.7 of its length, without form factor."""
    model = MODELS[hull]
    length = model["lwl_m"]
    speed = froude * math.sqrt(GRAVITY * length)
    line = 0.075 / (np.log10(speed * 0.7 * length / VISCOSITY) - 2) ** 2
    return 0.5 * speed**2 * (surface or model["sc_m2"]) * line / (model["vol_m3"] * GRAVITY)


def measured(hull):
    """Froude numbers and total resistance / weight."""
    model = MODELS[hull]
    return MEASURED[hull][0] / math.sqrt(GRAVITY * model["lwl_m"]), MEASURED[hull][1] / (model["vol_m3"] * DENSITY * GRAVITY)


def _by_hull():
    found = {}
    for r in rows("dsyhs2022_resistance.csv"):
        found.setdefault(int(r["sysser"]), []).append((float(r["v_ms"]), float(r["rt_n"])))
    return {s: np.array(sorted(p)).T for s, p in found.items()}


MEASURED = _by_hull()


def _at_nodes(hull):
    """Residuary resistance / weight at the nodes; nan where no measurement lies within 0.03."""
    froude, total = measured(hull)
    curve = CubicSpline(froude, (total - friction(hull, froude)) / froude**4)
    near = np.array([np.min(abs(froude - n)) < 0.03 and froude[0] - 0.006 <= n <= froude[-1] + 0.006 for n in NODES])
    return np.where(near, curve(NODES) * NODES**4, np.nan)


BARE_RATIO = {s: _at_nodes(s) for s in MODELS}


def _appended():
    """The set with keel and rudder, 22 hulls x 14 Froude numbers, in the order of Sysser 1 to 22 (checked)."""
    set_ = rows("delft308_residuary.csv")
    found = {}
    for i, r in enumerate(set_):
        found.setdefault(i // 14 + 1, []).append(float(r["rr_per_weight_x1000"]) / 1000)
    for hull in found:
        r, f = set_[14 * (hull - 1)], FORMS[hull]
        # One wide hull's ratios are printed for a slightly different load.
        for column, value, room in (
            ("l_over_vol13", 1 / f["slender"], 0.01),
            ("l_over_b", 1 / f["beam_length"], 0.02),
            ("b_over_t", f["beam_draught"], 0.03),
            ("cp", f["cp"], 0.03),
        ):
            assert abs(float(r[column]) / value - 1) < room, (hull, column, r[column], value)
    return {s: np.array(v) for s, v in found.items()}


APPENDED = _appended()
APPENDED_FROUDE = np.round(0.125 + 0.025 * np.arange(14), 3)
AT_SHARED = [list(APPENDED_FROUDE).index(n) for n in NODES[:SHARED]]


def appendage_term(hulls):
    """Residuary resistance of keel and rudder / weight for the reference volume, from hulls that are in both sets."""
    both = [s for s in hulls if s in APPENDED and s not in SUSPECT]
    gaps = [(APPENDED[s][AT_SHARED] - BARE_RATIO[s][:SHARED]) * MODELS[s]["vol_m3"] / REFERENCE_VOLUME for s in both]
    return np.mean(gaps, 0), np.std(gaps, 0, ddof=1)


def without_appendages(hull, term):
    return APPENDED[hull][AT_SHARED] - term * REFERENCE_VOLUME / MODELS[hull]["vol_m3"]


def terms_1998(f):
    k = f["slender"]
    return [1, k * f["xb"], k * f["cp"], k / f["aw"], k * f["beam_length"], k / f["sc"], k * f["xb"] / f["xf"], k * f["xb"] ** 2, k * f["cp"] ** 2]


def terms_2008(f):
    k = f["slender"]
    return [1, k * f["xb"], k * f["cp"], k / f["aw"], k * f["beam_length"], k * f["xb"] / f["xf"], k * f["beam_draught"], k * f["cm"]]


def terms_1992(f):
    lcb, m, cp = 100 * (0.5 - f["xb"]), 1 / f["slender"], f["cp"]
    return [1, cp, lcb, f["beam_draught"], m, cp**2, cp * m, lcb**2, m**2, m**3]


def tape_model(hull):
    """The model known by length, beam and displacement alone; the rest as the program fills it."""
    model = dict(MODELS[hull])
    length, beam, volume = model["lwl_m"], model["bwl_m"], model["vol_m3"]
    model["cp"], model["cm"] = 0.551, 0.711
    model["tc_m"] = volume / (model["cp"] * model["cm"] * length * beam)
    model["lcb_m_from_mid"], model["lcf_m_from_mid"] = -0.024 * length, -0.055 * length
    model["aw_m2"] = 0.678 * length * beam
    model["sc_m2"] = (
        (1.97 + 0.171 * beam / model["tc_m"]) * (0.65 / model["cm"]) ** (1 / 3) * math.sqrt(volume * length)
    )
    return model


TAPE = {s: tape_model(s) for s in MODELS}
TAPE_FORMS = {s: form(m) for s, m in TAPE.items()}


def between_nodes(froude, ratio):
    return np.maximum(PchipInterpolator(NODES, ratio / NODES**4)(froude) * froude**4, 0)


def linear_from(froude, ratio):
    return np.maximum(np.interp(froude, np.r_[0.1, NODES], np.r_[0, ratio]), 0)


def errors(predicted, curve=between_nodes, surfaces=None):
    """Relative errors of total resistance at the measured points, by band. `predicted`: hull -> ratio at the nodes."""
    found = [[] for _ in BANDS]
    for hull, ratio in predicted.items():
        froude, total = measured(hull)
        rub = friction(hull, froude, surfaces[hull] if surfaces else None)
        for band, (low, high) in enumerate(BANDS):
            at = (froude >= low) & (froude < high)
            found[band] += list((curve(froude[at], ratio) + rub[at]) / total[at] - 1)
    return found


def figures(found):
    """bias and rms by band, then of all points, in percent."""
    out = []
    for band in [*found, np.concatenate(found)]:
        out += [100 * np.mean(band), 100 * np.sqrt(np.mean(np.square(band)))]
    return out
