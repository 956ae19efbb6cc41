/* SPDX-License-Identifier: MIT */
#include "host/journal_head.h"

#include "base/digest.h"

#include <string.h>

static void add_text(mbl_digest *d, const char *text)
{
    mbl_digest_add(d, text, strlen(text));
}

/* Is the argument's name given again? The last one counts. */
static bool again(const mbl_host_options *o, size_t i)
{
    size_t n = strcspn(o->args[i], "=") + 1;
    for (size_t k = i + 1; k < o->nargs; k++)
        if (strncmp(o->args[i], o->args[k], n) == 0)
            return true;
    return false;
}

/* In whatever order they are given: sums do not know. */
static void add_args(mbl_digest *d, const mbl_host_options *o)
{
    mbl_digest sum = {0};
    for (size_t i = 0; i < o->nargs; i++) {
        mbl_digest one;
        if (again(o, i))
            continue;
        mbl_digest_start(&one);
        add_text(&one, o->args[i]);
        sum.a += one.a;
        sum.b += one.b;
    }
    mbl_digest_count(d, sum.a);
    mbl_digest_count(d, sum.b);
}

static void add_grid(mbl_digest *d, const mbl_grid *grid)
{
    mbl_digest_count(d, grid->rows);
    mbl_digest_count(d, (uint64_t)grid->shape);
    mbl_digest_count(d, grid->naxes);
    for (size_t i = 0; i < grid->naxes; i++) {
        add_text(d, grid->axis[i].name);
        mbl_digest_count(d, grid->axis[i].n);
        for (size_t k = 0; k < grid->axis[i].n; k++)
            add_text(d, grid->axis[i].label[k]);
    }
    mbl_digest_count(d, grid->ngauges);
    for (size_t i = 0; i < grid->ngauges; i++)
        add_text(d, mbl_gauge_at(grid->gauge[i]).name);
}

void mbl_journal_head_of(const mbl_host *host, const mbl_grid *grid, mbl_journal_head *head)
{
    const mbl_host_options *o = host->options;
    mbl_digest d = host->inputs;
    *head = (mbl_journal_head){.rows = grid->rows,
                               .first = grid->first,
                               .end = grid->end,
                               .part = o->parts > 0 ? o->part : 0,
                               .parts = o->parts};
    snprintf(head->version, sizeof head->version, "%s", MBL_VERSION);
    add_text(&d, MBL_VERSION);
    add_args(&d, o);
    add_grid(&d, grid);
    mbl_digest_write(&d, head->digest);
}

void mbl_journal_head_write(const mbl_journal_head *head, mbl_text *out)
{
    mbl_text_print(out, "# emberlap %s sweep of %zu rows, ", head->version, head->rows);
    if (head->parts > 0)
        mbl_text_print(out, "part %d of %d, ", head->part, head->parts);
    if (head->first < head->end)
        mbl_text_print(out, "rows %zu to %zu, ", head->first + 1, head->end);
    else
        mbl_text_print(out, "no rows, ");
    mbl_text_print(out, "digest %s\n", head->digest);
}

/* The rows: "rows 16 to 23, " or "no rows, "; *n is how long that is, 0 when it is neither. */
static void read_rows(mbl_journal_head *head, const char *at, int *n)
{
    *n = 0;
    (void)sscanf(at, "no rows, %n", n);
    if (*n > 0)
        return;
    if (sscanf(at, "rows %12zu to %12zu, %n", &head->first, &head->end, n) == 2 && head->first > 0)
        head->first--;
    else
        *n = 0;
}

/* Loosely: what was read is written again and compared. */
static bool scan(mbl_journal_head *head, const char *at)
{
    int n = 0;
    if (sscanf(at, "# emberlap %23s sweep of %12zu rows, %n", head->version, &head->rows, &n) !=
            2 ||
        n == 0)
        return false;
    at += n;
    n = 0;
    if (sscanf(at, "part %8d of %8d, %n", &head->part, &head->parts, &n) == 2)
        at += n;
    read_rows(head, at, &n);
    return n > 0 && sscanf(at + n, "digest %32[0-9a-f]", head->digest) == 1;
}

bool mbl_journal_head_read(mbl_journal_head *head, const char *line, size_t n)
{
    char text[256];
    mbl_text copy;
    *head = (mbl_journal_head){0};
    if (n >= sizeof text)
        return false;
    memcpy(text, line, n);
    text[n] = '\0';
    if (!scan(head, text))
        return false;
    bool sense = strlen(head->digest) == 32 && head->first <= head->end &&
                 head->end <= head->rows &&
                 (head->parts == 0 ||
                  (head->part >= 1 && head->part <= head->parts && head->parts <= MBL_HOST_PARTS));
    mbl_text_init(&copy, &mbl_alloc_libc);
    mbl_journal_head_write(head, &copy);
    bool same = !copy.failed && copy.length == n + 1 && memcmp(copy.data, line, n) == 0;
    mbl_text_free(&copy);
    return sense && same;
}

const char *mbl_journal_head_differs(const mbl_journal_head *there, const mbl_journal_head *here)
{
    if (strcmp(there->version, here->version) != 0)
        return "version of emberlap";
    if (there->rows != here->rows)
        return "number of rows";
    return strcmp(there->digest, here->digest) != 0 ? "script, module, log or argument" : NULL;
}
