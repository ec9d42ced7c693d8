"""Second opinions of NumPy and SciPy. Reads questions as JSON on standard input, writes answers as JSON on standard output."""

import json
import math
import sys

import numpy
import scipy
from chances import askable as chances
from lots import askable as lots
from scipy import optimize, special, stats


def percentiles(q):
    """Straight in ln x between edges."""
    return numpy.exp(numpy.interp(q["fractions"], q["undersize"], numpy.log(q["edgesUm"])))


def percentiles_in_x(q):
    """Straight in x between edges."""
    return numpy.interp(q["fractions"], q["undersize"], q["edgesUm"])


def log_normal_fit(q):
    def undersize(x, ln_median, sigma):
        return stats.norm.cdf((numpy.log(x) - ln_median) / sigma)

    found, covariance = fitted(undersize, q, [math.log(q["start"][0]), math.log(q["start"][1])])
    median, gsd = numpy.exp(found)
    errors = numpy.sqrt(numpy.diag(covariance))
    return [median, gsd, errors[0] * median, errors[1] * gsd]


def rosin_rammler_fit(q):
    def undersize(x, characteristic, exponent):
        return -numpy.expm1(-((x / characteristic) ** exponent))

    found, covariance = fitted(undersize, q, q["start"])
    return [*found, *numpy.sqrt(numpy.diag(covariance))]


def fitted(undersize, q, start):
    tight = {"xtol": 1e-15, "ftol": 1e-15, "gtol": 1e-15}
    return optimize.curve_fit(undersize, numpy.array(q["edgesUm"]), numpy.array(q["undersize"]), start, **tight)


def wasserstein(q):
    """Both curves cut into many equal points a class, straight in ln x."""

    def points(edges, undersize, pieces=400):
        part = (numpy.arange(pieces) + 0.5) / pieces
        logs = numpy.log(edges)
        values = logs[:-1, None] + numpy.diff(logs)[:, None] * part
        weights = numpy.repeat(numpy.diff(undersize)[:, None] / pieces, pieces, axis=1)
        return values.ravel(), weights.ravel()

    a, a_weights = points(q["firstEdgesUm"], q["firstUndersize"])
    b, b_weights = points(q["secondEdgesUm"], q["secondUndersize"])
    return [stats.wasserstein_distance(a, b, a_weights, b_weights)]


def rosin_rammler_moments(q):
    return [q["characteristicUm"] ** k * special.gamma(1 + k / n) for n in q["exponents"] for k in q["orders"]]


def log_normal_moments(q):
    return [
        stats.lognorm.moment(k, math.log(gsd), scale=q["medianUm"]) for gsd in q["gsds"] for k in q["orders"]
    ]


def straight_line(q):
    """Slope of ln y on ln x and the prediction interval of one further value."""
    x, y = numpy.log(q["x"]), numpy.array(q["y"])
    line = stats.linregress(x, y)
    rest = y - line.intercept - line.slope * x
    n = len(x)
    s = math.sqrt(numpy.sum(rest**2) / (n - 2))
    at = math.log(q["at"])
    reach = s * math.sqrt(1 + 1 / n + (at - x.mean()) ** 2 / numpy.sum((x - x.mean()) ** 2))
    middle = line.intercept + line.slope * at
    return [line.slope] + [middle + stats.t.ppf(p, n - 2) * reach for p in q["fractions"]]


def wheel_cuts(q):
    """Where drag with slip and Reynolds number balances the centrifugal force, by Brent's method."""
    area = 2 * math.pi * q["radiusM"] * q["heightM"] * q["freeAreaShare"]
    inward = q["flowM3PerH"] / 3600 / area
    excess = 1000 * q["densityGPerCm3"] - q["gasDensity"]
    cuts = []
    for speed in q["speedsRpm"]:
        rim = 2 * math.pi * q["radiusM"] * speed / 60

        def balance(ln_x):
            x = math.exp(ln_x)
            free = q["freePathM"]
            slip = 1 + 2 * free / x * (1.257 + 0.4 * math.exp(-0.55 * x / free))
            drag = 1 + 0.15 * (q["gasDensity"] * inward * x / q["viscosity"]) ** 0.687
            pull = 18 * q["viscosity"] * inward * q["radiusM"] * drag / (excess * rim**2)
            return math.log(x * x * slip / pull)

        cuts.append(1e6 * math.exp(optimize.brentq(balance, math.log(1e-9), math.log(1e-2), xtol=1e-14)))
    return cuts


askable = {
    "percentiles": percentiles,
    "percentiles in x": percentiles_in_x,
    "log-normal fit": log_normal_fit,
    "Rosin-Rammler fit": rosin_rammler_fit,
    "Wasserstein distance": wasserstein,
    "Rosin-Rammler moments": rosin_rammler_moments,
    "log-normal moments": log_normal_moments,
    "straight line": straight_line,
    "wheel cuts": wheel_cuts,
    "t quantiles": lambda q: [stats.t.ppf(p, v) for v in q["degrees"] for p in q["fractions"]],
    "t chances": lambda q: [stats.t.cdf(x, v) for v in q["degrees"] for x in q["values"]],
    "normal quantiles": lambda q: special.ndtri(q["fractions"]),
    "complementary error function": lambda q: special.erfc(q["values"]),
    **chances,
    **lots,
}

questions = json.load(sys.stdin)
answers = [[float(v) for v in askable[q["ask"]](q)] for q in questions]
versions = {
    "Python": sys.version.split()[0],
    "NumPy": numpy.__version__,
    "SciPy": scipy.__version__,
}
json.dump({"versions": versions, "answers": answers}, sys.stdout)
