"""The inner loops of the search, compiled: what stays cost, and the cheapest routes through them.

PURE. Everything here works on plain arrays; the modules of `rotation.engine` that call it say what they mean.
The first call on a machine compiles, which takes some seconds, and keeps the result beside the module. What is
kept is thrown away when its own module changes, and only then: a compiled function therefore calls no compiled
function of another module. Those called for every label or part are inlined, because handing over arrays would
cost more time than they take.
"""

NONE = -1
"""Stands for no label where a label's number is asked for."""
