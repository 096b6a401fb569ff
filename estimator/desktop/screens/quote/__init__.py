"""The Quote page: what goes out, what has gone out, what changed since, and the issue itself."""
