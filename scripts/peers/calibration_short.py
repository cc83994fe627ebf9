"""A few of the runs of synthetic boats, as the table that a test diagnoses afresh.

    calibration_short.py boats.json logs.json    as `scripts/calibration` makes them, COUNT=0
"""

import json
import sys
from collections import Counter
from pathlib import Path

# How many of each kind: some with one strong cause, some with something at work that the inference does not know.
WANTED = {"single bottom_growth": 2, "single limits": 2, "single hull": 2, "single blade_growth": 2,
          "unmodelled confined": 3, "unmodelled belt": 3, "unmodelled wind": 3, "unmodelled volts": 3}
COLUMNS = ["speed_over_ground_m_s", "shaft_rev_s", "motor_rev_s", "power_w", "voltage_v"]


def main():
    boats = json.loads(Path(sys.argv[1]).read_text(encoding="utf-8"))
    logs = json.loads(Path(sys.argv[2]).read_text(encoding="utf-8"))["logs"]
    print(f"""# source: own synthetic trials; runs by scripts/peers/calibration_logs.py, an independent program
# kind: independent calculation; the first cases of some kinds (seed {boats['seed']}), not chosen by how they are answered
# units: m/s, rev/s, rev/s, W, V
# rounding: five digits
# tolerance: none; what is held against them is the share of headlines that name a wrong or the right cause
# licence: own
case,speed_m_s,shaft_rev_s,motor_rev_s,power_w,voltage_v""")
    taken = Counter()
    for index, (case, log) in enumerate(zip(boats["boats"], logs)):
        if log["runs"] is None or taken[case["kind"]] >= WANTED.get(case["kind"], 0):
            continue
        taken[case["kind"]] += 1
        for run in log["runs"]:
            cells = [f"{run[column]:.5g}" if column in run else "" for column in COLUMNS]
            print(",".join([str(index), *cells]))


if __name__ == "__main__":
    main()
