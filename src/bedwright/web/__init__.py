"""The page: a plan's own sheets in a browser, on the gardener's own machine and, where it is
shared, on phones in the house's network.

What the gardener gave stands on the sheets as it was written and is changed there.  Each change is
a revision of the bed's brief, kept as TOML in a folder of its own; plans are worked out in another
process, one at a time, and their sheets kept beside the revision they were made from.
"""
