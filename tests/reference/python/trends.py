# SPDX-License-Identifier: Apache-2.0
"""Adjusted p-values, Qn and recursive residuals by statsmodels, and Student's degrees of
freedom of a distance in Qn by simulation, for trends_test.cpp and scale_qn.cpp.

    python3 tests/reference/python/trends.py              the numbers that the test holds
    python3 tests/reference/python/trends.py --freedom    the table behind qn_freedom (a few minutes)
"""
import math
import sys

import numpy as np
import scipy
import statsmodels
import statsmodels.api as sm
from scipy import optimize, stats
from statsmodels.robust.scale import qn_scale
from statsmodels.stats.diagnostic import recursive_olsresiduals
from statsmodels.stats.multitest import multipletests

P = [0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.3240, 0.4262, 0.5719, 0.6528, 0.7590,
     1.0]
X = [79.1, 80.4, 78.8, 81.0, 79.9, 95.2, 80.1, 79.5, 80.8, 78.2, 80.0]
Y = [79.2, 80.1, 79.6, 81.4, 80.3, 82.2, 79.9, 83.0, 81.1, 80.7, 84.1, 82.5]
A = [0.1, 0.4, -0.3, 0.8, 0.2, 1.1, -0.6, 1.5, 0.7, 0.0, 1.9, 1.2]
# Croux & Rousseeuw, COMPSTAT 1992 (from memory)
SMALL = {2: .399, 3: .994, 4: .512, 5: .844, 6: .611, 7: .857, 8: .669, 9: .872}


def qn_of_rows(rows):
    n = rows.shape[1]
    half = n // 2 + 1
    i, j = np.triu_indices(n, 1)
    distances = np.abs(rows[:, i] - rows[:, j])
    k = half * (half - 1) // 2 - 1
    distances.partition(k, axis=1)
    small = SMALL[n] if n < 10 else n / (n + (1.4 if n % 2 else 3.8))
    return 2.2191444659850764 * small * distances[:, k]


def freedom_table():
    rng = np.random.default_rng(5)
    for m in (3, 4, 5, 6, 7, 8, 9, 10, 12, 15, 20, 30):
        t = []
        for _ in range(40 if m < 16 else 8):
            others = rng.standard_normal((50000, m))
            distance = rng.standard_normal(50000) - np.median(others, axis=1)
            t.append(np.abs(distance / (qn_of_rows(others) * math.sqrt(1 + math.pi / (2 * m)))))
        t = np.sort(np.concatenate(t))
        row = []
        for alpha in (.05, .01, .001, .0001):
            quantile = t[int((1 - alpha) * len(t))]
            row.append(optimize.brentq(lambda nu: 2 * stats.t.sf(quantile, nu) - alpha, .05, 500))
        print(m, " ".join(f"{nu:.2f}" for nu in row), flush=True)


def main():
    print("scipy", scipy.__version__, "statsmodels", statsmodels.__version__)
    for method in ("fdr_bh", "fdr_by"):
        print(method, ["%.10g" % p for p in multipletests(P, method=method)[1]])
    for n in (5, 8, 11):  # without the correction for small n
        print("qn", n, "%.12f" % qn_scale(np.array(X[:n])))
    fit = sm.OLS(np.array(Y), sm.add_constant(np.array(A))).fit()
    print("recursive", ["%.10f" % r for r in recursive_olsresiduals(fit, skip=2)[4][2:]])


if __name__ == "__main__":
    freedom_table() if "--freedom" in sys.argv else main()
