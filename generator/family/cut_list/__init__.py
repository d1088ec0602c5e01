"""What a family is cut from: blanks and inserts laid on sheets of stock, as a list, pages and drawings."""
