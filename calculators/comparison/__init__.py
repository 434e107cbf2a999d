"""Two measurements held against each other: larger than measuring error, or not."""
