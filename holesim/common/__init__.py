"""Tools without golf: threads, caches on disk, reading tables, writing files, mathematics for kernels."""
