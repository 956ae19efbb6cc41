/* SPDX-License-Identifier: MIT */
/* Parts of a sweep into one journal: looked at all, put in order, copied line by line. */
#include "host/journal.h"

#include "host/journal_head.h"
#include "host/lines.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* One file. */
typedef struct part {
    const char *path;
    mbl_journal_head head;
} part;

typedef struct merge {
    const mbl_alloc *alloc;
    const char *out;
    size_t n;
    part *part;       /* (n) */
    mbl_text columns; /* both lines of names, of the first part */
} merge;

static mbl_status open_part(const part *p, int *fd, mbl_error *err)
{
    struct stat info;
    *fd = open(p->path, O_RDONLY | O_NONBLOCK | O_CLOEXEC);
    if (*fd < 0)
        return mbl_fail(err, MBL_FILE, "cannot open %s: %s", p->path, strerror(errno));
    if (fstat(*fd, &info) == 0 && S_ISREG(info.st_mode))
        return MBL_OK;
    close(*fd);
    return mbl_fail(err, MBL_FILE, "%s is not a regular file", p->path);
}

/* The lines before the rows; the names of the first part are kept, those of others compared. */
static mbl_status read_head(merge *m, part *p, mbl_lines *lines, mbl_error *err)
{
    const char *line;
    size_t n;
    mbl_text columns;
    MBL_TRY(mbl_lines_next(lines, &line, &n, err));
    if (line == NULL || !mbl_journal_head_read(&p->head, line, n))
        return mbl_fail(err, MBL_INPUT, "%s is no journal of a sweep", p->path);
    if (p->head.parts == 0)
        return mbl_fail(err, MBL_INPUT, "%s is no part: it was written without --part", p->path);
    const char *differs = mbl_journal_head_differs(&p->head, &m->part[0].head);
    mbl_text_init(&columns, m->alloc);
    for (int i = 0; i < 2; i++) {
        mbl_status status = mbl_lines_next(lines, &line, &n, err);
        if (status != MBL_OK || line == NULL) {
            mbl_text_free(&columns);
            return status != MBL_OK ? status
                                    : mbl_fail(err, MBL_INPUT, "%s ends before its rows", p->path);
        }
        mbl_text_add(&columns, line, n);
        mbl_text_add(&columns, "\n", 1);
    }
    if (columns.failed) {
        mbl_text_free(&columns);
        return mbl_fail(err, MBL_MEMORY, "out of memory reading %s", p->path);
    }
    if (p == &m->part[0]) {
        m->columns = columns;
        return MBL_OK;
    }
    if (differs == NULL && strcmp(columns.data, m->columns.data) != 0)
        differs = "columns";
    if (differs == NULL && p->head.parts != m->part[0].head.parts)
        differs = "number of parts";
    mbl_text_free(&columns);
    return differs == NULL
               ? MBL_OK
               : mbl_fail(err, MBL_INPUT, "%s and %s are not parts of one sweep: not the same %s",
                          m->part[0].path, p->path, differs);
}

static mbl_status look_at(merge *m, part *p, mbl_error *err)
{
    int fd;
    mbl_lines lines;
    MBL_TRY(open_part(p, &fd, err));
    mbl_lines_begin(&lines, m->alloc, fd, p->path);
    mbl_status status = read_head(m, p, &lines, err);
    mbl_lines_end(&lines);
    close(fd);
    return status;
}

static int compare_parts(const void *a, const void *b)
{
    int x = ((const part *)a)->head.part;
    int y = ((const part *)b)->head.part;
    return (x > y) - (x < y);
}

/* In their order: each part once, and its rows behind those of the one before. */
static mbl_status check_parts(const merge *m, mbl_error *err)
{
    size_t next = 0;
    int parts = m->part[0].head.parts;
    for (size_t i = 1; i < m->n; i++)
        if (m->part[i].head.part == m->part[i - 1].head.part)
            return mbl_fail(err, MBL_INPUT, "part %d of %d is there twice: %s and %s",
                            m->part[i].head.part, parts, m->part[i - 1].path, m->part[i].path);
    for (int k = 1; k <= parts; k++)
        if ((size_t)k > m->n || m->part[k - 1].head.part != k)
            return mbl_fail(err, MBL_INPUT, "part %d of %d is missing", k, parts);
    for (size_t i = 0; i < m->n; i++) {
        const mbl_journal_head *h = &m->part[i].head;
        if (h->first < h->end && h->first != next)
            return mbl_fail(err, MBL_INPUT, "%s begins with row %zu, not %zu", m->part[i].path,
                            h->first + 1, next + 1);
        if (h->first < h->end)
            next = h->end;
    }
    if (next != m->part[0].head.rows)
        return mbl_fail(err, MBL_INPUT, "the parts end with row %zu of %zu", next,
                        m->part[0].head.rows);
    return MBL_OK;
}

