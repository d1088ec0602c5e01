"""The one way through: recipe → regions → plan → checks → outputs → proofs → pack."""
