"""From a recording to papers: each stage as one function, and the whole job on one call."""
