"""Widgets that know no job: they take plain values and words and hand back signals."""
