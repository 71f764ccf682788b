"""callnotes: a technician's spoken service call becomes a fault timeline and a closeout report."""

__version__ = "0.1.0"
