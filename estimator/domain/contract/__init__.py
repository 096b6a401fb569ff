"""After acceptance: what changes, who may agree to it, what is left of the contingency, and what
the job comes to. Everything follows from the events of the contract, in their order."""
