"""One folder for each page; pages never import each other."""
