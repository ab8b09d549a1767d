"""Chunks come back in order, and no executor changes a bit of any study."""

import pickle
import threading
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from functools import partial
from multiprocessing import get_context

import numpy as np
import pytest
from distributed import Client, LocalCluster

from lamcalc.errors import InputError
from lamcalc.materials import catalogue
from lamcalc.schedule import CoreLayer, Ply, Schedule
from lamcalc.studies.executors import AHEAD, each_chunk, map_chunks
from lamcalc.studies.sensitivity import variance_based
from lamcalc.studies.uncertain_parts import LaminateModel
from lamcalc.studies.uncertainty import run_uncertainty

pytestmark = pytest.mark.invariant


def model(chunk=100):
    shop = catalogue.load()
    ply = partial(Ply, resin=shop.resin("iso_polyester"), process=shop.process("hand"))
    layers = (
        ply(shop.reinforcement("csm_450")),
        CoreLayer(shop.core("pu_board_416"), 18.0),
        ply(shop.reinforcement("biax45_1708"), count=2),
    )
    return LaminateModel(Schedule(layers, shop.fibres), M=(0.0, 900.0, 0.0), area_m2=0.8, chunk=chunk)


@pytest.fixture(scope="module")
def plain():
    return run_uncertainty(model(), samples=450, seed=11)


def spawned(workers=2):
    return ProcessPoolExecutor(workers, mp_context=get_context("spawn"))


@pytest.mark.parametrize(
    "pool",
    [lambda: ThreadPoolExecutor(3), lambda: ThreadPoolExecutor(1), spawned],
    ids=["threads", "one thread", "processes"],
)
def test_pools_give_the_same_bits(pool, plain):
    with pool() as executor:
        other = run_uncertainty(model(), samples=450, seed=11, executor=executor)
        shares = variance_based(model(), "ei_y", samples=200, seed=4, executor=executor)
    assert np.array_equal(other.values, plain.values)
    assert shares == variance_based(model(), "ei_y", samples=200, seed=4)


def test_a_local_cluster_gives_the_same_bits(plain):
    with (
        LocalCluster(n_workers=1, threads_per_worker=1, processes=True, dashboard_address=None) as cluster,
        Client(cluster) as client,
    ):
        other = run_uncertainty(model(), samples=450, seed=11, executor=client.get_executor())
        shares = variance_based(model(), "ei_y", samples=200, seed=4, executor=client.get_executor())
    assert np.array_equal(other.values, plain.values)
    assert shares == variance_based(model(), "ei_y", samples=200, seed=4)


def test_chunks_do_not_change_a_sample(plain):
    for chunk in (1, 7, 4096):
        other = run_uncertainty(model(chunk), samples=20, seed=11)
        np.testing.assert_allclose(other.values, plain.values[:, :20], rtol=1e-12)


def test_order_is_kept_when_later_tasks_end_first():
    gate = threading.Event()

    def task(k):
        if k == 0:
            assert gate.wait(10)
        if k == 5:
            gate.set()
        return k

    with ThreadPoolExecutor(2) as pool:
        assert map_chunks(task, range(2 * AHEAD), pool) == list(range(2 * AHEAD))


@pytest.mark.parametrize("pooled", [False, True])
def test_progress_counts_and_stops(pooled):
    said = []

    def progress(done, total):
        said.append((done, total))
        return done < 3

    with ThreadPoolExecutor(2) as pool:
        assert map_chunks(abs, range(10), pool if pooled else None, progress) == [0, 1, 2]
    assert said == [(1, 10), (2, 10), (3, 10)]


@pytest.mark.parametrize("pooled", [False, True])
def test_a_set_stop_ends_it(pooled):
    stop = threading.Event()
    with ThreadPoolExecutor(2) as pool:
        results = each_chunk(abs, range(100), pool if pooled else None, stop=stop)
        assert next(results) == 0
        stop.set()
        assert list(results) == []
        assert map_chunks(abs, range(5), pool if pooled else None, stop=stop) == []


def test_not_more_than_a_few_tasks_are_sent_ahead():
    class Counting(ThreadPoolExecutor):
        sent = 0

        def submit(self, *args, **more):
            Counting.sent += 1
            return super().submit(*args, **more)

    with Counting(2) as pool:
        results = each_chunk(abs, range(1000), pool)
        next(results)
        assert Counting.sent <= AHEAD + 1
        results.close()


def test_an_error_in_a_task_comes_out_as_it_is():
    with ThreadPoolExecutor(2) as pool, pytest.raises(ZeroDivisionError):
        map_chunks(partial(divmod, 1), [1, 0, 1], pool)


def test_a_pool_that_is_none_is_told(plain):
    with pytest.raises(InputError, match="Executor"):
        map_chunks(abs, [1], executor=4)


def test_models_travel():
    copy = pickle.loads(pickle.dumps(model()))
    assert np.array_equal(
        run_uncertainty(copy, samples=20, seed=11).values, run_uncertainty(model(), samples=20, seed=11).values
    )
