"""Second opinions on lots over time: the law of a mill and of steps, drift, trends and parents, derived anew in NumPy and SciPy."""

import numpy
from scipy import optimize, signal, stats

def law(rows, y, means, sds, count=1500):
    """Regression with normal beliefs and a half-Cauchy scatter of scale 0.1, its scatter on a fine grid: weight, σ, mean, covariance."""
    rows, y, means = numpy.array(rows), numpy.array(y), numpy.array(means)
    believed = numpy.diag([0.0 if sd is None else sd**-2 for sd in sds])
    found = []
    for sigma in numpy.geomspace(1e-4, 20, count):
        precision = rows.T @ rows / sigma**2 + believed
        covariance = numpy.linalg.inv(precision)
        mean = covariance @ (rows.T @ y / sigma**2 + believed @ means)
        off, away = y - rows @ mean, mean - means
        misfit = off @ off / sigma**2 + away @ believed @ away
        likely = -len(y) * numpy.log(sigma) - (numpy.linalg.slogdet(precision)[1] + misfit) / 2
        # Each point of the grid stands for a stretch in proportion to σ.
        weight = likely - numpy.log1p((sigma / 0.1) ** 2) + numpy.log(sigma)
        found.append((weight, sigma, mean, covariance))
    top = max(f[0] for f in found)
    weights = numpy.array([numpy.exp(f[0] - top) for f in found])
    weights /= weights.sum()
    return [(w, *f[1:]) for w, f in zip(weights, found) if w > 1e-12]


def quantiles(components, row, fractions):
    """Of one further value at a row, from the mixture over σ."""
    row = numpy.array(row)
    w = numpy.array([c[0] for c in components])
    m = numpy.array([row @ c[2] for c in components])
    s = numpy.sqrt([c[1] ** 2 + row @ c[3] @ row for c in components])

    def below(x, p):
        return (w * stats.norm.cdf((x - m) / s)).sum() / w.sum() - p

    return [optimize.brentq(below, -60, 60, args=(p,), xtol=1e-12) for p in fractions]


def mill_law(q):
    components = law(q["rows"], q["y"], q["means"], q["sds"])
    return numpy.exp(quantiles(components, q["at"], q["fractions"]))


def chain(q):
    """Lots drawn through steps one after another: ends of the last size, and the chance that all lie within their limits."""
    random = numpy.random.default_rng(7)
    count = 400_000
    before = None
    for step in q["steps"]:
        after = numpy.log(step["afterUm"])
        lots = after.shape[1]
        laws, residuals, middles, carried = [], [], [], []
        for s, y in enumerate(after):
            columns = [numpy.ones(lots)]
            means, sds = [0.0], [None]
            if before is not None:
                x = numpy.log(step["beforeUm"][s])
                middles.append(x.mean())
                columns.append(x - x.mean())
                means.append(0.5)
                sds.append(0.5)
            for setting in step["settings"]:
                v = numpy.array(setting["values"])
                columns.append((v - (v.min() + v.max()) / 2) / (v.max() - v.min()))
                means.append(0.0)
                sds.append(0.5)
            rows = numpy.column_stack(columns)
            components = law(rows, y, means, sds, 400)
            laws.append(components)
            middle = sum(c[0] * c[2] for c in components)
            residuals.append(y - rows @ middle)
        settings = [
            (s["at"] - (min(s["values"]) + max(s["values"])) / 2) / (max(s["values"]) - min(s["values"]))
            for s in step["settings"]
        ]
        together = numpy.corrcoef(residuals) * lots / (lots + 4)
        numpy.fill_diagonal(together, 1)
        deviates = random.multivariate_normal(numpy.zeros(len(after)), together, count)
        # One place of the scatter for all sizes of a lot: the components stand in rising order of σ.
        place = random.random(count)
        now = numpy.empty((len(after), count))
        for s, components in enumerate(laws):
            reached = numpy.cumsum([c[0] for c in components])
            which = numpy.searchsorted(reached, place).clip(max=len(components) - 1)
            row = numpy.ones((count, 1))
            if before is not None:
                row = numpy.column_stack([row, before[s] - middles[s]])
            row = numpy.column_stack([row, *[numpy.full(count, v) for v in settings]])
            mean = (row * numpy.array([c[2] for c in components])[which]).sum(1)
            covariance = numpy.array([c[3] for c in components])[which]
            own = numpy.array([c[1] for c in components])[which] ** 2
            variance = own + numpy.einsum("ni,nij,nj->n", row, covariance, row)
            now[s] = mean + deviates[:, s] * numpy.sqrt(variance)
        before = now
    low, high = numpy.log(numpy.array(q["limits"]).T)
    inside = ((before.T >= low) & (before.T <= high)).all(1)
    ends = numpy.exp(numpy.quantile(before, [0.05, 0.5, 0.95], axis=1).T)
    return [*ends.ravel(), 1 + inside.mean()]


def drift(q):
    """Weighted mean as a filter, mean moving range, and how lots hang together once the best single step is taken off."""
    values = numpy.array(q["values"])
    middle = values.mean()
    smoothed, _ = signal.lfilter([0.2], [1, -0.8], values - middle, zi=[0.0])
    steps = [
        numpy.r_[values[:k] - values[:k].mean(), values[k:] - values[k:].mean()]
        for k in range(2, len(values) - 1)
    ]
    left = min(steps, key=lambda r: (r**2).sum())
    return [
        numpy.abs(numpy.diff(values)).mean() / 1.128,
        *(middle + smoothed),
        (left[1:] * left[:-1]).sum() / (left**2).sum(),
    ]


def trend(q):
    """Kendall's exact chance of so good an order."""
    return [
        stats.kendalltau(range(len(values)), values, method="exact").pvalue for values in q["runs"]
    ]


def parents(q):
    """A lot against the mix of its parents: percentiles, the ratios and the shift of the mean with jackknife intervals after Welch."""
    ln = numpy.log(q["edgesUm"])
    powders = [numpy.array(runs) for runs in [q["child"], *q["parents"]]]

    def numbers(of):
        child = of[0].mean(0)
        mix = sum(share * runs.mean(0) for share, runs in zip(q["shares"], of[1:]))
        sizes = [numpy.interp([0.1, 0.5, 0.9], curve, ln) for curve in (mix, child)]
        mids = (ln[1:] + ln[:-1]) / 2
        shift = (numpy.diff(child) - numpy.diff(mix)) @ mids
        return numpy.array([shift, *(sizes[1] - sizes[0])]), numpy.exp(sizes[0])

    value, predicted = numbers(powders)
    variances, degrees = [], []
    for which, runs in enumerate(powders):
        n = len(runs)
        left = [
            numbers([numpy.delete(p, out, 0) if i == which else p for i, p in enumerate(powders)])[0]
            for out in range(n)
        ]
        variances.append((n - 1) ** 2 / n * numpy.var(left, axis=0, ddof=1))
        degrees.append(n - 1)
    variances = numpy.array(variances)
    whole = variances.sum(0)
    effective = whole**2 / (variances**2 / numpy.array(degrees)[:, None]).sum(0)
    reach = stats.t.ppf(0.975, effective) * numpy.sqrt(whole)
    shift = [100 * numpy.expm1(v) for v in (value[0], value[0] - reach[0], value[0] + reach[0])]
    ratios = [numpy.exp([value[i], value[i] - reach[i], value[i] + reach[i]]) for i in (1, 2, 3)]
    return [*predicted, *shift, *numpy.ravel(ratios)]


askable = {
    "mill law": mill_law,
    "chain": chain,
    "drift": drift,
    "trend": trend,
    "parents": parents,
}
