"""Computes the figures that reinback-analysis is compared with.

    python3 tests/reference/compare.py     # sets up what this needs and checks

Every case comes from one seeded grid; `write(folder)` makes one CSV per method
and `versions.txt`. Nothing here shares code with the crate: intervals come from
scipy.stats and statsmodels where these have them, otherwise from root search on
scipy's distribution functions; permutation p values from trying every order.
"""

import csv
import itertools
import math
import platform
import sys
import warnings
from pathlib import Path

import numpy as np
import scipy
import statsmodels
import statsmodels.api as sm
from scipy import optimize, sparse, special, stats
from scipy.sparse import csgraph
from statsmodels.stats.inter_rater import cohens_kappa
from statsmodels.sandbox.stats.runs import runstest_1samp
from statsmodels.stats.multitest import multipletests
from statsmodels.stats.proportion import proportion_confint

SEED = 20_240_917
CASES = 2_000
LEVELS = (0.80, 0.90, 0.95, 0.99)


def root(function, low, high):
    """A sign change, to the last digits double precision has."""
    at_low, at_high = function(low), function(high)
    if at_low == 0:
        return low
    if at_high == 0:
        return high
    return optimize.brentq(function, low, high, xtol=1e-300, rtol=4 * np.finfo(float).eps, maxiter=2_000)


def counts(rng, most=400):
    """Attempts and faulty attempts, small ones more often, ends among them."""
    n = int(round(math.exp(rng.uniform(0, math.log(most)))))
    k = int(rng.choice([0, n])) if rng.random() < 0.1 else int(rng.integers(0, n + 1))
    return k, n


def level(rng):
    return float(rng.choice(LEVELS))


def wilson(rng):
    k, n = counts(rng)
    conf = level(rng)
    low, high = proportion_confint(k, n, 1 - conf, method="wilson")
    return (k, n, conf), (low, high)


def clopper_pearson(rng):
    k, n = counts(rng)
    conf = level(rng)
    tail = (1 - conf) / 2
    low = 0.0 if k == 0 else stats.beta.ppf(tail, k, n - k + 1)
    high = 1.0 if k == n else stats.beta.isf(tail, k + 1, n - k)
    return (k, n, conf), (low, high)


def mid_p_ends(k, n, conf):
    tail = (1 - conf) / 2

    def above(p):  # P(X > k) + P(X = k) / 2
        return stats.binom.sf(k, n, p) + 0.5 * stats.binom.pmf(k, n, p) - tail

    def below(p):
        return stats.binom.cdf(k - 1, n, p) + 0.5 * stats.binom.pmf(k, n, p) - tail

    # P(X > k) + P(X = k)/2 grows with p; the lower end is where it is the tail.
    low = 0.0 if k == 0 else root(above, 0.0, 1.0)
    high = 1.0 if k == n else root(below, 0.0, 1.0)
    return low, high


def mid_p(rng):
    k, n = counts(rng)
    conf = level(rng)
    return (k, n, conf), mid_p_ends(k, n, conf)


def exposure(rng):
    k = int(round(math.exp(rng.uniform(0, math.log(301))))) - 1
    return k, float(np.round(math.exp(rng.uniform(math.log(0.5), math.log(600))), 3))


def garwood(rng):
    k, time = exposure(rng)
    conf = level(rng)
    tail = (1 - conf) / 2
    low = 0.0 if k == 0 else stats.gamma.ppf(tail, k)
    high = stats.gamma.isf(tail, k + 1)
    return (k, time, conf), (low / time, high / time)


def poisson_mid_p(rng):
    k, time = exposure(rng)
    conf = level(rng)
    tail = (1 - conf) / 2
    far = 2 * (k + stats.norm.isf(tail) ** 2) + 20
    low = 0.0
    if k > 0:
        low = root(lambda m: stats.poisson.sf(k, m) + 0.5 * stats.poisson.pmf(k, m) - tail, 0.0, float(k) + 1)
    high = root(lambda m: stats.poisson.cdf(k - 1, m) + 0.5 * stats.poisson.pmf(k, m) - tail, 1e-9, far)
    return (k, time, conf), (low / time, high / time)


