/* SPDX-License-Identifier: MIT */
/*
 * Rows that no other row beats. Sorted by the first column, then the second and so on, a row can
 * only be beaten by one before it. Up to three columns it is asked of a tree over the ranks in the
 * second column what the least was so far in the third: n log n for n rows. Beyond three, each row
 * is held against those that were kept before it, as what beats a row is beaten by none itself or
 * by one that was kept: n times the rows kept.
 */
#include "study/grid.h"

#include <math.h>
#include <stdlib.h>

/* A row with its columns, less being better. */
typedef struct entry {
    const double *key;
    size_t n;
    size_t at;
} entry;

static int by_keys(const void *x, const void *y)
{
    const entry *a = x;
    const entry *b = y;
    for (size_t i = 0; i < a->n; i++)
        if (a->key[i] != b->key[i])
            return a->key[i] < b->key[i] ? -1 : 1;
    return (a->at > b->at) - (a->at < b->at);
}

static int by_second(const void *x, const void *y)
{
    const double *a = x;
    const double *b = y;
    return (*a > *b) - (*a < *b);
}

static bool equal(const entry *a, const entry *b)
{
    for (size_t i = 0; i < a->n; i++)
        if (a->key[i] != b->key[i])
            return false;
    return true;
}

static double key_of(const entry *e, size_t column)
{
    return column < e->n ? e->key[column] : 0;
}

/* Rank of a number in a sorted list that has it, from 1; the first of equals. */
static size_t rank_of(const double *sorted, size_t n, double number)
{
    size_t low = 0;
    size_t high = n;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (sorted[middle] < number)
            low = middle + 1;
        else
            high = middle;
    }
    return low + 1;
}

/*
 * Up to three columns. tree[i] is the least of the third column over the i & -i ranks that end at
 * i (a binary indexed tree); NAN, which is at most nothing, while there is none.
 */
static void keep_by_tree(const entry *sorted, size_t n, double *second, double *tree, bool *keep)
{
    for (size_t i = 0; i < n; i++) {
        second[i] = key_of(&sorted[i], 1);
        tree[i + 1] = NAN;
    }
    qsort(second, n, sizeof *second, by_second);
    for (size_t i = 0; i < n;) {
        size_t end = i + 1;
        while (end < n && equal(&sorted[i], &sorted[end]))
            end++;
        size_t rank = rank_of(second, n, key_of(&sorted[i], 1));
        double third = key_of(&sorted[i], 2);
        bool beaten = false;
        for (size_t k = rank; k > 0 && !beaten; k -= k & (0 - k))
            beaten = tree[k] <= third;
        for (size_t k = rank; k <= n; k += k & (0 - k))
            tree[k] = fmin(tree[k], third);
        for (; i < end; i++)
            keep[sorted[i].at] = !beaten;
    }
}

/* As good in every column? Of two that are not equal it then is better in one. */
static bool as_good(const entry *a, const entry *b)
{
    for (size_t i = 0; i < a->n; i++)
        if (a->key[i] > b->key[i])
            return false;
    return true;
}

/* More columns; what is kept is gathered at the front of `sorted`. */
static void keep_by_list(entry *sorted, size_t n, bool *keep)
{
    size_t kept = 0;
    for (size_t i = 0; i < n; i++) {
        bool beaten = false;
        for (size_t k = 0; k < kept && !beaten; k++)
            beaten = as_good(&sorted[k], &sorted[i]) && !equal(&sorted[k], &sorted[i]);
        keep[sorted[i].at] = !beaten;
        if (!beaten)
            sorted[kept++] = sorted[i];
    }
}

/* The rows in question, unsorted; returns how many. */
static size_t gather(const mbl_grid *grid, size_t n, const size_t columns[], const bool less[],
                     entry *list, double *keys)
{
    size_t found = 0;
    for (size_t row = grid->first; row < grid->end; row++) {
        const mbl_grid_row *r = &grid->row[row - grid->first];
        double *key = keys + found * n;
        bool known = r->state == MBL_ROW_DONE && r->verdict != MBL_FAILS;
        for (size_t i = 0; known && i < n; i++) {
            double value = mbl_grid_value(grid, row, columns[i]);
            key[i] = less[i] ? value : -value;
            known = !isnan(value);
        }
        if (known)
            list[found++] = (entry){key, n, row - grid->first};
    }
    return found;
}

mbl_status mbl_grid_tradeoff(const mbl_grid *grid, size_t n, const size_t columns[],
                             const bool less[], bool *keep, mbl_error *err)
{
    const mbl_alloc *alloc = grid->alloc;
    size_t rows = grid->end - grid->first;
    /* an array of nothing is no array */
    size_t nkeys = n > 0 ? n * sizeof(double) : 1;
    entry *list = mbl_new(alloc, rows + 1, sizeof *list);
    double *keys = mbl_new(alloc, rows + 1, nkeys);
    double *second = mbl_new(alloc, rows + 1, sizeof *second);
    double *tree = mbl_new(alloc, rows + 1, sizeof *tree);
    mbl_status status = MBL_OK;
    if (list == NULL || keys == NULL || second == NULL || tree == NULL) {
        status = mbl_fail(err, MBL_MEMORY, "out of memory to compare %zu rows", rows);
    } else {
        for (size_t i = 0; i < rows; i++)
            keep[i] = false;
        size_t found = gather(grid, n, columns, less, list, keys);
        qsort(list, found, sizeof *list, by_keys);
        if (n <= 3)
            keep_by_tree(list, found, second, tree, keep);
        else
            keep_by_list(list, found, keep);
    }
    mbl_free(alloc, list, rows + 1, sizeof *list);
    mbl_free(alloc, keys, rows + 1, nkeys);
    mbl_free(alloc, second, rows + 1, sizeof *second);
    mbl_free(alloc, tree, rows + 1, sizeof *tree);
    return status;
}
