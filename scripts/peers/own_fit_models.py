"""Candidates for residuary resistance of a hull from its form: published terms fitted again, regularised polynomials,
a Gaussian process. Each is fitted on some hulls and gives mean and standard deviation at the nodes for others.
"""
import math
from itertools import combinations_with_replacement

import numpy as np
from scipy.linalg import cho_factor, cho_solve
from scipy.optimize import minimize

from own_fit_data import (
    APPENDED, BARE_RATIO, FORMS, NODES, SHARED, appendage_term, friction, without_appendages,
)

# Measures of the three forms: all six, four (canoe-body draught and prismatic known), two (tape and scales).
SIX = ("slender", "beam_length", "beam_draught", "cp", "xb", "xf")
FOUR, TWO = SIX[:4], SIX[:2]
# Middle and unit of each measure, about the middle and the spread of the series.
SCALE = {
    "slender": (0.18, 0.035),
    "beam_length": (0.29, 0.045),
    "beam_draught": (math.log(5.0), 0.5),
    "cp": (0.555, 0.02),
    "xb": (0.525, 0.02),
    "xf": (0.555, 0.02),
}
PENALTIES = 10.0 ** np.arange(-3, 1.1, 0.25)
# A curvature is held back more than a slope.
QUADRATIC_PENALTY = 4.0
# What a hull's point of the set with keel and rudder weighs beside its bare one.
APPENDED_WEIGHT = 0.5


def measures(f, names):
    raw = [math.log(f[n]) if n == "beam_draught" else f[n] for n in names]
    return np.array([(v - SCALE[n][0]) / SCALE[n][1] for v, n in zip(raw, names)])


def observations(hulls, test, appended):
    """Hulls with residuary ratio and weight at each node; a hull of `test` is left out of both sets."""
    hulls = [s for s in hulls if s not in test]
    term, _ = appendage_term(hulls)
    found = []
    for s in hulls:
        ratio = BARE_RATIO[s].copy()
        if appended and s in APPENDED:
            other = without_appendages(s, term)
            ratio[:SHARED] = (ratio[:SHARED] + APPENDED_WEIGHT * other) / (1 + APPENDED_WEIGHT)
        found.append((s, ratio, 1.0))
    if appended:
        for s in sorted(set(APPENDED) - set(hulls) - set(test)):
            # In the bare set these look appended, or they are left out on purpose.
            if not set(test) & {s} and s in (8, 9, 13, 19):
                ratio = np.full(len(NODES), np.nan)
                ratio[:SHARED] = without_appendages(s, term)
                found.append((s, ratio, APPENDED_WEIGHT))
    return found


def refitted(terms, hulls, test, forms=None, appended=False):
    """The published terms by least squares of the relative error of the total, at each node."""
    forms = forms or FORMS
    seen = observations(hulls, test, appended)
    x = np.array([terms(FORMS[s]) for s, _, _ in seen])
    out = {s: [np.zeros(len(NODES)), np.zeros(len(NODES))] for s in test}
    for k in range(len(NODES)):
        y = np.array([r[k] for _, r, _ in seen])
        total = np.array([friction(s, NODES[k]) for s, _, _ in seen]) + np.maximum(y, 0)
        w = np.array([g for _, _, g in seen]) / total**2
        ok = ~np.isnan(y)
        # Some terms are nearly the same over the series: least squares of smallest norm.
        root = np.sqrt(w[ok])
        pseudo = np.linalg.pinv(x[ok] * root[:, None], rcond=1e-10)
        c = pseudo @ (y[ok] * root)
        s2 = np.sum(w[ok] * (y[ok] - x[ok] @ c) ** 2) / (ok.sum() - x.shape[1])
        for s in test:
            f = np.array(terms(forms[s]))
            out[s][0][k] = f @ c
            own_weight = (friction(s, NODES[k]) + max(f @ c, 0)) ** 2
            out[s][1][k] = math.sqrt(s2 * (own_weight + f @ pseudo @ pseudo.T @ f))
    return out


