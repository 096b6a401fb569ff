"""The Programme page: what is done when, what is longest, and when the machine is ready."""
