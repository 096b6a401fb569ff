"""The same acts without a screen, for scripts and nightly runs."""
