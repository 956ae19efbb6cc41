/* SPDX-License-Identifier: MIT */
/*
 * Rows of a sweep on disk as they finish, in their order, and going on from them. The file is the
 * CSV of grid:save in SI, behind one line that says of what it is: rows, part, and a digest of
 * script, modules, data, arguments and version. A line that was torn by a crash is dropped.
 * Private to `host`.
 */
#ifndef MBL_HOST_JOURNAL_H
#define MBL_HOST_JOURNAL_H

#include "host/context.h"

#include "study/grid.h"

typedef struct mbl_journal {
    mbl_host *host; /* NULL: there is no journal */
    int fd;         /* while it is open */
    char path[MBL_HOST_PATH];
    mbl_text line;    /* that is being written */
    long long bytes;  /* of whole lines */
    size_t rows, all; /* in it, those found there included; that belong in it */
    size_t read;      /* length of host->read when it was opened */
} mbl_journal;

/*
 * Opens what `journal` in the table at `table` asks for, or nothing. With --resume rows that are
 * there are taken into the grid, and *next is the first that is not. A file that is there is never
 * begun anew. In a check its name is checked, and nothing opened. Raises.
 */
void mbl_journal_open(lua_State *L, int table, mbl_journal *journal, mbl_grid *grid, size_t *next);

/*
 * Writes one row through to the system: what ends the process later does not touch it. When the
 * disk does not take all of it, what it took of the row is cut off again.
 */
MBL_NODISCARD mbl_status mbl_journal_add(mbl_journal *journal, const mbl_grid *grid, size_t row,
                                         mbl_error *err);

/* Ends it; `whole`: every row is in. A failure to write is told even when err is NULL. */
MBL_NODISCARD mbl_status mbl_journal_close(mbl_journal *journal, bool whole, mbl_error *err);

/* Says on the notes how many rows it has and how to go on. */
void mbl_journal_tell(const mbl_journal *journal, mbl_host *host);

/*
 * emberlap merge OUT FILES, the words behind `merge`: joins the parts of one sweep, in
 * any order, into the bytes that one run would have written; OUT must not be there yet. Returns an
 * exit code.
 */
int mbl_journal_merge(const mbl_host_options *options, int n, char **words);

#endif
