"""What has no golf in it: threads, a cache on disk, tables read, files written whole, kernel mathematics."""
