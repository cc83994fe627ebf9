"""Fits residuary resistance to the open Delft sets, chooses by leaving out one hull, and writes what the program reads.

Usage: own_fit.py             prints and writes reference/hull/ownfit_*.csv and crates/core/src/hull/own_tables.rs

Candidates: a polynomial of first and of second degree, a Gaussian process, each with and without the set measured with
keel and rudder (which enters less a term for these, found again without the hull in question). The one with the least
error of left-out hulls is written; that is the polynomial of second degree on the bare set, and it errs less on the
heaviest, lightest, widest and narrowest hulls than the process, which falls back to its straight part out there.
Penalties are chosen inside each fold.

No random numbers are drawn; the same libraries give the same digits.
"""
from pathlib import Path

import numpy as np

from own_fit_data import (
    APPENDED, AT_SHARED, BANDS, BARE, BARE_RATIO, FOLDER, FORMS, MODELS, NODES, REFERENCE_VOLUME, SHARED, TAPE,
    TAPE_FORMS, Z80, appendage_term, errors, figures, friction, linear_from, table, terms_1992, terms_1998,
    terms_2008,
)
from own_fit_models import FOUR, SCALE, SIX, TWO, Polynomial, observations, polynomial, process, refitted

CORE = Path(__file__).resolve().parents[2] / "crates" / "core" / "src" / "hull" / "own_tables.rs"
GROUPS = {
    "heaviest": sorted(BARE, key=lambda s: -FORMS[s]["slender"])[:4],
    "lightest": sorted(BARE, key=lambda s: FORMS[s]["slender"])[:4],
    "widest": sorted(BARE, key=lambda s: -FORMS[s]["beam_length"])[:4],
    "narrowest": sorted(BARE, key=lambda s: FORMS[s]["beam_length"])[:4],
}
SURFACES = {s: m["sc_m2"] for s, m in TAPE.items()}


def printed(terms, columns, forms=FORMS):
    return {
        s: (np.interp(NODES, columns[:, 0], columns[:, 1:] @ np.array(terms(forms[s]))), None) for s in BARE
    }


def left_out(method):
    out = {}
    for s in BARE:
        out.update(method(BARE, [s]))
    return out


def coverage(predicted):
    """Share of measured nodes inside the 80 % band by band and of all, and the mean of upper / lower of the total."""
    inside, width = [[] for _ in BANDS], []
    for s, (mean, deviation) in predicted.items():
        rub = friction(s, NODES)
        for k, node in enumerate(NODES):
            if np.isnan(BARE_RATIO[s][k]):
                continue
            # A node on an edge counts as the nominal test speed does: into the band that begins there.
            band = max(b for b in range(len(BANDS)) if node >= BANDS[b][0] - 1e-9)
            inside[band].append(abs(BARE_RATIO[s][k] - mean[k]) < Z80 * deviation[k])
            reach = Z80 * deviation[k]
            width.append((mean[k] + reach + rub[k]) / max(mean[k] - reach + rub[k], 0.3 * rub[k]))
    return [100 * np.mean(b) for b in inside] + [100 * np.mean(np.concatenate(inside)), np.mean(width)]


def row(name, standing, predicted, surfaces=None, curve=None):
    means = {s: p[0] for s, p in predicted.items()}
    found = figures(errors(means, **({"curve": curve} if curve else {}), surfaces=surfaces))
    covered = coverage(predicted) if next(iter(predicted.values()))[1] is not None else [None] * 6
    cells = ["" if v is None else f"{v:.2f}" for v in found + covered]
    line = ",".join([name, standing, *cells])
    print(line, flush=True)
    return line


COLUMNS = ",".join(
    ["fit", "standing"]
    + [f"{what}_{low:.2f}_{high:.2f}" for low, high in BANDS for what in ("bias", "rms")]
    + ["bias_all", "rms_all"]
    + [f"inside_{low:.2f}_{high:.2f}" for low, high in BANDS]
    + ["inside_all", "upper_over_lower"]
)


def head(kind, units, tolerance):
    return [
        "# source: own fit to dsyhs2022 and delft308, leaving out one hull, a hull out of both sets; made by scripts/peers/own_fit.py",
        f"# kind: {kind}",
        f"# units: {units}",
        "# rounding: as written",
        f"# tolerance: {tolerance}",
        "# licence: own; data CC0 1.0 and CC BY 4.0 as in the sets' files",
    ]


def write(name, lines):
    (FOLDER / name).write_text("\n".join(lines) + "\n", encoding="utf-8")


