"""What the papers of inspection and workshop print, frozen: nothing is left to reckon."""
