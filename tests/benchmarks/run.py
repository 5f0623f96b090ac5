"""All benchmarks of the book, one after the other: starts and reading, one season against twenty, many hands.

    python tests/benchmarks/run.py [--short]

Each prints its own table; figures depend on the machine, ratios much less. --short takes smaller books and fewer times.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).parent
LOAD = HERE.parent / "postgres" / "load.py"
LONG = {HERE / "bench_start.py": (), HERE / "bench_grammar.py": (), HERE / "bench_seasons.py": (), LOAD: ()}
SHORT = {
    HERE / "bench_start.py": ("--times", "3", "--lines", "200"),
    HERE / "bench_seasons.py": ("--seasons", "4", "--entries", "6000", "--times", "5"),
    LOAD: ("--seconds", "10"),
}


def main() -> int:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--short", action="store_true")
    chosen = SHORT if options.parse_args().short else LONG
    codes = []
    for script, arguments in chosen.items():
        print(f"\n{script.name} {' '.join(arguments)}", flush=True)
        codes.append(subprocess.run([sys.executable, str(script), *arguments], check=False).returncode)
    return max(codes)


if __name__ == "__main__":
    sys.exit(main())
