"""Pure painting: plain values in, pixels out. Nothing here knows a job or a widget."""
