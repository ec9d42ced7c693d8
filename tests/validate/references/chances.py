"""Second opinions on chances: what the lots, budgets and blends of this project say, derived anew in NumPy and SciPy."""

import numpy
from scipy import optimize, stats


def release(q):
    """A lot's rows and all of them at once, from its runs and by its process; then the risks of three rules."""
    today, kept = numpy.array(q["today"]), [numpy.array(lot) for lot in q["kept"]]
    low = numpy.array([-numpy.inf if r["low"] is None else r["low"] for r in q["limits"]])
    high = numpy.array([numpy.inf if r["high"] is None else r["high"] for r in q["limits"]])
    every = [today, *kept]
    degrees = sum(len(lot) - 1 for lot in every)
    run = sum((lot - lot.mean(0)).T @ (lot - lot.mean(0)) for lot in every) / degrees
    error = run / len(today)

    def figures(mean, covariance):
        sd = numpy.sqrt(numpy.diag(covariance))
        rows = stats.t.cdf((high - mean) / sd, degrees) - stats.t.cdf((low - mean) / sd, degrees)
        known = stats.multivariate_t(mean, covariance, df=degrees, seed=1)
        return [*rows, known.cdf(high, lower_limit=low, maxpts=2_000_000)]

    means = numpy.array([lot.mean(0) for lot in kept])
    of_means = numpy.cov(means.T)
    of_lots = of_means - run / len(kept[0])
    diagonal = numpy.maximum(numpy.diag(of_lots), numpy.diag(of_means) / 4)
    numpy.fill_diagonal(of_lots, diagonal)
    prior = numpy.diag(2 * diagonal) + of_means / len(kept)
    precision = numpy.linalg.inv(prior) + numpy.linalg.inv(error)
    posterior = numpy.linalg.inv(precision)
    centre = posterior @ (
        numpy.linalg.solve(prior, means.mean(0)) + numpy.linalg.solve(error, today.mean(0))
    )
    random = numpy.random.default_rng(1)
    count = 2_000_000
    truth = random.multivariate_normal(means.mean(0), of_lots, count)
    seen = truth + random.multivariate_normal(numpy.zeros(len(low)), error, count)
    good = numpy.all((truth >= low) & (truth <= high), axis=1)
    u = 2 * numpy.sqrt(numpy.diag(error))
    risks = []
    for guard, undecided in [(0 * u, False), (u, False), (u, True)]:
        released = numpy.all((seen - guard >= low) & (seen + guard <= high), axis=1)
        surely_out = numpy.any((seen + guard < low) | (seen - guard > high), axis=1)
        held = surely_out if undecided else ~released
        risks += [1 + numpy.mean(released & ~good), 1 + numpy.mean(held & good)]
    return [*figures(today.mean(0), error), *figures(centre, posterior), *risks]


def budget(q):
    """JCGM 100: sources as variances of ln, Welch and Satterthwaite's degrees cut to a whole number."""
    off = numpy.log([c["measured"] / c["stated"] for c in q["checks"]])
    n = len(off)
    variances = numpy.array(
        [
            q["run"]["sdLn"] ** 2 / q["run"]["runs"],
            q["portion"]["sdLn"] ** 2 / q["portion"]["portions"],
            off.var(ddof=1) * (1 + 1 / n),
            off.mean() ** 2,
            (q["checks"][0]["statedU"] / q["checks"][0]["stated"]) ** 2,
            q["opticalModel"] ** 2,
            q["density"] ** 2,
        ]
    )
    degrees = numpy.array([q["run"]["degrees"], q["portion"]["degrees"], n - 1] + [numpy.inf] * 4)
    u = numpy.sqrt(variances.sum())
    effective = numpy.floor(u**4 / (variances**2 / degrees).sum())
    expanded = stats.t.ppf(0.975, effective) * u
    return [u, effective, expanded, q["value"] * numpy.exp(-expanded), q["value"] * numpy.exp(expanded)]


def bet_beyond_pairs(q):
    """The union of BET/S = k + c/S with relative scatter and ln BET straight in ln S, its slope 1 ± 0.2 beforehand."""
    areas, bets = numpy.array(q["pairs"]).T
    at, n = q["area"], len(areas)
    ratios = bets / areas
    design = numpy.column_stack([numpy.ones(n), 1 / areas]) / ratios[:, None]
    normal = numpy.linalg.inv(design.T @ design)
    found = normal @ design.T @ numpy.ones(n)
    variance = ((1 - design @ found) ** 2).sum() / (n - 2)
    here = numpy.array([1, 1 / at])
    ratio = here @ found
    offset = (numpy.log(at * ratio), numpy.sqrt(variance * (1 + here @ normal @ here / ratio**2)), n - 2)

    logs = numpy.log(ratios)
    spread = logs.var(ddof=1)
    x = numpy.log(areas) - numpy.log(areas).mean()
    precision = 1 / 0.2**2 + (x**2).sum() / spread
    slope = (x * logs).sum() / spread / precision
    away = numpy.log(at) - numpy.log(areas).mean()
    middle = logs.mean() + numpy.log(at) + slope * away
    power = (middle, numpy.sqrt(spread * (1 + 1 / n) + away**2 / precision), n - 1)

    laws = [offset, power]
    ends = [
        [numpy.exp(m + s * stats.t.ppf(p, v)) for m, s, v in laws] for p in (0.025, 0.975)
    ]
    chances = [
        min((stats.t.cdf((numpy.log(b) - m) / s, v) for m, s, v in laws), key=lambda p: abs(p - 0.5))
        for b in q["values"]
    ]
    return [min(ends[0]), max(ends[1]), *chances]


def blend(q):
    """The room itself as one more unknown, which shares below a size allow: a single linear programme."""
    shares = numpy.array(q["shares"]).T
    low, high = numpy.array([[r["low"], r["high"]] for r in q["limits"]]).T
    width = ((high - low) / 2)[:, None]
    count = shares.shape[1]
    found = optimize.linprog(
        [0] * count + [-1],
        A_ub=numpy.block([[-shares, width], [shares, width]]),
        b_ub=numpy.concatenate([-low, high]),
        A_eq=[[1] * count + [0]],
        b_eq=[1],
        bounds=[(0, 1)] * count + [(None, None)],
    )
    return [-found.fun]


askable = {
    "release": release,
    "budget": budget,
    "BET beyond pairs": bet_beyond_pairs,
    "blend": blend,
}
