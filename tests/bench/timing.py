"""Timing of a job."""

import statistics
import time


def median_ms(job, runs):
    """Median time [ms] of a job."""
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        job()
        times.append(1000 * (time.perf_counter() - start))
    return statistics.median(times)
