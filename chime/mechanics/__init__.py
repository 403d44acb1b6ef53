"""The mechanics of a tape machine: one small function for each formula, numbered F3 to F31.

Lengths are millimetres, times seconds, speeds millimetres a second, unless a name says otherwise. Along the
tape a place is counted with the travel, across it from the middle of a hole. Nothing here knows of programmes
or of a machine's description: what goes in are numbers, and what comes out are numbers.

Where nothing else is said a formula is derived from the geometry alone, and the tests hold it against shapes
that are drawn and moved. A rule of thumb is marked as common practice, of which no published source is known.
"""