def newcombe(rng):
    one, other = counts(rng, 120), counts(rng, 120)
    conf = level(rng)
    (p1, p2) = one[0] / one[1], other[0] / other[1]
    l1, u1 = proportion_confint(*one, 1 - conf, method="wilson")
    l2, u2 = proportion_confint(*other, 1 - conf, method="wilson")
    d = p1 - p2
    low = d - math.sqrt((p1 - l1) ** 2 + (u2 - p2) ** 2)
    high = d + math.sqrt((u1 - p1) ** 2 + (p2 - l2) ** 2)
    return (*one, *other, conf), (low, high)


def rate_ratio(rng):
    one, other = exposure(rng), exposure(rng)
    while other[0] == 0:
        other = exposure(rng)
    conf = level(rng)
    low, high = mid_p_ends(one[0], one[0] + other[0], conf)
    scale = other[1] / one[1]
    return (*one, *other, conf), (low / (1 - low) * scale, high / (1 - high) * scale)


def table(rng):
    size = int(rng.integers(2, 5))
    cells = rng.integers(0, 12, (size, size)) + np.diag(rng.integers(0, 25, size))
    if cells.sum() == 0 or (cells.sum(0) > 0).sum() < 2 or (cells.sum(1) > 0).sum() < 2:
        return table(rng)
    return cells


def ac1_value(shares):
    usual = (shares.sum(0) + shares.sum(1)) / 2
    chance = (usual * (1 - usual)).sum() / (len(usual) - 1)
    return (np.trace(shares) - chance) / (1 - chance)


def ac1_variance(cells):
    """Numerical delta method: gradient by complex steps, the multinomial
    covariance of the cells."""
    shares = cells / cells.sum()
    gradient = np.zeros(shares.size)
    for cell in range(shares.size):
        moved = shares.astype(complex).ravel()
        moved[cell] += 1e-30j
        gradient[cell] = ac1_value(moved.reshape(shares.shape)).imag / 1e-30
    flat = shares.ravel()
    covariance = (np.diag(flat) - np.outer(flat, flat)) / cells.sum()
    return gradient @ covariance @ gradient


def kappas(rng):
    """Cohen's kappa with its range (statsmodels), then Gwet's AC1 with its."""
    cells = table(rng)
    conf = level(rng)
    found = cohens_kappa(cells, return_results=True)
    outputs = []
    for value, variance in [
        (found.kappa, found.var_kappa),
        (float(ac1_value(cells / cells.sum())), ac1_variance(cells)),
    ]:
        # Full agreement has no variance, only what rounding leaves of it.
        reach = stats.norm.isf((1 - conf) / 2) * math.sqrt(variance if variance > 1e-14 else 0)
        outputs += [value, max(value - reach, -1), min(value + reach, 1)]
    return (" ".join(map(str, cells.ravel())), conf), outputs


def adjusted(rng):
    p = np.round(rng.uniform(0, 1, int(rng.integers(1, 6))) ** rng.uniform(1, 4), 6)
    found = multipletests(p, method="fdr_bh")[1]
    return (" ".join(map(repr, p.tolist())),), (" ".join(map(text, found)),)


def posterior(rng):
    alpha, beta = np.round(rng.uniform(0.2, 30, 2), 1)
    k, n = counts(rng, 120)
    a, b = alpha + k, beta + n - k
    return (alpha, beta, k, n), (a / (a + b), stats.beta.ppf(0.025, a, b), stats.beta.isf(0.025, a, b))


