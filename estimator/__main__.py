"""`python -m estimator`: the program without a window."""

from estimator.command.main import main

if __name__ == "__main__":
    raise SystemExit(main())
