/* SPDX-License-Identifier: MIT */
/*
 * A row is one write at a known place in the file. So there is no buffer that a crash could lose,
 * and a write that the disk took half of is cut off where the row began.
 */
#include "host/journal.h"

#include "host/files.h"
#include "host/journal_head.h"
#include "host/lines.h"

#include "out/grid.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>
#include <unistd.h>

/* Before the rows: of what they are, names, units. */
enum { HEAD_LINES = 3 };

/* ---- its place ---- */

/* "ducts" or "ducts.csv" -> "ducts.csv", or "ducts.part-3-of-64.csv"; false: too long. */
static bool file_name(const mbl_host_options *o, const char *name, char file[MBL_HOST_PATH])
{
    size_t n = strlen(name);
    bool csv = n > 4 && strcasecmp(name + n - 4, ".csv") == 0;
    char part[48] = "";
    if (o->parts > 0)
        snprintf(part, sizeof part, ".part-%d-of-%d", o->part, o->parts);
    int length = snprintf(file, MBL_HOST_PATH, "%.*s%s%s", (int)(csv ? n - 4 : n), name, part,
                          csv ? name + n - 4 : ".csv");
    return n < MBL_HOST_PATH && length < MBL_HOST_PATH;
}

/* Opens the file, or makes it; *fresh says which. A link is not followed. */
static mbl_status open_file(mbl_journal *j, bool resume, bool *fresh, mbl_error *err)
{
    int flags = O_RDWR | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC;
    struct stat info;
    j->fd = open(j->path, flags | O_CREAT | O_EXCL, 0666);
    *fresh = j->fd >= 0;
    if (*fresh)
        return MBL_OK;
    if (errno != EEXIST)
        return mbl_fail(err, MBL_FILE, "cannot write %s: %s", j->path, strerror(errno));
    if (!resume)
        return mbl_fail(err, MBL_INPUT,
                        "%s is there already: --resume goes on with it; to begin anew, remove it "
                        "or name another",
                        j->path);
    j->fd = open(j->path, flags);
    if (j->fd >= 0 && fstat(j->fd, &info) == 0 && S_ISREG(info.st_mode))
        return MBL_OK;
    if (j->fd < 0 && errno != ELOOP)
        return mbl_fail(err, MBL_FILE, "cannot open %s: %s", j->path, strerror(errno));
    return mbl_fail(err, MBL_FILE, "%s is not a regular file", j->path);
}

/* Two that write to one file would garble it. Where there are no locks, nobody watches. */
static mbl_status lock(const mbl_journal *j, mbl_error *err)
{
    struct flock all = {.l_type = F_WRLCK, .l_whence = SEEK_SET};
    if (fcntl(j->fd, F_SETLK, &all) == 0 || (errno != EACCES && errno != EAGAIN))
        return MBL_OK;
    return mbl_fail(err, MBL_FILE, "another emberlap is writing %s", j->path);
}

/* ---- writing ---- */

static mbl_status cannot_write(const mbl_journal *j, int why, mbl_error *err)
{
    return mbl_fail(err, MBL_FILE, "cannot write %s: %s", j->path, strerror(why));
}

/* Puts the line behind the whole ones; 0, or an error number, and the file is as it was. */
static int write_line(mbl_journal *j)
{
    size_t done = 0;
    while (done < j->line.length) {
        ssize_t n = pwrite(j->fd, j->line.data + done, j->line.length - done,
                           (off_t)(j->bytes + (long long)done));
        int why = n == 0 ? ENOSPC : errno;
        if (n <= 0 && why == EINTR)
            continue;
        if (n <= 0) {
            /* what cannot be cut off either is a torn line to whoever reads it */
            (void)!ftruncate(j->fd, (off_t)j->bytes);
            return why;
        }
        done += (size_t)n;
    }
    j->bytes += (long long)done;
    return 0;
}

/* Writes the lines before the rows. */
static mbl_status begin(mbl_journal *j, mbl_error *err)
{
    int why = write_line(j);
    if (why == 0 && ftruncate(j->fd, (off_t)j->bytes) != 0)
        why = errno;
    return why == 0 ? MBL_OK : cannot_write(j, why, err);
}

/* ---- going on ---- */

static mbl_status compare_head(const mbl_journal *j, const mbl_journal_head *there,
                               const mbl_journal_head *here, bool columns, mbl_error *err)
{
    const char *differs = mbl_journal_head_differs(there, here);
    if (there->rows == here->rows && (there->part != here->part || there->parts != here->parts ||
                                      there->first != here->first || there->end != here->end))
        differs = "part of the rows";
    else if (there->rows == here->rows && !columns)
        differs = "columns";
    if (differs == NULL)
        return MBL_OK;
    return mbl_fail(err, MBL_INPUT,
                    "%s is of another sweep: not the same %s; put back what has changed, or remove "
                    "it or name another to begin anew",
                    j->path, differs);
}

