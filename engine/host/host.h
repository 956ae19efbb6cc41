/* SPDX-License-Identifier: MIT */
/*
 * Public header of `host`: runs a script, and the command line. The only layer that knows Lua.
 * Scripts are data from strangers: they get the language without files, processes, bytecode,
 * addresses or debugging, a cap on memory and an allowance of processor time.
 */
#ifndef MBL_HOST_H
#define MBL_HOST_H

#include "out/out.h"

#include <signal.h>
#include <stdio.h>

/* Exit codes of the command line. */
enum {
    MBL_EXIT_HOLDS = 0,  /* every run holds or is marginal, or nothing ran */
    MBL_EXIT_PASSED = 1, /* a limit is passed in some run */
    MBL_EXIT_WRONG = 2,  /* the input or the script is wrong, or out of its allowance */
    MBL_EXIT_FAILED = 3, /* the engine failed */
    MBL_EXIT_INTERRUPTED = 130
};

/* Memory a script may have, bytes: the Lua heap, and definitions, logs and runs. */
#define MBL_HOST_HEAP  ((size_t)256 * 1024 * 1024)
#define MBL_HOST_STORE ((size_t)2 * 1024 * 1024 * 1024)

/* Processor time that a script may spend in Lua, s: by default, and the range. */
#define MBL_HOST_ALLOWANCE       10.0
#define MBL_HOST_ALLOWANCE_LEAST 0.01
#define MBL_HOST_ALLOWANCE_MOST  1e6

/* Most bytes that `print` writes in one script. */
#define MBL_HOST_PRINT ((size_t)64 * 1024 * 1024)

/* Most files that one script saves, and their bytes: the file that passes them is the last. */
#define MBL_HOST_FILES 1000
#define MBL_HOST_SAVED ((long long)4 * 1024 * 1024 * 1024)

/* Most threads of a sweep, and most parts that one is shared out in. */
#define MBL_HOST_WORKERS 256
#define MBL_HOST_PARTS   10000

/* Most notes about one script. */
#define MBL_HOST_NOTES 1000

typedef struct mbl_host_options {
    const mbl_alloc *alloc;
    FILE *out;           /* what the script prints, and verdicts */
    FILE *notes;         /* notes and errors */
    const char *out_dir; /* run:save writes below it; NULL: the current folder */
    const char *root;    /* where files are looked for after the script's folder; NULL: found */
    mbl_units_system units;
    bool check;       /* compile runs, but do not run them */
    bool strict;      /* a marginal run counts as one that passes a limit */
    bool quiet;       /* errors only on `notes` */
    double allowance; /* s of Lua; 0: MBL_HOST_ALLOWANCE */
    bool may_end;     /* a script that does not stop ends the process, with MBL_EXIT_WRONG */
    int workers;      /* threads of a sweep, up to MBL_HOST_WORKERS; 0: none but the script's */
    bool resume;      /* sweeps go on from their journals */
    int part, parts;  /* sweeps run only their rows of this part, 1 to parts; 0: all rows */
    const volatile sig_atomic_t *interrupt; /* not 0: stop; may be NULL */
    size_t nargs;
    const char *const *args; /* (nargs) "name=value", for el.args */
} mbl_host_options;

/* Runs a script and reports; returns an exit code. */
int mbl_host_script(const mbl_host_options *options, const char *path);

/* The same for a script in memory; `name` is what errors call it, its folder is the script's. */
int mbl_host_text(const mbl_host_options *options, const char *name, const char *bytes,
                  size_t size);

/* The command line; returns an exit code. `interrupt` as in the options. */
int mbl_cli(int argc, char **argv, FILE *out, FILE *notes, const volatile sig_atomic_t *interrupt);

#endif
