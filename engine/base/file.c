/* SPDX-License-Identifier: MIT */
#include "base/file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static mbl_status read_open(const mbl_alloc *alloc, int fd, const char *path, size_t limit,
                            char **data, size_t *size, mbl_error *err)
{
    struct stat info;
    if (fstat(fd, &info) != 0)
        return mbl_fail(err, MBL_FILE, "cannot look at %s: %s", path, strerror(errno));
    if (S_ISDIR(info.st_mode))
        return mbl_fail(err, MBL_FILE, "%s is a folder, not a file", path);
    if (!S_ISREG(info.st_mode))
        return mbl_fail(err, MBL_FILE, "%s is not a regular file", path);
    if ((unsigned long long)info.st_size > limit)
        return mbl_fail(err, MBL_FILE, "%s has %lld bytes; the most that is read is %zu", path,
                        (long long)info.st_size, limit);
    size_t room = (size_t)info.st_size;
    char *bytes = mbl_new(alloc, room + 1, 1);
    if (bytes == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory reading %s", path);
    size_t got = 0;
    while (got < room) {
        ssize_t n = read(fd, bytes + got, room - got);
        if (n < 0 && errno == EINTR)
            continue;
        if (n <= 0) {
            const char *why = n < 0 ? strerror(errno) : "it became shorter while being read";
            mbl_free(alloc, bytes, room + 1, 1);
            return mbl_fail(err, MBL_FILE, "cannot read %s: %s", path, why);
        }
        got += (size_t)n;
    }
    *data = bytes;
    *size = room;
    return MBL_OK;
}

mbl_status mbl_file_read(const mbl_alloc *alloc, const char *path, size_t limit, char **data,
                         size_t *size, mbl_error *err)
{
    /* non-blocking, so that a pipe by this name is refused below and not waited for */
    int fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    if (fd < 0)
        return mbl_fail(err, MBL_FILE, "cannot open %s: %s", path, strerror(errno));
    mbl_status status = read_open(alloc, fd, path, limit, data, size, err);
    close(fd);
    return status;
}

mbl_status mbl_file_begin(mbl_file *file, const char *path, mbl_error *err)
{
    *file = (mbl_file){0};
    int n = snprintf(file->path, sizeof file->path, "%s", path);
    if (n < 0 || (size_t)n >= sizeof file->path)
        return mbl_fail(err, MBL_FILE, "the file name is too long: %.60s...", path);
    snprintf(file->temporary, sizeof file->temporary, "%s.XXXXXX", file->path);
    int fd = mkstemp(file->temporary);
    if (fd < 0)
        return mbl_fail(err, MBL_FILE, "cannot write %s: %s", path, strerror(errno));
    /* mkstemp makes a private file; a result is an ordinary one */
    mode_t mask = umask(0);
    umask(mask);
    fchmod(fd, 0666 & ~mask);
    file->stream = fdopen(fd, "w");
    if (file->stream == NULL) {
        close(fd);
        unlink(file->temporary);
        return mbl_fail(err, MBL_FILE, "cannot write %s: %s", path, strerror(errno));
    }
    return MBL_OK;
}

mbl_status mbl_file_commit(mbl_file *file, mbl_error *err)
{
    FILE *stream = file->stream;
    file->stream = NULL;
    errno = 0;
    /* the first thing to go wrong names the reason */
    int good = !ferror(stream) && fflush(stream) == 0 && fsync(fileno(stream)) == 0;
    int why = errno;
    if (fclose(stream) != 0 && good) {
        good = 0;
        why = errno;
    }
    if (good && rename(file->temporary, file->path) == 0)
        return MBL_OK;
    if (good)
        why = errno;
    unlink(file->temporary);
    return mbl_fail(err, MBL_FILE, "cannot write %s: %s", file->path,
                    why != 0 ? strerror(why) : "the disk did not take it all");
}

void mbl_file_abandon(mbl_file *file)
{
    if (file->stream == NULL)
        return;
    fclose(file->stream);
    file->stream = NULL;
    unlink(file->temporary);
}
