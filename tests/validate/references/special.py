# Writes special.csv: references of 40 digits for the special functions, at doubles exactly as JavaScript reads them.
# Needs mpmath (a general-purpose library for arithmetic of any precision).
import csv, sys
from mpmath import mp, mpf, erfc, erfinv, gamma, sqrt, betainc, findroot

mp.dps = 60
rows = []
def row(function, argument, second, value):
    rows.append([function, repr(argument), "" if second is None else repr(second), mp.nstr(value, 40)])

for z in [-37.0, -20.0, -8.5, -5.0, -3.0, -1.5, -0.7, -0.1, 0.0, 0.3, 1.0, 2.2, 4.0, 6.0, 8.0]:
    row("normal cdf", z, None, erfc(-mpf(z) / sqrt(2)) / 2)
for p in [1e-300, 1e-100, 1e-20, 1e-9, 1e-4, 0.01, 0.1, 0.3, 0.45, 0.55, 0.7, 0.9, 0.99, 0.9999]:
    exact = mpf(p)
    if p < 0.01:
        t = sqrt(-2 * mp.log(exact))
        start = -(t - (mp.log(t * t) + mp.log(2 * mp.pi)) / (2 * t))
    else:
        start = sqrt(2) * erfinv(2 * exact - 1)
    row("normal quantile", p, None, findroot(lambda z: mp.log(erfc(-z / sqrt(2)) / 2) - mp.log(exact), start))
for x in [0.05, 0.3, 0.77, 1.1, 1.4616, 1.9, 2.5, 3.3, 5.7, 10.2, 25.5, 60.1]:
    row("gamma", x, None, gamma(mpf(x)))
def t_cdf(x, v):
    tail = betainc(v / 2, mpf(1) / 2, 0, v / (v + x * x), regularized=True) / 2
    return 1 - tail if x > 0 else tail
for v in [1.0, 2.0, 3.0, 4.0, 5.0, 8.0, 11.0, 20.0, 60.0]:
    for x in [-3.5, -1.2, 0.4, 2.7]:
        row("t cdf", x, v, t_cdf(mpf(x), mpf(v)))
    for p in [0.6, 0.95, 0.975, 0.995]:
        exact = mpf(p)
        guess = sqrt(2) * erfinv(2 * exact - 1)
        low, high = guess, guess
        while t_cdf(high, mpf(v)) < exact:
            high *= 2
        for _ in range(220):
            middle = (low + high) / 2
            if t_cdf(middle, mpf(v)) < exact:
                low = middle
            else:
                high = middle
        row("t quantile", p, v, low)
out = csv.writer(sys.stdout, lineterminator="\n")
print("# 40-digit references by mpmath 1.3.0 at 60 digits (special.py), at the exact values of the doubles given")
out.writerow(["function", "argument", "degrees", "value"])
out.writerows(rows)
