"""Mass, time and cost, reckoned from the plan: estimates, with their spread."""
