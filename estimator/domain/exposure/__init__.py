"""What may be found worn: its chance, what it would cost, and the contingency that follows.

numpy and scipy are imported where they are used: a catalogue check or a `why` on a line needs
neither. Floats live in here only; sums leave it as money, rounded once.
"""
