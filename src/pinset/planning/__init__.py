"""A Problem in, a Plan out: which lot to start when, so that the promises are met.

Pure computation: time, settings and stock come in as arguments. `model` writes the mixed-integer
programme, `solve` runs it, `explain` says why, `day` fits one day's jobs round its fixed hours.
"""
