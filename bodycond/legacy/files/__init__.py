"""Files of any kind opened as sheets of raw cells, each still where and as it was written."""
