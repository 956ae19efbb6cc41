/* SPDX-License-Identifier: MIT */
/* Where a script's files are, and where it may write. Private to `host`. */
#ifndef MBL_HOST_FILES_H
#define MBL_HOST_FILES_H

#include "host/context.h"

/* Sets script, folder and root of the context from the path of the script. */
void mbl_files_begin(mbl_host *host, const char *path);

/*
 * Finds a regular file by a relative name: beside the script, then in the root. No "..", no
 * links below the folder it is found in. Writes its path and notes it as read, its bytes too.
 * `what` is what people call it: "file", "module".
 */
MBL_NODISCARD mbl_status mbl_files_find(mbl_host *host, const char *what, const char *name,
                                        char path[MBL_HOST_PATH], mbl_error *err);

/*
 * The path below --out for a relative name; makes the folders unless `dry`. Refuses a file that
 * the script has read or a journal of its, and any once it has saved MBL_HOST_FILES or
 * MBL_HOST_SAVED.
 */
MBL_NODISCARD mbl_status mbl_files_place(mbl_host *host, const char *name, bool dry,
                                         char path[MBL_HOST_PATH], mbl_error *err);

/* Notes a file that has been written, and counts its bytes: mbl_files_place has an end. */
void mbl_files_keep(mbl_host *host, const char *path);

/*
 * The end of a method that saves to `path`, placed before: notes the file, or raises what went
 * wrong. For `return mbl_files_saved(...)`: nothing is on the stack for the script.
 */
int mbl_files_saved(lua_State *L, const char *path, mbl_status status, mbl_error *err);

/* Notes a path in host->read or host->written, once. */
void mbl_files_note(mbl_text *list, const char *path);

/* Does a name end in this, with something before it? */
bool mbl_files_ends(const char *name, const char *ending);

#endif
