"""Panels are made by cells while a thread goes through those that are there."""

import gc
import sys
import threading

import pytest

from packlearn.panels.living import Living


class Panel:
    def __init__(self, order=1):
        self.seat_order = order


def test_they_come_in_their_order_and_none_is_kept_alive():
    living, kept = Living(), [Panel(2), Panel(0)]
    for panel in kept:
        living.add(panel)
    living.add(Panel())
    gc.collect()
    assert living.all() == kept[::-1]


@pytest.fixture
def many_turns():
    """Threads that take turns as often as can be."""
    before = sys.getswitchinterval()
    sys.setswitchinterval(1e-6)
    yield
    sys.setswitchinterval(before)


@pytest.mark.usefixtures("many_turns")
def test_adding_while_another_thread_goes_through_them_breaks_nothing():
    living, kept, troubles, done = Living(), [], [], threading.Event()

    def go_through():
        while not done.is_set():
            try:
                living.all()
            except RuntimeError as trouble:
                troubles.append(trouble)

    threads = [threading.Thread(target=go_through) for _ in range(3)]
    for thread in threads:
        thread.start()
    for _ in range(5000):
        kept.append(Panel())
        living.add(kept[-1])
    done.set()
    for thread in threads:
        thread.join(20)
    assert troubles == []
    assert len(living.all()) == len(kept)
