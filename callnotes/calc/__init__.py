"""The trade's sums: pure functions over numbers and names, standard library only, no input or output.

One module a subject: ``copper``, ``capacitance``, ``loading``, ``loop``, ``noise``, ``tones``, ``colors``, ``blocks``,
``jacks``, ``cabling``, ``poe``, ``fiber``, ``dsl``, ``lengths`` (one cable measured two ways), ``rules`` (dated rules,
never verdicts); ``rounding`` sets figures into sentences. Nonsense (a negative length, pair 0, an unknown gauge) raises
``ValueError`` with a sentence that can be shown. Verdicts by state rules and work-order profiles do not live here.

Every published value names its source and its basis: *read* (seen in a copy of the named source) or *from memory*
with high, medium or low confidence. Nothing may be judged by a value of low confidence.
"""
