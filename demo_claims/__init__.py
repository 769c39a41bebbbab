"""Three invented demo claims and the code that draws them."""
