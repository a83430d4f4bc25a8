"""Sizes and times of the installed module: `python measure.py dist/*.whl`. Of the times only the ratio travels."""

import json
import sys
import time
import zipfile
from collections.abc import Callable
from pathlib import Path

import salver

ROUNDS = 5


def seconds(work: Callable[[], object]) -> float:
    """The best of some rounds: what the machine does beside it only adds."""
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def main() -> None:
    wheel = Path(sys.argv[1])
    (module,) = [file for file in zipfile.ZipFile(wheel).infolist() if file.filename.endswith((".so", ".pyd"))]
    print(f"{wheel.name}: {wheel.stat().st_size} bytes, its module unpacked {module.file_size} bytes")

    trays = Path(__file__).parents[2] / "examples/trays.jsonl"
    texts = trays.read_text("utf-8").splitlines() * 50
    dicts = [json.loads(text) for text in texts]
    checker = salver.Checker()
    made = seconds(salver.Checker)
    by_text = seconds(lambda: [checker.check_json(text) for text in texts]) / len(texts)
    by_dict = seconds(lambda: list(checker.check_all(dicts))) / len(dicts)
    print(f"a checker in {made * 1e3:.0f} ms; a demo tray in {by_text * 1e6:.0f} µs as JSON text", end="")
    print(f", {by_dict / by_text:.1f} times that as dicts")


if __name__ == "__main__":
    main()
