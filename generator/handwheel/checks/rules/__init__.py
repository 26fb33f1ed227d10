"""One rule a file, named after its defect; the docstring of the file is its page."""