def beta_binomial(rng):
    """Maximum likelihood of the beta-binomial over its mean and its worth: the
    simplex method first, then the zero of the score.

    Worths near the ends 2 and 10 000, which the crate holds, are left out.
    """
    while True:
        groups = int(rng.integers(5, 10))
        mean, worth = rng.uniform(0.1, 0.6), math.exp(rng.uniform(math.log(4), math.log(40)))
        n = rng.integers(8, 60, groups)
        k = rng.binomial(n, rng.beta(mean * worth, (1 - mean) * worth, groups))

        def split(x):
            m, w = special.expit(x[0]), math.exp(min(x[1], 20.0))
            return m * w, (1 - m) * w

        def loss(x):
            a, b = split(x)
            return -(special.betaln(k + a, n - k + b) - special.betaln(a, b)).sum()

        def score(x):
            a, b = split(x)
            both = special.digamma(n + a + b) - special.digamma(a + b)
            by_a = (special.digamma(k + a) - special.digamma(a) - both).sum()
            by_b = (special.digamma(n - k + b) - special.digamma(b) - both).sum()
            return [by_a - by_b, a * by_a + b * by_b]

        start = [special.logit((k.sum() + 0.5) / (n.sum() + 1)), math.log(10)]
        simplex = optimize.minimize(loss, start, method="Nelder-Mead", options={"xatol": 1e-6, "fatol": 1e-12})
        found = optimize.root(score, simplex.x, tol=1e-13)
        m, w = special.expit(found.x[0]), math.exp(min(found.x[1], 20.0))
        if np.abs(found.x - simplex.x).max() < 1e-3 and 2.5 < w < 2_000:
            return (" ".join(f"{a}/{b}" for a, b in zip(k, n)),), (m, w)


def logit(rng):
    """Slope of a binomial logit and its dispersion; statsmodels GLM."""
    while True:
        rides = int(rng.integers(8, 11))
        days = np.sort(rng.choice(np.arange(0, 100), rides, replace=False))
        n = rng.integers(2, 16, rides)
        slope = rng.normal(0, 0.8)
        x = (days - days.mean()) / np.abs(days - days.mean()).max()
        k = rng.binomial(n, special.expit(rng.normal(-0.5, 0.7) + slope * x))
        faulty, clean = x[k > 0], x[n - k > 0]
        if len(faulty) and len(clean) and faulty.min() < clean.max() and clean.min() < faulty.max():
            break
    fit = sm.GLM(np.column_stack([k, n - k]), sm.add_constant(x), family=sm.families.Binomial()).fit(tol=1e-14, maxiter=200)
    dispersion = max(1.0, fit.pearson_chi2 / (rides - 2))
    scale = np.abs(days - days.mean()).max()
    reach = stats.t.isf(0.025, rides - 2) * math.sqrt(dispersion * fit.cov_params()[1, 1])
    month = np.exp((fit.params[1] + np.array([0, -reach, reach])) * 30 / scale)
    rows = " ".join(f"{d}:{a}/{b}" for d, a, b in zip(days, k, n))
    return (rows,), (*month, dispersion)


def runs(rng):
    """Exact two-sided p of the runs, from whole numbers; z of statsmodels."""
    while True:
        marks = rng.random(int(rng.integers(2, 25))) < rng.uniform(0.1, 0.9)
        ones, zeros = int(marks.sum()), int((~marks).sum())
        if ones and zeros:
            break
    ways = {}
    for count in range(2, ones + zeros + 1):
        half, odd = divmod(count, 2)
        choose = lambda a, b: math.comb(ones - 1, a - 1) * math.comb(zeros - 1, b - 1)  # noqa: E731
        ways[count] = choose(half, half + 1) + choose(half + 1, half) if odd else 2 * choose(half, half)
    seen = 1 + int((marks[1:] != marks[:-1]).sum())
    few = sum(times for count, times in ways.items() if count <= seen)
    many = sum(times for count, times in ways.items() if count >= seen)
    p = min(1.0, 2 * min(few, many) / sum(ways.values()))
    spread = 2 * ones * zeros * (2 * ones * zeros - ones - zeros)
    z = runstest_1samp(marks.astype(float), cutoff=0.5, correction=False)[0] if spread else 0.0
    return ("b" + "".join("01"[int(mark)] for mark in marks),), (z, p)


def rides(rng, least, most):
    size = int(rng.integers(least, most + 1))
    n = rng.integers(1, 13, size)
    return rng.binomial(n, rng.beta(2, 4, size)), n


