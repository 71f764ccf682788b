"""How ways to find a fault on a line compare: random lines, three policies, tables (``compare``)."""
