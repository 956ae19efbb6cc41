/* SPDX-License-Identifier: MIT */
/* emberlap log: what a logger's file has and what is made of it. Private to `host`. */
#ifndef MBL_HOST_READ_LOG_H
#define MBL_HOST_READ_LOG_H

#include "host/host.h"

/*
 * Prints the report on a log to options->out; with `save`, first writes it clean below
 * options->out_dir, as the file's name with _clean.csv for its ending. `words` are wishes as
 * mbl_wish_word has them. Returns an exit code; nothing is printed or written on failure.
 */
int mbl_host_log(const mbl_host_options *options, const char *file, size_t nwords,
                 const char *const *words, bool save);

#endif
