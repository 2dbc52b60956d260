"""What each panel of the lessons costs the kernel when one of its controls moves.

Part of ``python -m tests.bench``. Every control is moved over its whole range, from each of two
settings of the others, so that slow corners are among the moves. Processor time of the thread is
counted, not the clock, so that other work on the machine changes it little.
"""

import ast
import json
import os
import statistics
import tempfile
import time

from packlearn import panels
from packlearn.panels.explorers import Explorer
from packlearn.places import lessons_folder

MOST_MS, MOVES = 5, 9


def of_lessons():
    """Number of a lesson and the Python of a panel in it that is no question, in their order."""
    paths = sorted(lessons_folder().glob("*.ipynb"), key=lambda path: int(path.name.split("-")[0]))
    for path in paths:
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
            source = "".join(cell["source"])
            if cell["cell_type"] == "code" and "then=" in source:
                called = ast.parse(source).body[-1].value
                then = next(each.value for each in called.keywords if each.arg == "then")
                yield path.name.split("-")[0], ast.unparse(then)


def values(control):
    """Values over the range of a slider or a list, ends among them."""
    if hasattr(control, "options"):
        return [value for _, value in control.options]
    span = control.max - control.min
    steps = round(span / control.step)
    places = sorted({round(steps * k / (MOVES - 1)) for k in range(MOVES)})
    return [min(control.min + place * control.step, control.max) for place in places]


def settings(panel):
    """Controls that can be moved, and settings of them all to move each one from."""
    controls = {name: control for name, control in panel.controls.items() if not control.disabled}
    first = {name: control.value for name, control in controls.items()}
    far = {name: values(control)[-2:][0] for name, control in controls.items()}
    return controls, (first, far)


def put(controls, setting):
    """Give all controls the values of a setting, as far as their scales hold them."""
    for name, value in setting.items():
        controls[name].value = value


def moved_ms(panel):
    """Milliseconds of processor time of each move of each control: control -> list."""
    controls, starts = settings(panel)
    found = {name: [] for name in controls}
    for start in starts:
        for name, control in controls.items():
            put(controls, start)
            for value in values(control):
                before, begun = control.value, time.thread_time()
                control.value = value
                spent = 1000 * (time.thread_time() - begun)
                if control.value != before:
                    found[name].append(spent)
    assert not panel.errors, panel.errors
    return found


def pressed_ms(bench):
    """Milliseconds of processor time of each press on a contact of a wiring bench."""
    found = []
    for button in bench.contacts.buttons.values():
        begun = time.thread_time()
        button.click()
        found.append(1000 * (time.thread_time() - begun))
    return {"contacts": found}


def rows():
    """(lesson, panel, slowest control, median, 90 % and largest of all moves [ms])."""
    for lesson, source in of_lessons():
        panel = eval(source, {"panels": panels, **vars(panels)})
        found = moved_ms(panel) if isinstance(panel, Explorer) else pressed_ms(panel)
        every = sorted(ms for each in found.values() for ms in each)
        slowest = max(found, key=lambda name: statistics.median(found[name] or [0]))
        late = every[int(0.9 * (len(every) - 1))]
        yield lesson, source, slowest, statistics.median(every), late, every[-1]


def main():
    """Print the table."""
    print(f"\n{'kernel work of a move, ms of processor time':64}", end="")
    print(f"{'median':>8}{'90 %':>8}{'most':>8}  slowest control")
    with tempfile.TemporaryDirectory() as folder:
        os.environ["PACKLEARN_FOLDER"] = folder
        for lesson, source, slowest, median, late, most in rows():
            name = f"{lesson:>3} {source.removeprefix('panels.')}"
            print(f"{name[:63]:64}{median:8.2f}{late:8.2f}{most:8.2f}  {slowest}")
    print(f"bar: {MOST_MS} ms for every panel")


if __name__ == "__main__":
    main()
