/* SPDX-License-Identifier: MIT */
/*
 * Laying out a page for a terminal or a phone: plain ASCII, at most 80 columns. Private to `out`.
 * Bytes of names and files that are not printable ASCII become question marks.
 */
#ifndef MBL_OUT_PAGE_H
#define MBL_OUT_PAGE_H

#include "base/base.h"

enum { MBL_PAGE_WIDTH = 79 };

/* A text as the page has it into to[room], cut to fit; returns the columns that all of it takes. */
size_t mbl_page_plain(const char *from, char *to, size_t room);

/* A blank line (unless the page is empty) and a heading. */
void mbl_page_heading(mbl_text *page, const char *heading);

/* A sentence after `lead`, wrapped; further lines start `indent` columns in. */
void mbl_page_wrap(mbl_text *page, const char *lead, int indent, const char *sentence);

/* A word in the margin and a sentence beside it. */
void mbl_page_fact(mbl_text *page, const char *word, const char *sentence);

/* A sentence with a dash in front. */
void mbl_page_point(mbl_text *page, const char *sentence);

/* Empties a sentence for the next; keeps its memory. */
void mbl_page_clear(mbl_text *sentence);

/* Three columns: what, front, rear. */
void mbl_page_row(mbl_text *page, const char *what, const char *front, const char *rear);

#endif
