/* SPDX-License-Identifier: MIT */
#include "host/lines.h"

#include <errno.h>
#include <string.h>
#include <unistd.h>

enum { FIRST_ROOM = 256 * 1024 };

void mbl_lines_begin(mbl_lines *l, const mbl_alloc *alloc, int fd, const char *path)
{
    *l = (mbl_lines){.alloc = alloc, .fd = fd, .path = path};
}

void mbl_lines_end(mbl_lines *l)
{
    mbl_free(l->alloc, l->buffer, l->room, 1);
    l->buffer = NULL;
    l->room = 0;
}

/* Makes room behind what is there: moves it to the front, and doubles a buffer that is full. */
static mbl_status make_room(mbl_lines *l, mbl_error *err)
{
    size_t held = l->end - l->begin;
    if (held > 0 && l->begin > 0)
        memmove(l->buffer, l->buffer + l->begin, held);
    l->begin = 0;
    l->end = held;
    if (held < l->room)
        return MBL_OK;
    size_t room = l->room > 0 ? 2 * l->room : FIRST_ROOM;
    if (room > 2 * MBL_LINES_LONGEST)
        return mbl_fail(err, MBL_FILE, "%s: line %zu has more than %zu bytes", l->path,
                        l->number + 1, MBL_LINES_LONGEST);
    char *buffer = mbl_resize(l->alloc, l->buffer, l->room, room, 1);
    if (buffer == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory reading %s", l->path);
    l->buffer = buffer;
    l->room = room;
    return MBL_OK;
}

/* Reads on; *more is false at the end of the file. */
static mbl_status read_on(mbl_lines *l, bool *more, mbl_error *err)
{
    ssize_t n;
    MBL_TRY(make_room(l, err));
    do
        n = pread(l->fd, l->buffer + l->end, l->room - l->end, (off_t)l->read);
    while (n < 0 && errno == EINTR);
    if (n < 0)
        return mbl_fail(err, MBL_FILE, "cannot read %s: %s", l->path, strerror(errno));
    l->end += (size_t)n;
    l->read += (long long)n;
    *more = n > 0;
    return MBL_OK;
}

mbl_status mbl_lines_next(mbl_lines *l, const char **line, size_t *n, mbl_error *err)
{
    size_t seen = 0;
    for (bool more = true; more;) {
        size_t held = l->end - l->begin;
        const char *at = held > seen ? l->buffer + l->begin : NULL;
        const char *feed = at != NULL ? memchr(at + seen, '\n', held - seen) : NULL;
        if (feed != NULL) {
            *line = at;
            *n = (size_t)(feed - at);
            l->begin += *n + 1;
            l->number++;
            return MBL_OK;
        }
        seen = held;
        MBL_TRY(read_on(l, &more, err));
    }
    *line = NULL;
    *n = 0;
    return MBL_OK;
}

long long mbl_lines_bytes(const mbl_lines *l)
{
    return l->read - (long long)(l->end - l->begin);
}

size_t mbl_lines_torn(const mbl_lines *l)
{
    return l->end - l->begin;
}
