"""coverplate: personal cover plates over plain brackets, from one YAML recipe to a proven pack of files.

The public Python names are those of ``generator.api``. Importing this package loads nothing.
"""