/*
 * Reads the lines before the rows. *there is false when the file ends within what this sweep would
 * begin it with: it was made, and no row came.
 */
static mbl_status check_head(const mbl_journal *j, const mbl_journal_head *here, mbl_lines *lines,
                             bool *there, mbl_error *err)
{
    const char *want = j->line.data;
    mbl_journal_head found = {0};
    bool columns = true;
    for (int i = 0; i < HEAD_LINES; i++) {
        const char *line;
        size_t n;
        MBL_TRY(mbl_lines_next(lines, &line, &n, err));
        size_t length = strcspn(want, "\n");
        size_t torn = line == NULL ? mbl_lines_torn(lines) : 0;
        if (line == NULL && torn <= length && memcmp(lines->buffer + lines->begin, want, torn) == 0)
            return MBL_OK;
        if (i == 0 && (line == NULL || !mbl_journal_head_read(&found, line, n)))
            return mbl_fail(err, MBL_INPUT, "%s is no journal of a sweep; name another", j->path);
        if (i > 0)
            columns = columns && line != NULL && n == length && memcmp(line, want, n) == 0;
        want += length + 1;
    }
    *there = true;
    return compare_head(j, &found, here, columns, err);
}

static mbl_status take_rows(mbl_journal *j, mbl_grid *grid, mbl_lines *lines, mbl_error *err)
{
    for (;;) {
        const char *line;
        size_t n;
        MBL_TRY(mbl_lines_next(lines, &line, &n, err));
        if (line == NULL)
            return MBL_OK;
        size_t row = grid->first + j->rows;
        if (row >= grid->end || !mbl_out_grid_take(grid, row, line, n))
            return mbl_fail(err, MBL_INPUT,
                            "%s: line %zu is not row %zu as it was written; cut the file off "
                            "before that line to run the rows from there again",
                            j->path, lines->number, row + 1);
        j->rows++;
    }
}

/* Takes what is there; the file then ends with its last whole line. */
static mbl_status go_on(mbl_journal *j, const mbl_journal_head *here, mbl_grid *grid,
                        mbl_error *err)
{
    mbl_lines lines;
    bool there = false;
    mbl_lines_begin(&lines, &j->host->store.alloc, j->fd, j->path);
    mbl_status status = check_head(j, here, &lines, &there, err);
    if (status == MBL_OK && there)
        status = take_rows(j, grid, &lines, err);
    size_t torn = mbl_lines_torn(&lines);
    j->bytes = there ? mbl_lines_bytes(&lines) : 0;
    mbl_lines_end(&lines);
    if (status != MBL_OK)
        return status;
    if (!there)
        return begin(j, err);
    if (torn > 0 && ftruncate(j->fd, (off_t)j->bytes) != 0)
        return cannot_write(j, errno, err);
    return MBL_OK;
}

/* ---- a sweep's ---- */

/* 1234567 as "1,234,567" */
static const char *grouped(size_t n, char out[32])
{
    char digits[24];
    int length = snprintf(digits, sizeof digits, "%zu", n);
    char *to = out;
    for (int i = 0; i < length; i++) {
        if (i > 0 && (length - i) % 3 == 0)
            *to++ = ',';
        *to++ = digits[i];
    }
    *to = '\0';
    return out;
}

static mbl_status start(mbl_journal *j, mbl_grid *grid, mbl_error *err)
{
    mbl_journal_head here;
    bool fresh = false;
    mbl_journal_head_of(j->host, grid, &here);
    mbl_journal_head_write(&here, &j->line);
    mbl_out_grid_head(grid, MBL_UNITS_SI, &j->line);
    if (j->line.failed)
        return mbl_fail(err, MBL_MEMORY, "out of memory for a journal");
    MBL_TRY(open_file(j, j->host->options->resume, &fresh, err));
    MBL_TRY(lock(j, err));
    if (!fresh)
        return go_on(j, &here, grid, err);
    mbl_status status = begin(j, err);
    if (status != MBL_OK)
        unlink(j->path);
    return status;
}