def at_least(statistics, observed):
    """Share of arrangements at least as far from 0, rounding aside."""
    statistics = np.abs(np.asarray(statistics, float))
    scale = max(1.0, float(statistics.max()))
    return float((statistics >= abs(observed) - 1e-9 * scale).mean())


def all_splits(k, n, first):
    scores = k - n * k.sum() / n.sum()
    scores = scores - scores.mean()
    chosen = np.array(list(itertools.combinations(range(len(k)), first)))
    return at_least(scores[chosen].sum(1), scores[:first].sum())


def split(rng):
    """Dealing up to 8 rides to two periods: every way."""
    k, n = rides(rng, 2, 8)
    first = int(rng.integers(1, len(k)))
    return (" ".join(f"{a}/{b}" for a, b in zip(k, n)), first), (all_splits(k, n, first),)


ORDERS = {size: np.array(list(itertools.permutations(range(size)))) for size in range(3, 9)}


def order_rows(k, n, days):
    scores = k - n * k.sum() / n.sum()
    return scores - scores.mean(), days - days.mean()


def order(rng):
    """Shuffling up to 8 rides over their days: every order."""
    k, n = rides(rng, 3, 8)
    days = np.sort(rng.choice(np.arange(0, 60), len(k), replace=False)).astype(float)
    scores, places = order_rows(k, n, days)
    p = at_least(scores[ORDERS[len(k)]] @ places, scores @ places)
    rows = " ".join(f"{int(d)}:{a}/{b}" for d, a, b in zip(days, k, n))
    return (rows,), (p,)


def signs(rng):
    """Exchanging the two sides of up to 8 rides: every way. Halves as scores,
    so that ties are exact."""
    scores = rng.integers(-9, 10, int(rng.integers(1, 9))) / 2
    turned = np.array(list(itertools.product((1, -1), repeat=len(scores))))
    return (" ".join(map(str, scores)),), (at_least(turned @ scores, scores.sum()),)


def sampled_split(rng):
    """More ways than the crate tries one by one; exact all the same."""
    k, n = rides(rng, 16, 17)
    return (" ".join(f"{a}/{b}" for a, b in zip(k, n)), 8), (all_splits(k, n, 8),)


NINE = np.array(list(itertools.permutations(range(9))), dtype=np.int8)


def sampled_order(rng):
    """Nine rides: the crate shuffles, here every order is tried."""
    k, n = rides(rng, 9, 9)
    days = np.sort(rng.choice(np.arange(0, 60), 9, replace=False)).astype(float)
    scores, places = order_rows(k, n, days)
    rows = " ".join(f"{int(d)}:{a}/{b}" for d, a, b in zip(days, k, n))
    return (rows,), (at_least(scores[NINE] @ places, scores @ places),)


def measurements(rng, least, most):
    """Stride times and the like: positive, of a spread of 1 to 25 %, some of them equal."""
    size = int(rng.integers(least, most + 1))
    values = rng.normal(1, rng.uniform(0.01, 0.25), size) * rng.uniform(0.4, 60)
    return np.round(np.abs(values) + 0.05, 3)


def evenness(rng):
    """Coefficient of variation with the range of McKay 1932."""
    while True:
        values = measurements(rng, 3, 25)
        conf = level(rng)
        n, k = len(values), values.std(ddof=1) / values.mean()
        tail = np.array([(1 + conf) / 2, (1 - conf) / 2])
        u = stats.chi2.ppf(tail, n - 1)
        under = (u / n - 1) * k**2 + u / (n - 1)
        if k > 0 and (under > 1e-3).all():
            return (" ".join(map(repr, values.tolist())), conf), (k, *(k / np.sqrt(under)))


