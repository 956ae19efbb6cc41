/* SPDX-License-Identifier: MIT */
/* YAML documents as definition trees, with the line and column of every node. */
#ifndef MBL_PARTS_DOCUMENT_H
#define MBL_PARTS_DOCUMENT_H

#include "parts/node.h"

/*
 * Reads one YAML document of at most 4 MiB, 64 levels, 100,000 nodes and 4096 keys a map. Scalars
 * become text (a plain scalar that reads as a number becomes a number). Aliases, tags, a second
 * document, repeated keys and keys that are not plain text are refused with their line and column.
 * `name` is what errors call the file.
 */
MBL_NODISCARD mbl_status mbl_document_parse(const mbl_alloc *alloc, const char *name,
                                            const char *bytes, size_t size, mbl_node **root,
                                            mbl_error *err);

/* The same from a file. */
MBL_NODISCARD mbl_status mbl_document_read(const mbl_alloc *alloc, const char *path,
                                           mbl_node **root, mbl_error *err);

#endif
