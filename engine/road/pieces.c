/* SPDX-License-Identifier: MIT */
/*
 * Where to cut: of all ways to cut the points into pieces, the one of least
 *
 *     sum of squared residuals / sigma^2  +  sum of what the pieces cost,
 *
 * found by dynamic programming (optimal partitioning, Jackson et al. 2005, with the pruning of
 * Killick, Fearnhead and Eckley 2012). What a piece costs is the Bayesian criterion:
 * the logarithm of the number of points that may be in it, for each coefficient and for its end.
 * A corner of the curve is cut as soon as rounding it off would cost more than a further piece,
 * so the same rule follows a quiet log closely and bridges a noisy one.
 *
 * How they meet: speed does not jump. Each cut is moved to where the two curves beside it cross,
 * when that is within an interval of the cut, and then all pieces are fitted again together as
 * one continuous curve: straight lines between knot values plus a parabola on each piece. The
 * parabolas drop out piece by piece, and what is left is a tridiagonal system.
 */
#include "road/pieces.h"

#include <math.h>

/*
 * Most points in a piece. Longer pieces would gain nothing: even at its ends the slope of a
 * parabola through 64 points is known to a fiftieth of that between two.
 */
#define LONGEST 64

/* ln(LONGEST). */
#define LOG_LONGEST 4.1588830833596719

/* Weight of the first fit in the joint one, in points: only there to keep it solvable. */
#define HOLD 0.01

static const double straight_cost = 3 * LOG_LONGEST;
static const double parabola_cost = 4 * LOG_LONGEST;

/* Sums over the points of a piece, about its first. */
typedef struct moments {
    double n, x1, x2, x3, x4, y, xy, x2y, yy;
} moments;

static void add_point(moments *m, double x, double y)
{
    double x2 = x * x;
    m->n += 1;
    m->x1 += x;
    m->x2 += x2;
    m->x3 += x2 * x;
    m->x4 += x2 * x2;
    m->y += y;
    m->xy += x * y;
    m->x2y += x2 * y;
    m->yy += y * y;
}

/*
 * Squared residuals of the best line and the best parabola (LDL of the normal equations). This
 * runs some fifty times for each sample: hence few divisions, and 1/n handed in.
 */
static inline void residuals(const moments *m, double inverse, double *line, double *parabola)
{
    double l2 = m->x1 * inverse;
    double l3 = m->x2 * inverse;
    double d2 = m->x2 - l2 * m->x1;
    double u = m->x3 - l2 * m->x2;
    double z2 = m->xy - l2 * m->y;
    double per_d2 = 1 / d2;
    double ratio = u * per_d2;
    double left = m->yy - m->y * m->y * inverse - z2 * z2 * per_d2;
    double d3 = m->x4 - l3 * m->x2 - u * ratio;
    double z3 = m->x2y - l3 * m->y - ratio * z2;
    double less = left - z3 * z3 / d3;
    /* as many coefficients as points leave nothing, whatever rounding says */
    *line = m->n > 2 && left > 0 ? left : 0;
    *parabola = m->n > 3 && less > 0 ? less : 0;
}

static void solve_piece(const moments *m, mbl_piece *piece)
{
    double l2 = m->x1 / m->n;
    double l3 = m->x2 / m->n;
    double d2 = m->x2 - l2 * m->x1;
    double u = m->x3 - l2 * m->x2;
    double z2 = m->xy - l2 * m->y;
    piece->c[2] = 0;
    if (piece->degree == 2) {
        double d3 = m->x4 - l3 * m->x2 - u * u / d2;
        piece->c[2] = (m->x2y - l3 * m->y - u / d2 * z2) / d3;
    }
    piece->c[1] = m->n > 1 ? (z2 - u * piece->c[2]) / d2 : 0;
    piece->c[0] = m->y / m->n - l2 * piece->c[1] - l3 * piece->c[2];
}

