"""The logs of the demo's two afternoons as tables, made by the peer's own steady state and not by the program that
reads them: once a second, with lags, steps of the display, a stream that changes, getaways and turns.

    demo_logs.py story.json FOLDER      story.json is what `cargo run --example demo_story` writes
"""

import json
import math
import sys
from pathlib import Path

import numpy as np

from calibration_logs import KNOT, GrownBoat, power_of

SEED = 2609
# Up the Sound and back.
COURSES_DEG = (318.0, 138.0)
LEG_S = 300
SHARES_OF_FULL = (0.5, 0.63, 0.76, 0.9)
# File, start (seconds since 1970), stream up the Sound [kn], head wind on the first course [m/s], which boat.
AFTERNOONS = (
    ("2025-09-21_as_she_came.csv", 1758459600, 0.9, 1.4, "as_she_came", "as she came from the refit"),
    ("2025-10-12_after_the_work.csv", 1760270400, -0.5, 1.9, "after_the_work",
     "current set as ordered, 3:1 pulleys"),
)


def afternoon(boat, plan, random, start_s, stream_kn, wind_m_s):
    """Harbour, getaway, each setting out and back with turns between."""
    rows, states = [], {}
    now, shaft, speed, heading = 0, 0.0, 0.0, COURSES_DEG[0]
    bank = boat.bank
    ohms = bank["packs_resistance_ohm"] + bank["cable_resistance_ohm"]

    def second(target_rev_s, way, is_full=False):
        nonlocal now, shaft, speed, heading
        boat.in_wind(wind_m_s if way == 0 else -wind_m_s)
        key = (target_rev_s, way, is_full)
        if key not in states:
            states[key] = (boat.full_throttle() if is_full else boat.at_shaft(target_rev_s)) if target_rev_s > 0 else None
        state = states[key]
        aim_shaft, aim_speed = (state["shaft_rev_s"], state["speed_m_s"]) if state else (0.0, 0.0)
        shaft += (aim_shaft - shaft) / 4          # the throttle is moved over some seconds
        speed += (aim_speed - speed) / 28         # she takes half a minute to follow
        turn = (COURSES_DEG[way] - heading + 180) % 360 - 180
        heading = (heading + max(-5, min(5, turn))) % 360
        # Strongest an hour after the first run.
        stream = stream_kn * math.cos(2 * math.pi * (now - 3600) / (12.42 * 3600)) * KNOT
        ground = speed + stream * math.cos(math.radians(heading - COURSES_DEG[0])) + random.normal(0, 0.03)
        power = power_of(boat, state) * (shaft / aim_shaft) ** 3 if state else 0.0
        power += bank["house_power_w"]
        rest = bank["open_circuit_v"]
        volts = rest / 2 + math.sqrt(rest**2 / 4 - power * ohms)
        rows.append((
            start_s + now, (heading + random.normal(0, 1.2)) % 360, max(ground, 0) / KNOT,
            max(shaft * 60 + random.normal(0, 1.5), 0), volts + random.normal(0, 0.04),
            power / volts * (1 + random.normal(0, 0.01)),
        ))
        now += 1

    for _ in range(60):
        second(0.0, 0)
    for rev_s, is_full in plan:
        for way in (0, 1):
            for _ in range(LEG_S):
                second(rev_s, way, is_full)
    for _ in range(90):
        second(0.0, 1)
    return rows


def main():
    boats = json.loads(Path(sys.argv[1]).read_text(encoding="utf-8"))
    random = np.random.default_rng(SEED)
    for name, start_s, stream_kn, wind_m_s, which, what in AFTERNOONS:
        boat = GrownBoat(boats[which])
        full = boat.full_throttle()
        print(f"{which}: {full['speed_m_s'] / KNOT:.2f} kn, {full['shaft_rev_s'] * 60:.0f} rpm, {full['limit']}", file=sys.stderr)
        plan = [(round(share * full["shaft_rev_s"] * 60, -1) / 60, False) for share in SHARES_OF_FULL]
        rows = afternoon(boat, plan + [(full["shaft_rev_s"], True)], random, start_s, stream_kn, wind_m_s)
        lines = [
            f"# An invented log of an invented boat, {boats['name']}; no such afternoon was ever sailed.",
            f"# Made by scripts/make-demo-logs, independently of the program, seed {SEED}; {what}.",
            "UTC,course over ground (deg),SOG (kn),shaft speed (rpm),bank voltage (V),bank current (A)",
        ]
        for second, heading, ground, rpm, volts, amps in rows:
            stamp = np.datetime_as_string(np.datetime64(second, "s"))
            lines.append(f"{stamp}Z,{heading:.0f},{ground:.1f},{2 * round(rpm / 2)},{volts:.2f},{amps:.1f}")
        Path(sys.argv[2], name).write_text("\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
