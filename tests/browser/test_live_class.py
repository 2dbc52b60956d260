"""A class on one question in a real browser: each stage reaches the screen by itself."""

from urllib.parse import urlsplit

import pytest
from browsing import notebook, open_lesson, screenshot
from playwright.sync_api import expect

from packlearn.classroom import live
from packlearn.records import Records

pytestmark = pytest.mark.browser

CODE = "HEDGE7"
LESSON_3 = "lessons/3-series-and-parallel.ipynb"
QUESTION = ("lesson-3", "in-line")
# Longest wait for a stage to reach a learner's screen.
WITHIN_MS = 2000


@pytest.fixture(scope="module")
def address(postgres):
    """Address of the records that a class shares on a server."""
    return postgres.new_database()


@pytest.fixture(scope="module")
def seat(lab, address):
    """JupyterLab of seat 4."""
    where = {"PACKLEARN_CLASS": CODE, "PACKLEARN_SEAT": "4", "PACKLEARN_RECORDS": address}
    return lab("learn", more=where)


def part_of(page, text):
    return notebook(page).locator(".packlearn-panel").filter(has_text=text)


def vote(part, typed, sure="Sure"):
    part.get_by_label("What do you expect?").fill(typed)
    part.get_by_role("button", name=sure, exact=True).click()
    part.get_by_role("button", name="Lock it in").click()


def test_each_stage_reaches_the_screen_without_a_press(page, seat, address):
    teacher = Records(address)
    open_lesson(page, seat, LESSON_3)
    live.ask(teacher, CODE, *QUESTION)
    part = part_of(page, "Your class works on this question now.")
    expect(part).to_be_visible(timeout=WITHIN_MS)
    # Further down than the screen reaches, so there is a way to it.
    expect(part.get_by_role("button", name="Lock it in")).not_to_be_in_viewport()
    notebook(page).get_by_role("link", name="Go to the question").click()
    expect(part.get_by_role("button", name="Lock it in")).to_be_in_viewport()
    expect(part.get_by_text("Now 5 such cells")).to_be_in_viewport()
    vote(part, "1,36 V")
    part = part_of(page, "Your answer is locked in.")
    expect(part).to_be_visible()
    assert "6.8" not in part.inner_text()
    assert part.get_by_role("slider").count() == 0

    live.set_stage(teacher, CODE, "talking")
    part = part_of(page, "Talk it over")
    expect(part).to_be_visible(timeout=WITHIN_MS)
    screenshot(page, "live talking")
    live.set_stage(teacher, CODE, "again")
    part = part_of(page, "The second vote is open.")
    expect(part).to_be_visible(timeout=WITHIN_MS)
    assert part.get_by_role("status").filter(has_text="The second vote is open.").count() == 1
    vote(part, "6,80 V", "I think so")
    part = part_of(page, "Your second answer is locked in.")
    expect(part).to_be_visible()
    assert "The answer" not in part.inner_text()

    votes = live.votes(teacher, live.moment(teacher, CODE))
    assert [(each.seat, each.right) for each in votes.first] == [(4, False)]
    assert [(each.seat, each.right) for each in votes.again] == [(4, True)]

    live.set_stage(teacher, CODE, "shown")
    part = part_of(page, "The answer: 6.8 V.")
    expect(part).to_be_visible(timeout=WITHIN_MS)
    screenshot(page, "live shown")
    assert "5 x 1.36" not in part.inner_text()
    live.set_stage(teacher, CODE, "why")
    part = part_of(page, "5 x 1.36 V")
    expect(part).to_be_visible(timeout=WITHIN_MS)
    live.set_stage(teacher, CODE, "done")
    expect(part.get_by_role("button", name="Go on")).to_be_enabled()
    assert notebook(page).get_by_text("Something went wrong").count() == 0


def test_two_notebooks_of_a_seat_both_follow(page, browser, seat, address):
    """Two kernels, each with a thread of its own."""
    teacher = Records(address)
    open_lesson(page, seat, LESSON_3)
    context = browser.new_context(viewport={"width": 1366, "height": 768})
    try:
        other = context.new_page()
        # Who opens a page late finds the question, too, and the way to it.
        live.ask(teacher, CODE, "predict-the-pack", "lantern-volts")
        other.goto(seat.address("exercises/2-predict-the-pack.ipynb"))
        first = notebook(other).locator(".packlearn-question").first
        expect(first).to_be_visible(timeout=60_000)
        here = part_of(other, "Your class works on this question now.")
        expect(here).to_be_visible(timeout=WITHIN_MS)
        expect(notebook(other).get_by_role("link", name="Go to the question")).to_be_visible()
        vote(here, "987 V")
        live.ask(teacher, CODE, "lesson-3", "side-by-side")
        there = part_of(page, "Your class works on this question now.")
        expect(there).to_be_visible(timeout=WITHIN_MS)
        expect(part_of(other, "Your class works on this question now.")).to_have_count(0)
        expect(part_of(other, "Your class works on a question of")).to_be_visible()
        with other.expect_popup() as opened:
            notebook(other).get_by_role("link", name="Open its page in a new window").click()
        # The same address as that of the notebook itself, so that it is found there.
        assert urlsplit(opened.value.url).path == urlsplit(seat.address(LESSON_3)).path
    finally:
        context.close()
        live.set_stage(teacher, CODE, "done")
