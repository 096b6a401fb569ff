"""Sample jobs as folders of text, and the sample workshop with the program that builds it."""