class Polynomial:
    """Regularised polynomial of the measures, the strength of the penalty by leaving out one hull inside `seen`.

    Beyond the box of the measures it was fitted on, its mean goes on straight along each measure; its standard
    deviation is that of the whole polynomial and widens.
    """

    def __init__(self, seen, names, degree=2):
        self.names, self.degree = names, degree
        at = np.array([measures(FORMS[s], names) for s, _, _ in seen])
        self.low, self.high = at.min(0), at.max(0)
        x = np.array([self.terms(row) for row in at])
        y = np.array([r for _, r, _ in seen])
        weight = np.where(np.isnan(y), 0.0, np.array([g for _, _, g in seen])[:, None])
        self.scale = np.nanmean(y, 0)
        y = np.nan_to_num(y / self.scale)
        penalty = np.r_[1e-9, np.ones(len(names)), np.full(x.shape[1] - 1 - len(names), QUADRATIC_PENALTY)]
        best = math.inf
        for strength in PENALTIES:
            score, parts = 0.0, []
            for k in range(len(NODES)):
                w = weight[:, k]
                inverse = np.linalg.inv((x * w[:, None]).T @ x + np.diag(strength * penalty))
                lever = np.sum((x @ inverse) * x, 1) * w
                c = inverse @ (x * w[:, None]).T @ y[:, k]
                e, ok = y[:, k] - x @ c, w > 0
                score += math.log(np.mean((e[ok] / (1 - lever[ok])) ** 2))
                parts.append((c, np.sum(w * e * e) / (ok.sum() - lever.sum())))
            if score < best:
                best, self.strength = score, strength
                self.coefficients = np.array([c for c, _ in parts]) * self.scale[:, None]
                self.deviation = np.sqrt([s for _, s in parts]) * self.scale
        full = np.all(weight > 0, 1) & (np.array([g for _, _, g in seen]) == 1.0)
        self.inverse = np.linalg.inv(x[full].T @ x[full] + np.diag(self.strength * penalty))

    def terms(self, at):
        quadratic = [at[i] * at[j] for i, j in combinations_with_replacement(range(len(at)), 2)]
        return np.array([1.0, *at, *(quadratic if self.degree == 2 else [])])

    def at(self, f):
        x = measures(f, self.names)
        out = x - np.clip(x, self.low, self.high)
        lead = self.terms(x)
        beyond = self.terms(out) if self.degree == 2 else lead * 0
        beyond[: 1 + len(x)] = 0.0
        return self.coefficients @ (lead - beyond), self.deviation * math.sqrt(1 + lead @ self.inverse @ lead)


def polynomial(hulls, test, names=SIX, degree=2, appended=False, forms=None):
    fit = Polynomial(observations(hulls, test, appended), names, degree)
    return {s: fit.at((forms or FORMS)[s]) for s in test}


def kernel(a, b, p):
    """Constant, linear and squared-exponential part with a length for each measure."""
    n = a.shape[1]
    apart = (((a[:, None] - b[None]) / np.exp(p[n : 2 * n])) ** 2).sum(2)
    return 25.0 + (a * np.exp(p[:n])) @ b.T + np.exp(p[2 * n]) * np.exp(-0.5 * apart)


def process(hulls, test, names=SIX, appended=False, start=None):
    """Gaussian process: one kernel for all nodes, a scale for each, hyperparameters by likelihood with weak priors.

    A gap at a node is filled by the polynomial of the same hulls; hulls known with keel and rudder alone stay out."""
    seen = [o for o in observations(hulls, test, appended) if o[2] == 1.0]
    smooth = Polynomial(seen, names)
    x = np.array([measures(FORMS[s], names) for s, _, _ in seen])
    y = np.array([np.where(np.isnan(r), smooth.at(FORMS[s])[0], r) for s, r, _ in seen])
    scale = y.mean(0)
    y = y / scale
    n, count = x.shape[1], len(seen)

    def loss(p):
        try:
            factor = cho_factor(kernel(x, x, p) + np.exp(p[-1]) * np.eye(count), lower=True)
        except np.linalg.LinAlgError:
            return 1e10
        q = np.sum(y * cho_solve(factor, y), 0)
        weak = np.sum(((p[:n] + 1) / 1.5) ** 2) + np.sum(((p[n : 2 * n] - 1) / 0.7) ** 2)
        weak += ((p[2 * n] + 1) / 1.5) ** 2 + ((p[-1] + 4) / 2.0) ** 2
        return len(NODES) * np.sum(np.log(np.diag(factor[0]))) + 0.5 * count * np.sum(np.log(q / count)) + 0.5 * weak

    p = start if start is not None else np.r_[-np.ones(n), np.ones(n), -1.0, -4.0]
    p = minimize(loss, p, method="L-BFGS-B", options={"maxiter": 60}).x
    factor = cho_factor(kernel(x, x, p) + np.exp(p[-1]) * np.eye(count), lower=True)
    size = np.sum(y * cho_solve(factor, y), 0) / count
    out = {}
    for s in test:
        at = measures(FORMS[s], names)[None]
        k = kernel(at, x, p)
        spread = kernel(at, at, p)[0, 0] - (k @ cho_solve(factor, k.T))[0, 0] + np.exp(p[-1])
        out[s] = ((k @ cho_solve(factor, y))[0] * scale, np.sqrt(spread * size) * scale)
    process.last = p
    return out
