"""What changed between two recipes, two packs, or one of each."""
