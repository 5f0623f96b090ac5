"""From what was said to what is settled: said clauses + the farm + the talk so far -> events, questions, asks."""
