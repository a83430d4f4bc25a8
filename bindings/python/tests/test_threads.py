"""One checker, many threads."""

import json
import threading
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import salver

THREADS = 8


def test_eight_threads_share_one_checker(checks: list[dict[str, Any]], checker: salver.Checker) -> None:
    asks = [json.dumps(check) for check in checks]
    wanted = [checker.check_json(ask) for ask in asks]
    start = threading.Barrier(THREADS)

    def work(thread: int) -> list[str]:
        start.wait()
        # Each thread begins at another case, so that different texts are read at the same time.
        turned = asks[thread * 7 :] + asks[: thread * 7]
        answers = [checker.check_json(ask) for ask in turned]
        return answers[len(asks) - thread * 7 :] + answers[: len(asks) - thread * 7]

    with ThreadPoolExecutor(THREADS) as pool:
        for answers in pool.map(work, range(THREADS)):
            assert answers == wanted


def steps_beside(call: Callable[[], object]) -> float:
    """How many steps a second another thread makes while this one is in `call`."""
    steps, done = 0, False

    def count() -> None:
        nonlocal steps
        while not done:
            steps += 1

    other = threading.Thread(target=count)
    other.start()
    try:
        while steps == 0:
            time.sleep(0.001)
        before, start = steps, time.perf_counter()
        call()
        return (steps - before) / (time.perf_counter() - start)
    finally:
        done = True
        other.join()


def test_other_threads_run_while_the_library_works(checker: salver.Checker) -> None:
    item = {"name": "stew", "ingredients": ", ".join(["wheat flour", "whey powder", "zorble"] * 1_000)}
    big = json.dumps({"order": {"allergies": ["egg"]}, "tray": {"items": [item] * 30}})
    start = time.perf_counter()
    checker.check_json(big)
    seconds = time.perf_counter() - start
    start = time.perf_counter()
    sum(range(10_000_000))
    numbers = int(10_000_000 * seconds / (time.perf_counter() - start))

    beside_salver = steps_beside(lambda: checker.check_json(big))
    # This holds the lock for about as long: what a binding that does not let go of it looks like.
    beside_lock = steps_beside(lambda: sum(range(numbers)))
    assert beside_salver > 5 * beside_lock, f"{beside_salver:.0f} steps a second, {beside_lock:.0f} beside a held lock"
