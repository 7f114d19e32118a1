"""The captain's table: teams and weekends of the folder, what a draw costs, and the sheets to print."""
