"""`python -m estimator`: the window; with a verb, the same acts without one."""

import gc
import sys


def main() -> int:
    """Open the window where no verb is named; else run the verb."""
    arguments = sys.argv[1:]
    if not arguments or arguments[0] == "window":
        # Thousands of objects come to stay while modules are read: looking through them again and
        # again would take a seventh of the start. The window turns it on when it is there.
        gc.disable()
        from estimator.app import main as open_window

        return open_window(arguments[1:])
    from estimator.command.main import main as run_verb

    return run_verb(arguments)


if __name__ == "__main__":
    raise SystemExit(main())
