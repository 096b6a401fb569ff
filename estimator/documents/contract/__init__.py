"""The papers of a contract, from acceptance to hand-over."""
