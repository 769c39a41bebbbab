"""The garbage collector is held back during bulk work, and works again afterwards."""

import gc
import threading

import pytest

from ldapp.collector import collector_held
from ldapp.errors import LdappError


@pytest.fixture(autouse=True)
def collecting():
    """A window that was open in this process collects by itself and has switched it off."""
    was = gc.isenabled()
    gc.enable()
    yield
    if not was:
        gc.disable()


def test_it_is_held_back_until_the_last_of_several_threads_is_done():
    inside, go_on = threading.Event(), threading.Event()

    def other():
        with collector_held():
            inside.set()
            go_on.wait(10)

    thread = threading.Thread(target=other)
    with collector_held():
        thread.start()
        inside.wait(10)
    assert not gc.isenabled()
    go_on.set()
    thread.join()
    assert gc.isenabled()


def test_it_works_again_after_a_fault(library):
    with pytest.raises(LdappError):
        library.load("none")
    assert gc.isenabled()


def test_a_collector_that_was_off_stays_off():
    gc.disable()
    try:
        with collector_held():
            pass
        assert not gc.isenabled()
    finally:
        gc.enable()