def slope(rng):
    """Median of pairwise slopes, scipy's; the ends by Sen's ranks, interpolated as in Gilbert 1987."""
    size = int(rng.integers(3, 16))
    x = np.sort(rng.choice(np.arange(0, 90), size, replace=False)).astype(float)
    y = np.round(rng.normal(0, 2, size) + rng.normal(0, 0.1) * x, 1)
    conf = level(rng)
    middle = stats.theilslopes(y, x, alpha=0.95)[0]
    slopes = np.sort([(y[j] - y[i]) / (x[j] - x[i]) for i in range(size) for j in range(i + 1, size)])
    ties = np.unique(y, return_counts=True)[1]
    variance = (size * (size - 1) * (2 * size + 5) - (ties * (ties - 1) * (2 * ties + 5)).sum()) / 18
    reach = stats.norm.isf((1 - conf) / 2) * math.sqrt(max(variance, 0))
    ranks = np.array([(len(slopes) - reach) / 2, (len(slopes) + reach) / 2 + 1])
    low, high = np.interp(ranks, np.arange(1, len(slopes) + 1), slopes)
    points = " ".join(f"{a}:{b}" for a, b in zip(x.tolist(), y.tolist()))
    return (points, conf), (middle, low, high)


def quantile(rng):
    """Definition 7 of Hyndman & Fan 1996, which is numpy's."""
    values = measurements(rng, 1, 30)
    share = float(np.round(rng.uniform(0, 1), 3))
    return (" ".join(map(repr, values.tolist())), share), (float(np.quantile(values, share)),)


def limits(rng):
    """Mean and limits of agreement of Bland & Altman 1986, with the normal quantile for their 2."""
    values = np.round(rng.normal(rng.normal(0, 0.3), rng.uniform(0.05, 1), int(rng.integers(2, 40))), 3)
    conf = level(rng)
    reach = stats.norm.isf((1 - conf) / 2) * values.std(ddof=1)
    return (" ".join(map(repr, values.tolist())), conf), (values.mean(), values.mean() - reach, values.mean() + reach)


def likeness(rng):
    """Intraclass correlation from Pearson's chi-square of a logit with one mean for all rides
    (statsmodels), and the design effect of Kish 1965 with it."""
    while True:
        k, n = rides(rng, 3, 14)
        leverage = n.sum() - (n**2).sum() / n.sum() - (len(n) - 1)
        if 0 < k.sum() < n.sum() and leverage > 0.5:
            break
    fit = sm.GLM(np.column_stack([k, n - k]), np.ones((len(n), 1)), family=sm.families.Binomial()).fit(tol=1e-14)
    rho = (fit.pearson_chi2 - (len(n) - 1)) / leverage
    effect = max(1.0, 1 + ((n**2).sum() / n.sum() - 1) * min(max(rho, 0), 1))
    return (" ".join(f"{a}/{b}" for a, b in zip(k, n)),), (rho, effect)


def pairs(rng):
    """The most pairs within a tolerance (scipy's maximum matching), in milliseconds."""
    one = np.sort(rng.choice(20_000, int(rng.integers(0, 12)), replace=False))
    other = np.sort(rng.choice(20_000, int(rng.integers(0, 12)), replace=False))
    tolerance = int(rng.choice([0, 200, 500, 1_000, 2_000]))
    near_enough = np.abs(one[:, None] - other[None, :]) <= tolerance
    most = 0
    if near_enough.size:
        graph = sparse.csr_matrix(near_enough)
        most = int((csgraph.maximum_bipartite_matching(graph, perm_type="column") >= 0).sum())
    cells = lambda marks: "m " + " ".join(map(str, marks.tolist()))  # noqa: E731
    return (cells(one), cells(other), tolerance), (most,)


def wilson_ends(share, count, z):
    """Wilson's ends as the roots of (p - share)^2 = z^2 p (1 - p) / count."""
    a, b, c = 1 + z**2 / count, -(2 * share + z**2 / count), share**2
    reach = math.sqrt(max(b**2 - 4 * a * c, 0))
    return max((-b - reach) / (2 * a), 0), min((-b + reach) / (2 * a), 1)


def dispersion(rng):
    """How many attempts count as one; sometimes less than one or more than all."""
    return float(np.round(math.exp(rng.uniform(-0.3, 2.5)), 3))


