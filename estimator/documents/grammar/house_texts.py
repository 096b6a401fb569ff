"""English of what a house style adds to a paper, and of a picture that is lost."""

from __future__ import annotations

OWN_TERMS = "Terms of the workshop"
PICTURE_LOST = "The photograph cannot be read."
SIGNED_AS = "{name}, {capacity}"
