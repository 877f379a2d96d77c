"""Writes statistics.json beside itself: what SciPy, NumPy and statsmodels say of the sums that intervals are made of.

    /usr/bin/python3 packages/core/test/reference/statistics/generate.py

Needs Debian's python3-scipy and python3-statsmodels (12, "bookworm"); the file names the versions that wrote it. All three are under the
BSD 3-clause licence; the file holds numbers that they computed, none of their code.
"""
import json
from pathlib import Path

import numpy
import scipy
import scipy.stats
import statsmodels
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint
from statsmodels.stats.weightstats import CompareMeans, DescrStatsW

# Extra hours of sleep by group: Student, "The probable error of a mean", Biometrika 6 (1908); data set `sleep` of R.
FIRST = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0, 2]
SECOND = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4]
# Those of Newcombe's papers of 1998: Table I of the first, Table II of the second; then some like clips of a minute.
SHARES = [(81, 263), (15, 148), (0, 20), (1, 29), (20, 20), (2000, 6000)]
PAIRS = [(56, 70, 48, 80), (9, 10, 3, 10), (6, 7, 2, 7), (5, 56, 0, 29), (0, 10, 0, 20), (0, 10, 0, 10), (10, 10, 0, 20), (10, 10, 0, 10), (900, 2900, 610, 3100)]
FREEDOMS = [0.5, 1, 1.7, 2, 2.7, 4, 6, 10, 30, 33.3, 1000]
POINTS = [-40, -2.5, -0.3, 0, 0.01, 1, 3.2]


def main() -> None:
    values = numpy.round(numpy.random.default_rng(1).gamma(2, 3, 37), 3)
    shares = numpy.linspace(0, 1, 13)
    answer = {
        "script": "packages/core/test/reference/statistics/generate.py",
        "versions": {"scipy": scipy.__version__, "numpy": numpy.__version__, "statsmodels": statsmodels.__version__},
        "licence": "BSD-3-Clause (SciPy, NumPy, statsmodels)",
        "student": [
            {"freedom": f, "point": scipy.stats.t.ppf(0.975, f), "below": [[t, scipy.stats.t.cdf(t, f)] for t in POINTS]} for f in FREEDOMS
        ],
        "wilson": [{"count": k, "n": n, "interval": proportion_confint(k, n, method="wilson")} for k, n in SHARES],
        "newcombe": [
            {"after": [a, n], "before": [b, m], "interval": confint_proportions_2indep(a, n, b, m, method="newcomb", compare="diff")}
            for a, n, b, m in PAIRS
        ],
        "welch": {
            "before": SECOND,
            "after": FIRST,
            "interval": CompareMeans(DescrStatsW(FIRST), DescrStatsW(SECOND)).tconfint_diff(usevar="unequal"),
        },
        "quantiles": {
            "values": values.tolist(),
            "at": [[q, numpy.quantile(values, q)] for q in shares],
            "medianDistance": scipy.stats.median_abs_deviation(values),
        },
        "normal": {"point": scipy.stats.norm.ppf(0.975), "medianToSd": 1 / scipy.stats.norm.ppf(0.75)},
    }
    Path(__file__).with_name("statistics.json").write_text(json.dumps(answer, indent=1, default=float) + "\n")


main()
