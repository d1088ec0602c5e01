"""coverplate: personal cover plates over plain brackets, from one YAML recipe to a proven pack of files."""