/* best[j]: least cost of the first j points; from[j]: where its last piece begins. */
static void partition(const double *t, const double *y, size_t n, double sigma, double *best,
                      size_t *from, unsigned char *degree)
{
    double per = 1 / (sigma * sigma);
    double inverse[LONGEST + 1];
    for (int k = 1; k <= LONGEST; k++)
        inverse[k] = 1.0 / k;
    best[0] = 0;
    for (size_t j = 1; j <= n; j++)
        best[j] = INFINITY;
    for (size_t i = 0; i < n; i++) {
        moments m = {0};
        size_t last = n - i > LONGEST ? i + LONGEST : n;
        for (size_t j = i; j < last; j++) {
            add_point(&m, t[j] - t[i], y[j] - y[i]);
            if (m.n < 2 && !(i == 0 || j + 1 == n))
                continue;
            double line = 0;
            double parabola = 0;
            if (m.n >= 2)
                residuals(&m, inverse[j + 1 - i], &line, &parabola);
            double a = best[i] + line * per + straight_cost;
            double b = best[i] + parabola * per + parabola_cost;
            double cost = a <= b ? a : b;
            if (cost < best[j + 1]) {
                best[j + 1] = cost;
                from[j + 1] = i;
                degree[j + 1] = a <= b ? 1 : 2;
            }
            /* whatever ends later can then be had for less with a cut at j + 1 */
            if (best[i] + parabola * per > best[j + 1])
                break;
        }
    }
}

static void read_back(const double *t, const double *y, size_t n, const size_t *from,
                      const unsigned char *degree, mbl_pieces *out)
{
    size_t k = out->n;
    for (size_t end = n; end > 0; end = from[end]) {
        mbl_piece *piece = &out->piece[--k];
        piece->first = from[end];
        piece->count = end - from[end];
        piece->degree = degree[end];
        piece->origin = t[piece->first];
        moments m = {0};
        for (size_t j = piece->first; j < end; j++)
            add_point(&m, t[j] - piece->origin, y[j]);
        solve_piece(&m, piece);
    }
}

static double value_of(const mbl_piece *piece, double t)
{
    double x = t - piece->origin;
    return piece->c[0] + x * (piece->c[1] + x * piece->c[2]);
}

/* Where the curves left and right of a cut cross, near enough to it; else the middle of the cut. */
static double meeting(const mbl_piece *left, const mbl_piece *right, double lo, double hi,
                      double reach)
{
    double middle = 0.5 * (lo + hi);
    double xl = middle - left->origin;
    double xr = middle - right->origin;
    double a = left->c[2] - right->c[2];
    double b = left->c[1] + 2 * xl * left->c[2] - right->c[1] - 2 * xr * right->c[2];
    double c = value_of(left, middle) - value_of(right, middle);
    /* a x^2 + b x + c = 0: the root of least size, in the form that does not cancel */
    double discriminant = b * b - 4 * a * c;
    if (discriminant < 0 || b == 0)
        return middle;
    double x = -2 * c / (b + copysign(sqrt(discriminant), b));
    return fabs(x) <= reach ? middle + x : middle;
}

static void place_knots(const double *t, size_t n, mbl_pieces *out)
{
    out->knot[0] = t[0];
    for (size_t k = 1; k < out->n; k++) {
        size_t cut = out->piece[k].first;
        double lo = t[cut - 1];
        double hi = t[cut];
        /* at most one point of either piece changes sides, and never its middle */
        double room_left = 0.5 * (lo - t[out->piece[k - 1].first]);
        double room_right = 0.5 * (t[cut + out->piece[k].count - 1] - hi);
        double reach = fmin(hi - lo, 0.5 * (hi - lo) + fmin(room_left, room_right));
        out->knot[k] = meeting(&out->piece[k - 1], &out->piece[k], lo, hi, reach);
    }
    out->knot[out->n] = t[n - 1];
}

/* Normal equations of one piece with its parabola eliminated: 2 x 2 and right side. */
typedef struct element {
    double aa, ab, bb, ya, yb; /* of the two knot values, parabola out */
    double pa, pb, pp, py;     /* what gives the parabola back */
} element;