def wilson_effective(rng):
    """Wilson's range of as many attempts as they are worth (Rao & Scott 1992)."""
    k, n = counts(rng)
    phi, conf = dispersion(rng), level(rng)
    return (k, n, phi, conf), effective_ends(k, n, phi, stats.norm.isf((1 - conf) / 2))


def effective_ends(k, n, phi, z):
    low, high = wilson_ends(k / n, n / min(max(phi, 1), n), z)
    return 0.0 if k == 0 else low, 1.0 if k == n else high


def newcombe_effective(rng):
    """Newcombe's method 10 on such ranges."""
    one, other = counts(rng, 120), counts(rng, 120)
    phis, conf = (dispersion(rng), dispersion(rng)), level(rng)
    z = stats.norm.isf((1 - conf) / 2)
    (p1, p2) = one[0] / one[1], other[0] / other[1]
    (l1, u1), (l2, u2) = effective_ends(*one, phis[0], z), effective_ends(*other, phis[1], z)
    low = p1 - p2 - math.hypot(p1 - l1, u2 - p2)
    high = p1 - p2 + math.hypot(u1 - p1, p2 - l2)
    return (*one, *other, *phis, conf), (max(low, -1), min(high, 1))


def newcombe_stratified(rng):
    """Two to five horses; Yan & Su 2010, with arrays, on effective counts."""
    size = int(rng.integers(2, 6))
    n = rng.integers(1, 40, (2, size))
    k = rng.binomial(n, rng.uniform(0, 1, (2, size)))
    phi = np.round(np.exp(rng.uniform(0, 1.5, (2, size))), 3)
    conf = level(rng)
    z = stats.norm.isf((1 - conf) / 2)
    p, worth = k / n, n / np.clip(phi, 1, n)
    w = n.prod(0) / n.sum(0)
    w = w / w.sum()
    ends = []
    for side in (0, 1):
        v = w**2 * p[side] * (1 - p[side]) / worth[side]
        narrow = math.sqrt(v.sum()) / np.sqrt(v).sum() if v.sum() > 0 else math.sqrt((w**2).sum())
        each = np.array([wilson_ends(*one, z * narrow) for one in zip(p[side], worth[side])])
        ends.append(w @ each)
    spread = (w**2 / worth).sum(1)
    d = w @ (p[0] - p[1])
    (l1, u1), (l2, u2) = ends
    low = d - z * math.sqrt(max(spread[0] * l1 * (1 - l1) + spread[1] * u2 * (1 - u2), 0))
    high = d + z * math.sqrt(max(spread[0] * u1 * (1 - u1) + spread[1] * l2 * (1 - l2), 0))
    horses = " ".join(
        f"{k[0, h]}/{n[0, h]}/{phi[0, h]}/{k[1, h]}/{n[1, h]}/{phi[1, h]}" for h in range(size)
    )
    return (horses, conf), (max(low, -1), min(high, 1))


def rate_ratio_stratified(rng):
    """Mantel-Haenszel's ratio of rates over horses, with the range of Greenland & Robins 1985."""
    while True:
        size = int(rng.integers(1, 6))
        k = rng.integers(0, 30, (2, size)).astype(float)
        time = np.round(rng.uniform(0.5, 90, (2, size)), 3)
        share = time / time.sum(0)
        above, below = k[0] @ share[1], k[1] @ share[0]
        if above > 0 and below > 0:
            break
    conf = level(rng)
    variance = (k.sum(0) * share.prod(0)).sum() / (above * below)
    ends = np.exp(math.log(above / below) + stats.norm.ppf([(1 - conf) / 2, (1 + conf) / 2]) * math.sqrt(variance))
    horses = " ".join(f"{int(k[0, h])}/{time[0, h]}/{int(k[1, h])}/{time[1, h]}" for h in range(size))
    return (horses, conf), tuple(ends)


def small_groups(rng, least):
    """Two or three horses of few rides each, with what each ride is above or below its horse."""
    for _ in range(int(rng.integers(2, 4))):
        k, n = rides(rng, least, 4)
        scores = k - n * k.sum() / n.sum()
        yield k, n, scores - scores.mean()


