"""`python -m handwheel`."""

import sys

from handwheel.cli.main import main

sys.exit(main())
