# SPDX-License-Identifier: MIT
"""LSODA as SciPy has it, on the right-hand side of a shared library, which it calls without a
detour through Python: lsoda.py LIBRARY IN OUT. Starts anew where the brakes go on or off."""
import ctypes
import sys
import time

import numpy as np
from scipy.integrate import ode


class Head(ctypes.Structure):
    _fields_ = [("samples", ctypes.c_longlong), ("nodes", ctypes.c_longlong),
                ("dense", ctypes.c_longlong), ("start", ctypes.c_double), ("rtol", ctypes.c_double)]


def capsule(function):
    """A C function in the form in which a Fortran wrapper takes it for a callback."""
    make = ctypes.pythonapi.PyCapsule_New
    make.restype = ctypes.py_object
    make.argtypes = [ctypes.c_void_p, ctypes.c_char_p, ctypes.c_void_p]
    return make(ctypes.cast(function, ctypes.c_void_p).value, None, None)


def main(library, source, target):
    lib = ctypes.CDLL(library)
    lib.bench_lsoda_about.restype = ctypes.POINTER(Head)
    lib.bench_lsoda_data.restype = ctypes.POINTER(ctypes.c_double)
    lib.bench_lsoda_evaluations.restype = ctypes.c_size_t
    lib.bench_lsoda_span.argtypes = [ctypes.c_size_t, ctypes.c_size_t]
    if not lib.bench_lsoda_open(source.encode()):
        sys.exit("cannot read " + source)
    head = lib.bench_lsoda_about().contents
    n = head.samples
    data = np.ctypeslib.as_array(lib.bench_lsoda_data(), (3 * n + 2,))
    times, power = data[:n + 1], data[2 * n + 2:]
    ends = list(np.flatnonzero(np.diff(power > 0)) + 1) + [n]
    run = ode(capsule(lib.bench_lsoda_rates))
    run.set_integrator("lsoda", rtol=head.rtol, atol=head.rtol, nsteps=1000000)
    state = np.full(head.nodes, head.start)
    rows = []
    begun = time.process_time()
    first = 0
    for end in ends:
        lib.bench_lsoda_span(first, end)
        run.set_initial_value(state, times[first])
        if head.dense:
            for k in range(first, end):
                rows.append(run.integrate(times[k + 1]).copy())
        else:
            run.integrate(times[end])
        if not run.successful():
            sys.exit("LSODA fails")
        state = run.y.copy()
        first = end
    seconds = time.process_time() - begun
    with open(target, "wb") as out:
        np.array([seconds, lib.bench_lsoda_evaluations()]).tofile(out)
        state.tofile(out)
        if head.dense:
            np.array(rows).tofile(out)


main(*sys.argv[1:])
