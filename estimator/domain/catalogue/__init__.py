"""The price catalogue: what can be fitted, done and bought, row by row, and its checks."""