def all_rows():
    c98, c08 = table("keuning1998_residuary.csv"), table("keuning2008_residuary.csv")
    yield row("1998", "printed; in-sample", printed(terms_1998, c98), curve=linear_from)
    yield row("2008", "printed; in-sample", printed(terms_2008, c08), curve=linear_from)
    yield row("1998", "printed; in-sample; between columns by fourth powers", printed(terms_1998, c98))
    yield row("2008", "printed; in-sample; between columns by fourth powers", printed(terms_2008, c08))
    for name, terms in (("1998", terms_1998), ("2008", terms_2008)):
        yield row(name, "terms refitted; in-sample", refitted_in_sample(terms))
        yield row(name, "terms refitted; hull left out", left_out(lambda a, b, t=terms: refitted(t, a, b)))
        yield row(
            name, "terms refitted on both sets; hull left out",
            left_out(lambda a, b, t=terms: refitted(t, a, b, appended=True)),
        )
    yield row("polynomial of degree 1", "hull left out", left_out(lambda a, b: polynomial(a, b, SIX, 1)))
    yield row("polynomial of degree 2", "hull left out (the fit of six measures)", left_out(polynomial))
    yield row(
        "polynomial of degree 2", "both sets; hull left out",
        left_out(lambda a, b: polynomial(a, b, SIX, 2, True)),
    )
    process(BARE, [BARE[0]])
    start = process.last
    yield row("gaussian process", "bare set alone; hull left out", left_out(lambda a, b: process(a, b, start=start)))
    yield row(
        "gaussian process", "both sets; hull left out",
        left_out(lambda a, b: process(a, b, appended=True, start=start)),
    )
    yield row("polynomial of degree 2", "hull left out (the fit of four measures)", left_out(lambda a, b: polynomial(a, b, FOUR)))
    yield row("polynomial of degree 2", "hull left out (the fit of two measures)", left_out(lambda a, b: polynomial(a, b, TWO)))
    # What a tape and scales give: the rest is filled, wetted surface too. In-sample for the printed ones.
    yield row("1998", "printed; in-sample; tape", printed(terms_1998, c98, TAPE_FORMS), SURFACES, linear_from)
    yield row("2008", "printed; in-sample; tape", printed(terms_2008, c08, TAPE_FORMS), SURFACES, linear_from)
    yield row("1998", "terms refitted; hull left out; tape", left_out(lambda a, b: refitted(terms_1998, a, b, TAPE_FORMS)), SURFACES)
    yield row("2008", "terms refitted; hull left out; tape", left_out(lambda a, b: refitted(terms_2008, a, b, TAPE_FORMS)), SURFACES)
    yield row("polynomial of degree 2", "six measures; hull left out; tape", left_out(lambda a, b: polynomial(a, b, forms=TAPE_FORMS)), SURFACES)
    yield row("polynomial of degree 2", "two measures; hull left out; tape", left_out(lambda a, b: polynomial(a, b, TWO, forms=TAPE_FORMS)), SURFACES)


def refitted_in_sample(terms):
    # `refitted` leaves out what it predicts: give it twins of the hulls that it may not see.
    twin = {s: f"{s}" for s in BARE}
    for s, t in twin.items():
        MODELS[t], FORMS[t], BARE_RATIO[t] = MODELS[s], FORMS[s], BARE_RATIO[s]
    found = refitted(terms, BARE, list(twin.values()))
    for t in twin.values():
        del MODELS[t], FORMS[t], BARE_RATIO[t]
    return {s: found[t] for s, t in twin.items()}


def held_out_rows():
    for group, hulls in GROUPS.items():
        rest = [s for s in BARE if s not in hulls]
        name = f"{group}: {' '.join(map(str, sorted(hulls)))}"
        yield row("1998 refitted", name, refitted(terms_1998, rest, hulls))
        yield row("2008 refitted", name, refitted(terms_2008, rest, hulls))
        yield row("own; six measures", name, polynomial(rest, hulls))
        yield row("own; four measures", name, polynomial(rest, hulls, FOUR))
        yield row("own; two measures", name, polynomial(rest, hulls, TWO))
        yield row("gaussian process", name, process(rest, hulls))


def appended_rows():
    """The set with keel and rudder: form of 1992 as printed and refitted, own fit with the term for appendages."""
    c92 = table("gerritsma1992_low.csv")
    c92 = c92[[int(np.argmin(abs(c92[:, 0] - n))) for n in NODES[:SHARED]]]
    hulls = sorted(APPENDED)
    truth = np.array([APPENDED[s][AT_SHARED] for s in hulls])
    x = np.array([terms_1992(FORMS[s]) for s in hulls])
    answers = {"1992; printed; in-sample": x @ c92[:, 1:].T / 1000}
    refit, own = np.zeros_like(truth), np.zeros_like(truth)
    for i, s in enumerate(hulls):
        keep = np.arange(len(hulls)) != i
        refit[i] = x[i] @ np.linalg.pinv(x[keep], rcond=1e-10) @ truth[keep]
        rest = [h for h in BARE if h != s]
        term, _ = appendage_term(rest)
        own[i] = polynomial(rest, [s])[s][0][:SHARED] + term * REFERENCE_VOLUME / MODELS[s]["vol_m3"]
    answers["1992; terms refitted; hull left out"] = refit
    answers["own; six measures and a term for keel and rudder; hull left out"] = own
    for name, answer in answers.items():
        for k in range(SHARED):
            e = 100 * (answer[:, k] - truth[:, k]) / truth[:, k].mean()
            yield f"{name},{NODES[k]:.2f},{e.mean():.2f},{np.sqrt(np.mean(e**2)):.2f}"


