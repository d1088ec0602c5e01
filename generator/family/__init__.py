"""Many variants of one recipe: what varies, what is due, who makes it, what comes back."""
