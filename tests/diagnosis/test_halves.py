"""Work done in two processes gives what one gives, whatever becomes of the second."""

import errno
import multiprocessing
import os
import struct
import sys

import pytest

from sim.diagnosis import halves
from sim.diagnosis.halves import in_halves
from sim.diagnosis.matrix_from_saw import found
from sim.diagnosis.prior import prior_for
from sim.errors import EffortError
from sim.kernel.clock import Allowance
from sim.session.opening import read

_MANY = tuple(range(101))

forks = pytest.mark.skipif(not halves._may_fork(), reason="this process forks no other")


def _alone(monkeypatch):
    monkeypatch.setattr(halves, "_may_fork", lambda: False)


@forks
def test_a_second_process_does_half_of_it_and_the_order_stays():
    made = in_halves(lambda item: (item * item, os.getpid()), _MANY)
    assert [square for square, _ in made] == [item * item for item in _MANY]
    assert len({pid for _, pid in made}) == 2


def test_few_things_are_done_at_once_and_here():
    assert in_halves(lambda _: os.getpid(), _MANY[:10]) == [os.getpid()] * 10


@forks
@pytest.mark.parametrize("how", ["dies", "raises"])
def test_what_the_second_process_cannot_do_this_one_does(how):
    here = os.getpid()

    def work(item):
        if item == 51 and os.getpid() != here:
            if how == "dies":
                os._exit(3)
            raise ValueError(item)
        return item

    assert in_halves(work, _MANY) == list(_MANY)
    assert not multiprocessing.active_children()


def test_an_answer_that_breaks_off_counts_as_none():
    near, far = multiprocessing.get_context("fork").Pipe(duplex=False)
    os.write(far.fileno(), struct.pack("!i", 100) + b"half of it")
    far.close()
    assert halves._answer(near, None) is None


@forks
def test_where_no_process_can_be_forked_this_one_does_all(monkeypatch):
    def full(_self):
        raise BlockingIOError(errno.EAGAIN, "no more processes")

    monkeypatch.setattr(multiprocessing.context.ForkProcess, "_Popen", staticmethod(full))
    assert in_halves(lambda item: (item, os.getpid()), _MANY) == [
        (item, os.getpid()) for item in _MANY
    ]


@forks
def test_what_this_process_cannot_do_is_raised_and_leaves_no_process():
    def work(item):
        if item == 50:
            raise ValueError("fifty")
        return item

    with pytest.raises(ValueError, match="fifty"):
        in_halves(work, _MANY)
    assert not multiprocessing.active_children()


@pytest.mark.parametrize("alone", [False, True])
@pytest.mark.parametrize("most", [100, 101])
def test_both_processes_spend_the_same_allowance(monkeypatch, alone, most):
    if alone:
        _alone(monkeypatch)
    allowance = Allowance(most)

    def work(item):
        allowance.spend()
        return item

    if most < len(_MANY):
        with pytest.raises(EffortError):
            in_halves(work, _MANY, allowance)
    else:
        assert in_halves(work, _MANY, allowance) == list(_MANY)
        assert allowance.left == 0


@pytest.mark.slow
@forks
def test_prior_and_matrix_are_the_same_from_one_process_and_from_two(monkeypatch):
    scenario, _ = read("posts-come-out-short")
    bare = scenario.model_copy(update={"faults": ()})
    prior = prior_for(bare)
    matrix = found(bare, tuple(prior))
    _alone(monkeypatch)
    assert prior_for(bare) == prior
    assert list(prior_for(bare)) == list(prior)
    assert found(bare, tuple(prior)) == matrix


def test_only_linux_forks(monkeypatch):
    monkeypatch.setattr(sys, "platform", "darwin")
    assert not halves._may_fork()
