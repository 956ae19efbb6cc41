/* SPDX-License-Identifier: MIT */
#include "num/num.h"
#include "support/random.h"
#include "support/test.h"
#include "support/test_alloc.h"

enum { N_MAX = 30, EDGES_MAX = 200, SLOTS_MAX = N_MAX * N_MAX };

typedef struct problem {
    int n, nedges;
    int from[EDGES_MAX], to[EDGES_MAX];
    double weight[EDGES_MAX]; /* conductance of an edge */
    double own[N_MAX];        /* what the diagonal has beyond its couplings: above 0 */
    double b[N_MAX];
} problem;

static mbl_elim *compile(const problem *p)
{
    mbl_error err = {0};
    mbl_elim *elim = NULL;
    assert_ok(mbl_elim_make(&mbl_alloc_libc, p->n, p->from, p->to, p->nedges, &elim, &err), err);
    return elim;
}

static void add_edge(problem *p, random_source *r, int from, int to)
{
    p->from[p->nedges] = from;
    p->to[p->nedges] = to;
    p->weight[p->nedges] = random_between(r, 0.01, 10);
    p->nedges++;
}

static void random_rest(problem *p, random_source *r)
{
    for (int i = 0; i < p->n; i++) {
        p->own[i] = random_between(r, 0.01, 5);
        p->b[i] = random_between(r, -1, 1);
    }
}

/* Any graph, repeated edges included. */
static problem random_graph(random_source *r)
{
    problem p = {.n = 1 + random_below(r, N_MAX)};
    int edges = p.n == 1 ? 0 : random_below(r, 4 * p.n);
    for (int k = 0; k < edges; k++) {
        int from = random_below(r, p.n);
        int to = (from + 1 + random_below(r, p.n - 1)) % p.n;
        add_edge(&p, r, from, to);
    }
    random_rest(&p, r);
    return p;
}

/* Every node but the first hangs on an earlier one. */
static problem random_tree(random_source *r)
{
    problem p = {.n = 1 + random_below(r, N_MAX)};
    for (int i = 1; i < p.n; i++)
        add_edge(&p, r, i, random_below(r, i));
    random_rest(&p, r);
    return p;
}

/* What the header says the lists mean, done in the plainest way. */
static void solve_by_lists(const problem *p, const mbl_elim *e, double *x)
{
    double value[SLOTS_MAX] = {0};
    double factor[SLOTS_MAX] = {0};
    assert_true(e->nslots <= SLOTS_MAX && e->nentries <= SLOTS_MAX);
    for (int i = 0; i < p->n; i++) {
        value[i] = p->own[i];
        x[i] = p->b[i];
    }
    for (int k = 0; k < p->nedges; k++) {
        value[p->from[k]] += p->weight[k];
        value[p->to[k]] += p->weight[k];
        value[e->edge_slot[k]] -= p->weight[k];
    }
    for (int i = 0; i < e->n; i++) {
        const mbl_elim_pivot *v = &e->pivot[i];
        for (int k = v->first; k < v->first + v->count; k++)
            factor[k] = value[e->entry[k].slot] / value[v->node];
        for (int k = v->first_update; k < v->first_update + v->updates; k++)
            value[e->update[k].target] -= factor[e->update[k].entry] * value[e->update[k].slot];
        for (int k = v->first; k < v->first + v->count; k++)
            x[e->entry[k].node] -= factor[k] * x[v->node];
    }
    for (int i = e->n - 1; i >= 0; i--) {
        const mbl_elim_pivot *v = &e->pivot[i];
        x[v->node] /= value[v->node];
        for (int k = v->first; k < v->first + v->count; k++)
            x[v->node] -= factor[k] * x[e->entry[k].node];
    }
}

/* Gaussian elimination of the full matrix, rows exchanged for the largest pivot. */
static void solve_dense(const problem *p, double *x)
{
    double a[N_MAX][N_MAX + 1] = {{0}};
    int n = p->n;
    for (int i = 0; i < n; i++) {
        a[i][i] = p->own[i];
        a[i][n] = p->b[i];
    }
    for (int k = 0; k < p->nedges; k++) {
        a[p->from[k]][p->from[k]] += p->weight[k];
        a[p->to[k]][p->to[k]] += p->weight[k];
        a[p->from[k]][p->to[k]] -= p->weight[k];
        a[p->to[k]][p->from[k]] -= p->weight[k];
    }
    for (int c = 0; c < n; c++) {
        int best = c;
        for (int i = c + 1; i < n; i++)
            best = fabs(a[i][c]) > fabs(a[best][c]) ? i : best;
        for (int j = 0; j <= n; j++) {
            double kept = a[c][j];
            a[c][j] = a[best][j];
            a[best][j] = kept;
        }
        for (int i = c + 1; i < n; i++) {
            double f = a[i][c] / a[c][c];
            for (int j = c; j <= n; j++)
                a[i][j] -= f * a[c][j];
        }
    }
    for (int i = n - 1; i >= 0; i--) {
        x[i] = a[i][n];
        for (int j = i + 1; j < n; j++)
            x[i] -= a[i][j] * x[j];
        x[i] /= a[i][i];
    }
}

