"""What a slider does to the page around it: nothing below its picture jumps."""

import nbformat
import pytest
from browsing import notebook, open_lesson, press

pytestmark = pytest.mark.browser
PAGE = "lessons/on-screen.ipynb"
CELLS = (
    'from packlearn import panels\npanels.PackExplorer("both", series=1, parallel=3)',
    'panels.LoadExplorer("nimh-aa", series=1, parallel=3, current_a=0.8)',
)
# Room of each panel, a frame after the picture has changed.
ROOM = """(cell) => new Promise((tell) => {
  const told = () => tell(Math.round(cell.getBoundingClientRect().height));
  requestAnimationFrame(() => requestAnimationFrame(told));
})"""


@pytest.fixture(scope="module")
def moving(lab, tmp_path_factory):
    folder = tmp_path_factory.mktemp("moving")
    path = folder / PAGE
    path.parent.mkdir()
    cells = [nbformat.v4.new_code_cell(source) for source in CELLS]
    nbformat.write(nbformat.v4.new_notebook(cells=cells, metadata=dict(AUTORUN)), path)
    return lab("teach", folder)


AUTORUN = {"packlearn": {"autorun": True}}


@pytest.mark.parametrize("at", range(len(CELLS)))
def test_what_stands_below_a_moving_picture_stays_put(page, moving, at):
    open_lesson(page, moving, PAGE)
    cell = notebook(page).locator(".jp-CodeCell").nth(at)
    handle = cell.get_by_role("slider").first
    texts, rooms = [], []
    for _ in range(2):
        press(handle, "Home")
        for count in range(2, 8):
            press(handle, "ArrowRight")
            cell.get_by_text(f"{count}S3P").first.wait_for()
            texts.append(cell.locator(".packlearn-beneath").inner_text())
            rooms.append(cell.evaluate(ROOM))
    # The sentences differ in length, or there is nothing to hold still.
    assert len({text.count("\n") for text in texts}) > 1 or len(set(texts)) > 3
    assert rooms == sorted(rooms)
    assert len(set(rooms[len(rooms) // 2 :])) == 1