def sums(each):
    """Every sum of one value of each."""
    all_of_them = np.zeros(1)
    for values in each:
        all_of_them = np.add.outer(all_of_them, values).ravel()
    return all_of_them


def split_within(rng):
    """Dealing rides to two periods inside each horse: every way."""
    each, seen, cells = [], 0.0, []
    for k, n, scores in small_groups(rng, 2):
        first = int(rng.integers(1, len(k)))
        chosen = np.array(list(itertools.combinations(range(len(k)), first)))
        each.append(scores[chosen].sum(1))
        seen += scores[:first].sum()
        cells.append(" ".join(f"{a}/{b}" for a, b in zip(k, n)) + f" {first}")
    return (";".join(cells),), (at_least(sums(each), seen),)


def order_within(rng):
    """Shuffling rides over their days inside each horse: every order."""
    each, seen, cells = [], 0.0, []
    for k, n, scores in small_groups(rng, 3):
        days = np.sort(rng.choice(np.arange(0, 60), len(k), replace=False)).astype(float)
        places = days - days.mean()
        each.append(scores[ORDERS[len(k)]] @ places)
        seen += scores @ places
        cells.append(" ".join(f"{int(d)}:{a}/{b}" for d, a, b in zip(days, k, n)))
    return (";".join(cells),), (at_least(sums(each), seen),)


METHODS = {
    "wilson": (wilson, CASES),
    "clopper_pearson": (clopper_pearson, CASES),
    "binomial_mid_p": (mid_p, CASES),
    "garwood": (garwood, CASES),
    "poisson_mid_p": (poisson_mid_p, CASES),
    "newcombe": (newcombe, CASES),
    "rate_ratio_mid_p": (rate_ratio, CASES),
    "kappas": (kappas, CASES),
    "benjamini_hochberg": (adjusted, CASES),
    "beta_posterior": (posterior, CASES),
    "beta_binomial": (beta_binomial, CASES),
    "logit": (logit, CASES),
    "runs": (runs, CASES),
    "split": (split, CASES),
    "order": (order, CASES),
    "signs": (signs, CASES),
    "sampled_split": (sampled_split, 100),
    "sampled_order": (sampled_order, 100),
    # Each draws from a stream of its own, by its place: new ones stand at the end.
    "evenness": (evenness, CASES),
    "slope": (slope, CASES),
    "quantile": (quantile, CASES),
    "limits": (limits, CASES),
    "likeness": (likeness, CASES),
    "pairs": (pairs, CASES),
    "wilson_effective": (wilson_effective, CASES),
    "newcombe_effective": (newcombe_effective, CASES),
    "newcombe_stratified": (newcombe_stratified, CASES),
    "rate_ratio_stratified": (rate_ratio_stratified, CASES),
    "split_within": (split_within, CASES),
    "order_within": (order_within, CASES),
}


def text(value):
    """Ten significant digits: a rounding of 5e-10 at worst, below every tolerance."""
    return value if isinstance(value, str) else f"{float(value):.10g}"


def versions():
    return (
        f"python {'.'.join(platform.python_version_tuple()[:2])}\nnumpy {np.__version__}\n"
        f"scipy {scipy.__version__}\nstatsmodels {statsmodels.__version__}\nseed {SEED}\n"
    )


def write(folder):
    # Searches step far outside on their way; what they end on is checked.
    warnings.simplefilter("ignore", RuntimeWarning)
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "versions.txt").write_text(versions())
    for place, (name, (method, cases)) in enumerate(METHODS.items()):
        rng = np.random.default_rng([SEED, place])
        with open(folder / f"{name}.csv", "w", newline="") as out:
            rows = csv.writer(out, lineterminator="\n")
            for _ in range(cases):
                inputs, outputs = method(rng)
                rows.writerow([*map(text, inputs), *map(text, outputs)])


if __name__ == "__main__":
    write(sys.argv[1] if len(sys.argv) > 1 else Path(__file__).parent / "data")