static void compare(const problem *p, const mbl_elim *e)
{
    double got[N_MAX];
    double want[N_MAX];
    solve_by_lists(p, e, got);
    solve_dense(p, want);
    /* conductances span 1e3 and couplings 1e2: 1e-10 is rounding, a missed update is not */
    for (int i = 0; i < p->n; i++)
        assert_near(got[i], want[i], 1e-10);
}

static void random_graphs_solve_as_dense_elimination_does(void **state)
{
    (void)state;
    random_source r = {1};
    for (int k = 0; k < 300; k++) {
        problem p = random_graph(&r);
        mbl_elim *e = compile(&p);
        compare(&p, e);
        mbl_elim_free(e);
    }
}

static void trees_solve_without_any_fill(void **state)
{
    (void)state;
    random_source r = {2};
    for (int k = 0; k < 300; k++) {
        problem p = random_tree(&r);
        mbl_elim *e = compile(&p);
        assert_int_equal(e->nslots, p.n + p.nedges);
        assert_int_equal(e->nentries, p.nedges);
        /* a leaf has one neighbour, whose diagonal is all it changes */
        assert_int_equal(e->nupdates, p.nedges);
        compare(&p, e);
        mbl_elim_free(e);
    }
}

static void a_ring_of_n_nodes_fills_n_minus_3_slots(void **state)
{
    (void)state;
    random_source r = {3};
    for (int n = 3; n <= N_MAX; n++) {
        problem p = {.n = n};
        for (int i = 0; i < n; i++)
            add_edge(&p, &r, i, (i + 1) % n);
        random_rest(&p, &r);
        mbl_elim *e = compile(&p);
        assert_int_equal(e->nslots, 2 * n + n - 3);
        compare(&p, e);
        mbl_elim_free(e);
    }
}

static void every_node_is_a_pivot_once(void **state)
{
    (void)state;
    random_source r = {4};
    for (int k = 0; k < 50; k++) {
        problem p = random_graph(&r);
        mbl_elim *e = compile(&p);
        int seen[N_MAX] = {0};
        for (int i = 0; i < e->n; i++)
            seen[e->pivot[i].node]++;
        for (int i = 0; i < p.n; i++)
            assert_int_equal(seen[i], 1);
        mbl_elim_free(e);
    }
}

static void repeated_edges_share_a_slot(void **state)
{
    (void)state;
    const int from[] = {0, 1, 1};
    const int to[] = {1, 0, 2};
    mbl_error err = {0};
    mbl_elim *e = NULL;
    assert_ok(mbl_elim_make(&mbl_alloc_libc, 3, from, to, 3, &e, &err), err);
    assert_int_equal(e->edge_slot[0], e->edge_slot[1]);
    assert_int_not_equal(e->edge_slot[0], e->edge_slot[2]);
    assert_int_equal(e->nslots, 5);
    mbl_elim_free(e);
}

static void impossible_patterns_are_refused(void **state)
{
    (void)state;
    static const struct {
        int n, from, to;
        mbl_status status;
    } bad[] = {{3, 1, 1, MBL_INTERNAL},
               {3, 0, 3, MBL_INTERNAL},
               {3, -1, 2, MBL_INTERNAL},
               {0, 0, 0, MBL_INPUT},
               {1001, 0, 1, MBL_INPUT}};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        mbl_error err = {0};
        mbl_elim *e = NULL;
        assert_int_equal(
            mbl_elim_make(&mbl_alloc_libc, bad[i].n, &bad[i].from, &bad[i].to, 1, &e, &err),
            bad[i].status);
        assert_null(e);
        assert_int_equal(err.status, bad[i].status);
    }
}

static void every_failed_allocation_is_reported_and_leaves_nothing(void **state)
{
    (void)state;
    random_source r = {5};
    problem p = random_graph(&r);
    size_t fail_at = 1;
    for (;; fail_at++) {
        test_alloc t;
        test_alloc_init(&t);
        t.fail_at = fail_at;
        mbl_error err = {0};
        mbl_elim *e = NULL;
        mbl_status status = mbl_elim_make(&t.alloc, p.n, p.from, p.to, p.nedges, &e, &err);
        if (status == MBL_OK)
            mbl_elim_free(e);
        else
            assert_int_equal(status, MBL_MEMORY);
        assert_int_equal(t.live_bytes, 0);
        assert_int_equal(t.wrong_size, 0);
        if (status == MBL_OK)
            break;
        assert_null(e);
    }
    assert_true(fail_at > 3); /* the pattern, the marks, the result */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(random_graphs_solve_as_dense_elimination_does),
        cmocka_unit_test(trees_solve_without_any_fill),
        cmocka_unit_test(a_ring_of_n_nodes_fills_n_minus_3_slots),
        cmocka_unit_test(every_node_is_a_pivot_once),
        cmocka_unit_test(repeated_edges_share_a_slot),
        cmocka_unit_test(impossible_patterns_are_refused),
        cmocka_unit_test(every_failed_allocation_is_reported_and_leaves_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
