"""Floor 4: which machine is it, what on it is not original, and what to look at next.

A family with what the shop knows of it (`facts.Subject`) is compiled once (`build.build_tables`); then
`answer.identify` answers for each `evidence.Evidence`. `compile` hands the same tables to the browser, `key` prints
them, `calibration` measures how far the answers can be trusted, and `rates` holds every assumption.
"""