/* Does a line begin with the number of this row, from 0? */
static bool is_row(const char *line, size_t n, size_t row)
{
    char number[32];
    int length = snprintf(number, sizeof number, "%zu,", row + 1);
    return n > (size_t)length && memcmp(line, number, (size_t)length) == 0;
}

static mbl_status copy_rows(const part *p, mbl_lines *lines, FILE *out, mbl_error *err)
{
    size_t row = p->head.first;
    for (;;) {
        const char *line;
        size_t n;
        MBL_TRY(mbl_lines_next(lines, &line, &n, err));
        if (line == NULL)
            break;
        if (lines->number <= 3)
            continue;
        if (row >= p->head.end || !is_row(line, n, row))
            return mbl_fail(err, MBL_INPUT, "%s: line %zu is not row %zu", p->path, lines->number,
                            row + 1);
        fwrite(line, 1, n, out);
        putc('\n', out);
        row++;
    }
    if (row == p->head.end && mbl_lines_torn(lines) == 0)
        return MBL_OK;
    return mbl_fail(err, MBL_INPUT,
                    "%s is not whole: it ends %s row %zu, and has rows %zu to %zu; run part %d of "
                    "%d with --resume",
                    p->path, mbl_lines_torn(lines) > 0 ? "within" : "before", row + 1,
                    p->head.first + 1, p->head.end, p->head.part, p->head.parts);
}

static mbl_status copy_part(const merge *m, const part *p, FILE *out, mbl_error *err)
{
    int fd;
    mbl_lines lines;
    MBL_TRY(open_part(p, &fd, err));
    mbl_lines_begin(&lines, m->alloc, fd, p->path);
    mbl_status status = copy_rows(p, &lines, out, err);
    mbl_lines_end(&lines);
    close(fd);
    return status;
}

static mbl_status write_all(merge *m, mbl_error *err)
{
    mbl_file file;
    mbl_text head;
    mbl_journal_head whole = m->part[0].head;
    whole.first = 0;
    whole.end = whole.rows;
    whole.part = whole.parts = 0;
    mbl_text_init(&head, m->alloc);
    mbl_journal_head_write(&whole, &head);
    if (head.failed)
        return mbl_fail(err, MBL_MEMORY, "out of memory writing %s", m->out);
    mbl_status status = mbl_file_begin(&file, m->out, err);
    if (status == MBL_OK) {
        fputs(head.data, file.stream);
        fputs(m->columns.data, file.stream);
        for (size_t i = 0; i < m->n && status == MBL_OK; i++)
            status = copy_part(m, &m->part[i], file.stream, err);
        if (status == MBL_OK)
            status = mbl_file_commit(&file, err);
        else
            mbl_file_abandon(&file);
    }
    mbl_text_free(&head);
    return status;
}

static mbl_status run(merge *m, mbl_error *err)
{
    struct stat info;
    if (lstat(m->out, &info) == 0)
        return mbl_fail(err, MBL_INPUT,
                        "%s is there already and is not written over: the first name after merge "
                        "is that of the new file",
                        m->out);
    for (size_t i = 0; i < m->n; i++)
        MBL_TRY(look_at(m, &m->part[i], err));
    qsort(m->part, m->n, sizeof *m->part, compare_parts);
    MBL_TRY(check_parts(m, err));
    return write_all(m, err);
}

int mbl_journal_merge(const mbl_host_options *o, int n, char **words)
{
    mbl_error err = {0};
    merge m = {.alloc = o->alloc, .out = words[0], .n = (size_t)n - 1};
    m.part = mbl_new(m.alloc, m.n, sizeof *m.part);
    if (m.part == NULL) {
        fprintf(o->notes, "emberlap: out of memory for %zu parts\n", m.n);
        return MBL_EXIT_FAILED;
    }
    for (size_t i = 0; i < m.n; i++)
        m.part[i].path = words[i + 1];
    mbl_text_init(&m.columns, m.alloc);
    mbl_status status = run(&m, &err);
    if (status != MBL_OK)
        fprintf(o->notes, "emberlap: %s\n", err.text);
    else if (!o->quiet)
        fprintf(o->notes, "emberlap: %zu rows of %zu parts are in %s\n", m.part[0].head.rows, m.n,
                m.out);
    mbl_text_free(&m.columns);
    mbl_free(m.alloc, m.part, m.n, sizeof *m.part);
    if (status == MBL_OK)
        return MBL_EXIT_HOLDS;
    return status == MBL_INPUT || status == MBL_FILE ? MBL_EXIT_WRONG : MBL_EXIT_FAILED;
}
