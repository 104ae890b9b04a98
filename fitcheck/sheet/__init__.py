"""Shop sheets: pages as plain data, laid out once, printed as PDF and as a page for a browser."""
