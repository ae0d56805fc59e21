"""The ± that is stated holds in 95 % of simulated measurements, less what chance allows.

The floor is the binomial 0.1 % quantile for 95 % (closed form, scipy.stats).
"""

from __future__ import annotations

import pytest
from scipy.stats import binom

from tests.bench.coverage import TRIALS, share

RUNS = 40


@pytest.mark.parametrize("name", TRIALS)
def test_the_truth_lies_within_the_stated_spread(name: str) -> None:
    held, of = share(name, RUNS)
    assert held >= binom.ppf(1e-3, RUNS, 0.95) / RUNS * of  # holes of one run are not independent
