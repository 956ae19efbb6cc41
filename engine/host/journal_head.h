/* SPDX-License-Identifier: MIT */
/* The first line of a journal: of what its rows are. Private to `host`. */
#ifndef MBL_HOST_JOURNAL_HEAD_H
#define MBL_HOST_JOURNAL_HEAD_H

#include "host/context.h"

#include "study/grid.h"

typedef struct mbl_journal_head {
    char version[24];
    size_t rows;       /* of the whole sweep */
    size_t first, end; /* rows of this file, from 0; alike when a part has none */
    int part, parts;   /* 1 to parts; parts 0: all rows */
    char digest[33];   /* alike in all parts of one sweep */
} mbl_journal_head;

/*
 * Of the sweep that is about to run. The digest covers all that decides on its rows: version, bytes
 * of script, modules, documents and logs read so far, el.args, axes with their labels, measures.
 */
void mbl_journal_head_of(const mbl_host *host, const mbl_grid *grid, mbl_journal_head *head);

/* Appends the line, with its end. */
void mbl_journal_head_write(const mbl_journal_head *head, mbl_text *out);

/* From a line without its end; false when it is not exactly such a line. */
bool mbl_journal_head_read(mbl_journal_head *head, const char *line, size_t n);

/* What of `there`, but for its part and the rows of that, is not as `here`; NULL when all is. */
const char *mbl_journal_head_differs(const mbl_journal_head *there, const mbl_journal_head *here);

#endif
