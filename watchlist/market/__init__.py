"""The market model: fits the bands from past sales. Needs numpy; imported only when it fits."""

import os

for _name in ("OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "OMP_NUM_THREADS"):
    os.environ.setdefault(_name, "1")  # read when numpy first wakes; small matrices gain nothing from more

from watchlist.market.fitting import Fitted, Measure, Progress, Stopped, fit  # noqa: E402
from watchlist.market.rows import Unused  # noqa: E402

__all__ = ["Fitted", "Measure", "Progress", "Stopped", "Unused", "fit"]
