"""Floor 6: records to pages, and the one adapter that knows MkDocs."""