def numbers(values, width=6):
    cells = [f"{v:.8e}" for v in values]
    return "".join(
        "    " + ", ".join(cells[i : i + width]) + ",\n" for i in range(0, len(cells), width)
    )


def rust(fits):
    out = [
        "//! Tables of the own fit to the open Delft sets, written by `scripts/peers/own_fit.py`.\n"
        "//! Not for: reading by eye or editing by hand; the form stands in `own_fit`.\n"
        "#![allow(clippy::unreadable_literal)]\n#![cfg_attr(rustfmt, rustfmt_skip)]\n\n"
        "use super::own_fit::Table;\n\n"
        "/// Middle and unit of each measure: volume^(1/3)/length, beam/length, ln(beam/draught), prismatic\n"
        "/// coefficient, centres of buoyancy and waterplane.\n"
        "pub(super) const SCALE: [[f64; 2]; 6] = [\n"
        + "".join(f"    [{a!r}, {b!r}],\n" for a, b in (SCALE[n] for n in SIX))
        + "];\n"
    ]
    for fit, word in zip(fits, ("SIX", "FOUR", "TWO")):
        size = len(fit.inverse)
        triangle = [fit.inverse[i, j] for i in range(size) for j in range(i + 1)]
        out.append(
            f"\n/// The fit of {word.lower()} measures.\npub(super) const {word}: Table<'static> = Table {{\n"
            f"    low: &[{', '.join(f'{v:.6f}' for v in fit.low)}],\n    high: &[{', '.join(f'{v:.6f}' for v in fit.high)}],\n"
            f"    coefficients: &{word}_COEFFICIENTS,\n    deviation: &[\n{numbers(fit.deviation)}    ],\n    inverse: &{word}_INVERSE,\n}};\n"
            f"\n/// Node by node: constant, slopes, then products of each pair in order.\n"
            f"const {word}_COEFFICIENTS: [f64; {fit.coefficients.size}] = [\n{numbers(fit.coefficients.ravel())}];\n"
            f"\n/// Lower triangle, row by row, of the inverse that gives the leverage.\nconst {word}_INVERSE: [f64; {len(triangle)}] = [\n{numbers(triangle)}];\n"
        )
    CORE.write_text("".join(out), encoding="utf-8")


def main():
    summary = head(
        "independent calculation; bias and rms of total resistance of the models, in percent of the measured, 44 bare hulls; share of measured nodes inside the 80 % band",
        "percent; upper_over_lower is the mean ratio of the band's ends, of total resistance",
        "printed digits; the program's own table is held against the measurements, not against these rows",
    )
    write("ownfit_leave_one_out.csv", [*summary, COLUMNS, *all_rows()])
    write("ownfit_held_out.csv", [*summary, COLUMNS, *held_out_rows()])
    write("ownfit_appended.csv", [
        *head("independent calculation; residuary resistance of 22 hulls with keel and rudder", "percent of the mean at that Froude number", "printed digits"),
        "fit,fn,bias,rms", *appended_rows(),
    ])
    seen = observations(BARE, [], False)
    fits = [Polynomial(seen, names) for names in (SIX, FOUR, TWO)]
    rust(fits)
    checks = []
    for s in sorted(FORMS):
        for count, fit in zip((6, 4, 2), fits):
            mean, deviation = fit.at(FORMS[s])
            checks += [f"{s},{count},{n:.2f},{m:.8f},{d:.8f}" for n, m, d in zip(NODES, mean, deviation)][::3]
    write("ownfit_checks.csv", [
        *head("independent calculation; the fit on all hulls, evaluated for the models", "residuary resistance / weight; standard deviation", "1e-8: printed digits"),
        "sysser,measures,fn,ratio,deviation", *checks,
    ])
    term, apart = appendage_term(BARE)
    print("appendages' residuary / weight x 1000 at the nodes:", np.round(1000 * term, 2), "+-", np.round(1000 * apart, 2))
    print("penalties", [f.strength for f in fits])


main()