static element assemble(const double *t, const double *y, size_t first, size_t end, double t0,
                        double t1, int degree)
{
    element e = {0};
    double inverse = 1 / (t1 - t0);
    for (size_t j = first; j < end; j++) {
        double u = (t[j] - t0) * inverse;
        double a = 1 - u;
        double p = 4 * u * a;
        e.aa += a * a;
        e.ab += a * u;
        e.bb += u * u;
        e.ya += a * y[j];
        e.yb += u * y[j];
        e.pa += p * a;
        e.pb += p * u;
        e.pp += p * p;
        e.py += p * y[j];
    }
    if (degree < 2 || end - first < 4 || e.pp <= 0) {
        e.pp = 0;
        return e;
    }
    e.aa -= e.pa * e.pa / e.pp;
    e.ab -= e.pa * e.pb / e.pp;
    e.bb -= e.pb * e.pb / e.pp;
    e.ya -= e.pa * e.py / e.pp;
    e.yb -= e.pb * e.py / e.pp;
    return e;
}

static void fit_together(const double *t, const double *y, size_t n, mbl_pieces *out, element *e,
                         double *diagonal)
{
    size_t m = out->n;
    size_t j = 0;
    for (size_t k = 0; k <= m; k++) {
        double guess = k == 0   ? value_of(&out->piece[0], out->knot[0])
                       : k == m ? value_of(&out->piece[m - 1], out->knot[m])
                                : 0.5 * (value_of(&out->piece[k - 1], out->knot[k]) +
                                         value_of(&out->piece[k], out->knot[k]));
        diagonal[k] = HOLD;
        out->value[k] = HOLD * guess;
    }
    for (size_t k = 0; k < m; k++) {
        size_t first = j;
        while (j < n && (t[j] < out->knot[k + 1] || k + 1 == m))
            j++;
        e[k] = assemble(t, y, first, j, out->knot[k], out->knot[k + 1], out->piece[k].degree);
        diagonal[k] += e[k].aa;
        diagonal[k + 1] += e[k].bb;
        out->value[k] += e[k].ya;
        out->value[k + 1] += e[k].yb;
    }
    for (size_t k = 1; k <= m; k++) {
        double factor = e[k - 1].ab / diagonal[k - 1];
        diagonal[k] -= factor * e[k - 1].ab;
        out->value[k] -= factor * out->value[k - 1];
    }
    out->value[m] /= diagonal[m];
    for (size_t k = m; k-- > 0;)
        out->value[k] = (out->value[k] - e[k].ab * out->value[k + 1]) / diagonal[k];
    for (size_t k = 0; k < m; k++)
        out->bulge[k] =
            e[k].pp > 0
                ? (e[k].py - e[k].pa * out->value[k] - e[k].pb * out->value[k + 1]) / e[k].pp
                : 0;
}

double mbl_pieces_at(const mbl_pieces *pieces, size_t i, double t)
{
    double u = (t - pieces->knot[i]) / (pieces->knot[i + 1] - pieces->knot[i]);
    return pieces->value[i] + u * (pieces->value[i + 1] - pieces->value[i]) +
           4 * u * (1 - u) * pieces->bulge[i];
}

mbl_status mbl_pieces_make(mbl_arena *arena, const double *t, const double *y, size_t n,
                           double sigma, mbl_pieces *out, mbl_error *err)
{
    double *best = mbl_arena_new(arena, n + 1, sizeof *best);
    size_t *from = mbl_arena_new(arena, n + 1, sizeof *from);
    unsigned char *degree = mbl_arena_new(arena, n + 1, 1);
    if (best == NULL || from == NULL || degree == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory to smooth %zu samples", n);
    partition(t, y, n, sigma, best, from, degree);
    mbl_pieces made = {0};
    for (size_t end = n; end > 0; end = from[end])
        made.n++;
    made.piece = mbl_arena_new(arena, made.n, sizeof *made.piece);
    made.knot = mbl_arena_new(arena, made.n + 1, sizeof *made.knot);
    made.value = mbl_arena_new(arena, made.n + 1, sizeof *made.value);
    made.bulge = mbl_arena_new(arena, made.n, sizeof *made.bulge);
    element *e = mbl_arena_new(arena, made.n, sizeof *e);
    double *diagonal = mbl_arena_new(arena, made.n + 1, sizeof *diagonal);
    if (made.piece == NULL || made.knot == NULL || made.value == NULL || made.bulge == NULL ||
        e == NULL || diagonal == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory to smooth %zu samples", n);
    read_back(t, y, n, from, degree, &made);
    place_knots(t, n, &made);
    fit_together(t, y, n, &made, e, diagonal);
    *out = made;
    return MBL_OK;
}
