/* SPDX-License-Identifier: MIT */
#include "base/status.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

const char *mbl_status_text(mbl_status status)
{
    switch (status) {
#define MBL_STATUS_CASE(name, text)                                                                \
    case MBL_##name:                                                                               \
        return text;
        MBL_STATUS_LIST(MBL_STATUS_CASE)
#undef MBL_STATUS_CASE
    }
    return "unknown status";
}

mbl_status mbl_fail(mbl_error *err, mbl_status status, const char *format, ...)
{
    if (err == NULL || err->status != MBL_OK)
        return status;
    err->status = status;
    va_list args;
    va_start(args, format);
    vsnprintf(err->text, sizeof err->text, format, args);
    va_end(args);
    return status;
}

void mbl_error_at(mbl_error *err, const char *file, int line, int column)
{
    if (err == NULL || err->status == MBL_OK)
        return;
    if (file != NULL && err->file[0] == '\0')
        snprintf(err->file, sizeof err->file, "%s", file);
    if (err->line == 0)
        err->line = line;
    if (err->column == 0)
        err->column = column;
}

void mbl_error_under(mbl_error *err, const char *key)
{
    if (err == NULL || err->status == MBL_OK)
        return;
    /* a path too deep to fit loses its tail, never its head */
    size_t room = sizeof err->path - 1;
    size_t shift = strlen(key) + (err->path[0] != '\0' && err->path[0] != '[' ? 1 : 0);
    if (shift > room)
        shift = room;
    size_t kept = strlen(err->path);
    if (kept > room - shift)
        kept = room - shift;
    memmove(err->path + shift, err->path, kept);
    err->path[shift + kept] = '\0';
    memset(err->path, '.', shift);
    memcpy(err->path, key, strlen(key) < shift ? strlen(key) : shift);
}
