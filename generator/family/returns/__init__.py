"""What comes back for a family beside its packs: tables, gallery, contact sheet. A file an output, all from ``Ran``."""
