"""Floor 6: records to pages, and the one adapter that knows MkDocs."""

import handwheel.records.library  # noqa: F401 - lists follow the order in which kinds were imported
