"""One JupyterLab and one Chromium for the browser tests."""

import contextlib
import os

import pytest
from playwright.sync_api import expect, sync_playwright
from serving import SIZE, chromium, running

# A busy machine may take its time; what never comes still fails.
expect.set_options(timeout=20_000)


def _give_up(reason):
    # A user without Chromium is not held up; in CI its absence must not pass unseen.
    if os.environ.get("CI") == "true" or os.environ.get("PACKLEARN_CI") == "1":
        pytest.fail(reason)
    pytest.skip(reason)


@pytest.fixture(scope="session")
def browser():
    """A running Chromium."""
    how = chromium()
    if how is None:
        _give_up("no Chromium on this machine")
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(**how)
        yield started
        started.close()


@pytest.fixture
def page(browser):
    """An empty page of a school laptop's size."""
    context = browser.new_context(viewport=SIZE)
    yield context.new_page()
    context.close()


@pytest.fixture(scope="module")
def lab(tmp_path_factory):
    """Start JupyterLab with the packlearn command: lab(mode, folder, origin, more) -> Lab.

    With ``origin``, its ``lessons`` and ``exercises`` take the place of the shipped ones; ``more``
    are further variables of its environment.
    """
    with contextlib.ExitStack() as stack:

        def start(mode="learn", folder=None, origin=None, more=None):
            home = tmp_path_factory.mktemp("jupyter")
            folder = folder or home / "notebooks"
            return stack.enter_context(running(mode, folder, origin, home, more))

        yield start
