"""One rule a file, named by topic. Found by `check.registry`; nothing is exported by hand."""
