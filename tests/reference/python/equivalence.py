# SPDX-License-Identifier: Apache-2.0
"""Two one-sided tests by statsmodels' ttost_ind (unequal variances), and chances of missing a fault
by scipy's beta distribution, for equivalence_test.cpp and missed_fault_test.cpp to compare with.

    python3 tests/reference/python/equivalence.py > tests/reference/python/equivalence.txt

A line `tost MARGIN`, then `a VALUES`, `b VALUES` and `answer DIFFERENCE P_ABOVE_LOW P_BELOW_HIGH FREEDOM
LOW90 HIGH90`; a line `missed SHOWN ABLE CLEAN CHANCE`: the mean of (1 - s)^CLEAN over
Beta(SHOWN + 1/2, ABLE - SHOWN + 1/2), by numerical integration.
"""
import platform

import numpy
import scipy
import scipy.integrate
import scipy.stats
import statsmodels
from statsmodels.stats.weightstats import CompareMeans, DescrStatsW, ttost_ind

CASES = (
    (3.0, [0.2, -0.4, 0.5], [0.1, -0.3, 0.6, 0.9, -0.8, 0.2, -0.7, 0.4]),
    (3.0, [-1.9, -2.6, -2.2, -3.1], [0.4, -0.5, 1.1, -1.0, 0.2]),
    (1.0, [5.1, 6.3, 5.9, 6.8, 5.5], [0.0, 0.2, -0.2, 0.1]),
    (0.5, [0.01, 0.02], [0.4, 0.1, 0.3]),
    (2.5, [1.5, -3.0, 4.0, 0.5, -2.0, 1.0], [0.1, 0.2, 0.0, 0.3, -0.1, -0.2, 0.15]),
)
COUNTS = ((1, 1), (3, 3), (2, 5), (7, 10), (70, 100), (0, 4), (30, 100))


def words(values):
    return " ".join(f"{value:.15g}" for value in values)


def main():
    print(f"# Python {platform.python_version()}\n# numpy {numpy.__version__}\n# scipy {scipy.__version__}\n"
          f"# statsmodels {statsmodels.__version__}\n# written by equivalence.py; do not edit")
    for margin, a, b in CASES:
        _, above_low, below_high = ttost_ind(numpy.array(a), numpy.array(b), -margin, margin,
                                             usevar="unequal")
        low, high = CompareMeans(DescrStatsW(a), DescrStatsW(b)).tconfint_diff(alpha=0.1, usevar="unequal")
        print(f"tost {margin}\na {words(a)}\nb {words(b)}\nanswer " +
              words([numpy.mean(a) - numpy.mean(b), above_low[1], below_high[1], above_low[2], low, high]))
    for shown, able in COUNTS:
        shares = scipy.stats.beta(shown + 0.5, able - shown + 0.5)
        for clean in (1, 3, 5, 9):
            chance, _ = scipy.integrate.quad(lambda q: (1 - shares.ppf(q)) ** clean, 0, 1,
                                             epsabs=1e-10, limit=500)
            print(f"missed {shown} {able} {clean} {chance:.10g}")


if __name__ == "__main__":
    main()
