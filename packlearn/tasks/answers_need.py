"""What a task can ask about labels and profiles, beyond the mean; see ``answers``."""

from packlearn.cells import cell as find_cell
from packlearn.loads import Load
from packlearn.packs import Pack
from packlearn.tasks.asked import Asked


def _rms_a(givens):
    """Current that warms a wire as much as the profile: the root of the mean square."""
    steps = [(Load.current(givens[f"{n}_a"]), givens[f"{n}_s"]) for n in ("sleep", "wake")]
    return Load.profile(steps).rms_current_a()


def _window(givens):
    pack = Pack(find_cell(givens["cell"]), givens["series"], givens["parallel"])
    # A hair, so that 6 x 1.45 V is not above 8.7 V.
    if pack.full_voltage_v > givens["voltage_high_v"] + 1e-9:
        return "above"
    return "below" if pack.end_voltage_v < givens["voltage_low_v"] - 1e-9 else "holds"


NEED = {
    "label_current_a": Asked(
        "number", "A", lambda g: g["power_w"] / g["voltage_v"], ("power_w", "voltage_v")
    ),
    "told_current_a": Asked("number", "A", lambda g: g["current_a"], ("current_a", "label_ah")),
    "window_verdict": Asked(
        "choice",
        "",
        _window,
        ("cell", "series", "parallel", "voltage_low_v", "voltage_high_v"),
        {
            "pack_full_v": "series * cell_full_voltage_v",
            "pack_end_v": "series * cell_end_voltage_v",
        },
    ),
    "rms_current_a": Asked(
        "number",
        "A",
        _rms_a,
        ("sleep_a", "sleep_s", "wake_a", "wake_s"),
        {
            "period_s": "sleep_s + wake_s",
            "sleep_square_a2s": "sleep_a * sleep_a * sleep_s",
            "wake_square_a2s": "wake_a * wake_a * wake_s",
            "mean_square_a2": "(sleep_square_a2s + wake_square_a2s) / period_s",
        },
    ),
}
