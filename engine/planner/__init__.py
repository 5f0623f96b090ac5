"""The planner: what to sow, where and when, provably close to the best. `planner.plan` is its face."""