/* The name that the table gives, or NULL; pushes one value. */
static const char *read_name(lua_State *L, int table, mbl_host *host)
{
    int type = lua_getfield(L, table, "journal");
    if (type == LUA_TNIL) {
        if (host->options->resume)
            mbl_host_note(host, "a sweep without a journal begins anew");
        return NULL;
    }
    const char *name = type == LUA_TSTRING ? lua_tostring(L, -1) : "";
    if (name[0] == '\0' || strlen(name) != lua_rawlen(L, -1))
        (void)mbl_host_wrong(L, "sweep.journal",
                             "expected the name of a file, as in journal = \"ducts\"");
    return name;
}

/* Everything but the name; on failure nothing is open. */
static mbl_status open_named(mbl_journal *j, mbl_host *host, const char *name, mbl_grid *grid,
                             mbl_error *err)
{
    bool check = host->options->check;
    char file[MBL_HOST_PATH];
    if (!file_name(host->options, name, file))
        return mbl_fail(err, MBL_INPUT, "the name is too long");
    MBL_TRY(mbl_files_place(host, file, check, j->path, err));
    mbl_files_note(check ? &host->written : &host->journals, j->path);
    if (check)
        return MBL_OK;
    j->host = host;
    j->all = grid->end - grid->first;
    j->read = host->read.length;
    mbl_text_init(&j->line, &host->store.alloc);
    mbl_host_engine_begin(host);
    mbl_status status = start(j, grid, err);
    mbl_host_engine_end(host);
    if (status == MBL_OK)
        return MBL_OK;
    if (j->fd >= 0)
        close(j->fd);
    mbl_text_free(&j->line);
    return status;
}

void mbl_journal_open(lua_State *L, int table, mbl_journal *j, mbl_grid *grid, size_t *next)
{
    mbl_host *host = mbl_host_of(L);
    char rows[32];
    char all[32];
    mbl_error err = {0};
    *j = (mbl_journal){.fd = -1};
    const char *name = read_name(L, table, host);
    if (name != NULL && open_named(j, host, name, grid, &err) != MBL_OK) {
        mbl_error_under(&err, "sweep.journal");
        (void)mbl_host_raise(L, &err);
    }
    lua_pop(L, 1);
    *next = grid->first + j->rows;
    if (j->rows > 0)
        mbl_host_note(host, "%s of %s rows are there in %s", grouped(j->rows, rows),
                      grouped(j->all, all), j->path);
}

mbl_status mbl_journal_add(mbl_journal *j, const mbl_grid *grid, size_t row, mbl_error *err)
{
    if (j->host == NULL)
        return MBL_OK;
    j->line.length = 0;
    mbl_out_grid_row(grid, MBL_UNITS_SI, row, &j->line);
    if (j->line.failed)
        return mbl_fail(err, MBL_MEMORY, "out of memory writing %s", j->path);
    int why = write_line(j);
    if (why != 0)
        return mbl_fail(err, MBL_FILE,
                        "cannot write %s: %s; %zu of %zu rows are in it, and --resume goes on from "
                        "there",
                        j->path, strerror(why), j->rows, j->all);
    j->rows++;
    return MBL_OK;
}

mbl_status mbl_journal_close(mbl_journal *j, bool whole, mbl_error *err)
{
    if (j->host == NULL || j->fd < 0)
        return MBL_OK;
    mbl_host *host = j->host;
    mbl_error told = {0};
    mbl_status status = MBL_OK;
    errno = 0;
    bool kept = fsync(j->fd) == 0 || errno == EINVAL; /* EINVAL: there is nothing to sync to */
    int why = errno;
    if (close(j->fd) != 0 && kept) {
        kept = false;
        why = errno;
    }
    j->fd = -1;
    mbl_text_free(&j->line);
    mbl_files_keep(host, j->path);
    if (!kept)
        status = mbl_fail(&told, MBL_FILE, "cannot write %s: %s", j->path, strerror(why));
    else if (whole && j->rows != j->all)
        status = mbl_fail(&told, MBL_INTERNAL, "%s has %zu rows of %zu", j->path, j->rows, j->all);
    if (host->read.length != j->read)
        mbl_host_note(host,
                      "%s: `case` reads files of its own; --resume does not see when they change",
                      j->path);
    if (status != MBL_OK && err == NULL)
        fprintf(host->options->notes, "emberlap: %s\n", told.text);
    return status == MBL_OK ? MBL_OK : mbl_fail(err, status, "%s", told.text);
}

void mbl_journal_tell(const mbl_journal *j, mbl_host *host)
{
    char rows[32];
    char all[32];
    if (j->host != NULL)
        mbl_host_note(host, "%s of %s rows are in %s; go on with --resume", grouped(j->rows, rows),
                      grouped(j->all, all), j->path);
}
