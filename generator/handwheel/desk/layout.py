"""How a shop's folder is laid out."""

CONTENT = "shop"
"""The folder of the content, beside the `mkdocs.yml`."""
