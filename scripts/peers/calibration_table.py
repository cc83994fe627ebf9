"""Verdicts on synthetic boats, as the table that is kept in the reference folder.

    calibration_table.py verdicts.csv SEED [--field]

Ranks: of each quantity the truth's rank among 99 samples, in ten bins; chi-square on nine degrees of freedom. Cases:
how often a single strong cause is named first, and what becomes of a sea that nobody noted.
"""

import csv
import sys
from collections import Counter, defaultdict
from pathlib import Path

from scipy.stats import chi2

CLEAR_KN = 0.25


def main():
    lines = Path(sys.argv[1]).read_text(encoding="utf-8").splitlines()
    is_field = "--field" in sys.argv
    ranks = [line.removeprefix("# ranks,").split(",") for line in lines if line.startswith("# ranks,")]
    cases = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    refused = next(line for line in lines if line.startswith("# refused"))
    prior = [case for case in cases if case["kind"] == "prior"]
    scatter = ("readings as instruments give them: normal errors of each leg, display steps, gusts" if is_field
               else "readings scatter as the inference supposes: Student's t, 5 degrees of freedom")
    print(f"""# source: own simulation-based calibration in the manner of talts2018; runs by scripts/peers/calibration_logs.py, an independent program
# kind: independent calculation; synthetic boats sampled from the prior (seed {sys.argv[2]}) around four invented designs; {scatter}
# units: knots where a column says so, else shares and counts
# rounding: three decimals
# tolerance: chi-square on 9 degrees of freedom, p above 0.001 for each quantity; 80 % bands hold 75 to 85 % of them, each, as the task was set
# licence: own
# {len(prior)} boats; {refused[2:]}; made by scripts/calibration{' --field' if is_field else ''}
kind,name,boats,figure,band_holds,detail""")
    for name, bins, chi, held in ranks:
        count = sum(map(int, bins.split()))
        print(f"ranks,{name},{count},{chi2.sf(float(chi), 9):.3f},{held},{bins}")
    single = defaultdict(list)
    for case in cases:
        if case["kind"].startswith("single "):
            single[case["truth"]].append(case)
    everything = []
    for truth, found in single.items():
        clear = [case for case in found if float(case["share_of_truth_kn"]) > CLEAR_KN]
        right = sum(case["first_cause"] == truth for case in clear)
        everything += [case["first_cause"] == truth for case in clear]
        if clear:
            print(f"single,{truth},{len(clear)},{right / len(clear):.3f},,named first where it takes more than {CLEAR_KN} kn")
    print(f"single,all,{len(everything)},{sum(everything) / len(everything):.3f},,named first")
    clear = [case for found in single.values() for case in found if float(case["share_of_truth_kn"]) > CLEAR_KN]
    named = sum(case["headline"] == "named" and case["named"] == case["truth"] for case in clear)
    print(f"headline,right cause named,{len(clear)},{named / len(clear):.3f},,nothing unmodelled: the headline names the right one with more than a half")
    odd = defaultdict(list)
    for case in cases:
        if case["kind"].startswith("unmodelled "):
            odd[case["kind"].removeprefix("unmodelled ")].append(case)
    for name, found in odd.items():
        wrong = sum(case["is_wrong"] == "1" for case in found) / len(found)
        says = Counter(case["headline"] for case in found)
        print(f"unmodelled,{name},{len(found)},{wrong:.3f},,a wrong cause named with more than a half; {' '.join(f'{k} {n}' for k, n in sorted(says.items()))}")
    sea = [case for case in cases if case["kind"] == "head_sea"]
    unexplained = sum(case["first_cause"] == "not_explained" for case in sea) / len(sea)
    confident = sum(case["first_cause"] != "not_explained" and float(case["first_probability"]) > 0.7 for case in sea)
    print(f"head_sea,not explained comes first,{len(sea)},{unexplained:.3f},,a sea on one course that is in nobody's notes")
    print(f"head_sea,another cause is blamed with confidence,{len(sea)},{confident / len(sea):.3f},,probability above 0.7")


if __name__ == "__main__":
    main()
