"""What every other room stands on: errors, units, recipe-field declarations, sourced figures, findings."""
