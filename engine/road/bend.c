/* SPDX-License-Identifier: MIT */
/*
 * State at each fix: place east and north, heading, curvature. Between fixes the car goes on along
 * its curvature; the curvature takes a random step of variance `rate` times distance, and distance
 * itself is uncertain. The filter is Kalman's in the extended form, linearised about the path of
 * the pass before; the way back is the disturbance smoother (de Jong, Biometrika 75, 1988, 594),
 * which needs no inverse. All variances are multiples of that of the fixes, whose likeliest value
 * then follows from the innovations alone.
 */
#include "road/bend.h"

#include "road/bend_draw.h"
#include "road/noise.h"

#include <math.h>
#include <string.h>

enum {
    D = MBL_BEND_STATE,
    X = MBL_BEND_EAST,
    Y = MBL_BEND_NORTH,
    HEADING = MBL_BEND_HEADING,
    BEND = MBL_BEND_CURVED
};

/* m2 per m by which what the speed adds up to may part from the path: 2 % over some 30 m. */
#define DRIFT 0.01

/* Variances of the state before the first fix, as multiples of that of the fixes. */
static const double unknown[D] = {1e4, 1e4, 10, 1};

/* Logarithms (to 10) of the rate that are tried, and passes that narrow the best one down. */
enum { LEAST_RATE = -8, MOST_RATE = 8, NARROWING = 5 };

/* Passes in which the rate of each place is learnt. */
enum { LEARNING = 30 };

/* Share of the mean rate below which none falls: no line that is driven is an arc to the metre. */
#define LEAST_SHARE 1e-3

/* Times the path is drawn anew with a rate that is the same everywhere. */
enum { DRAWING = 4 };

/* rad/s or m/s2: the noise of a sensor that shows none. */
#define LEAST_NOISE 1e-4

typedef struct node {
    double ds, rate;
    double a[D], P[D][D]; /* before its fix is used */
    double gain[2][D], innovation[2], spread[2];
    double c, s; /* of the heading half way to it */
} node;

typedef struct pass {
    const mbl_bend_fix *fix;
    node *at;
    double (*path)[D]; /* linearised about */
    size_t n;
    double known; /* variance that those of the fixes are multiples of; 0: not known */
    double count, squares, logs; /* of the innovations */
} pass;

/* State after ds from x, into out. */
static void go(const double x[D], double ds, double out[D])
{
    double middle = x[HEADING] + 0.5 * ds * x[BEND];
    out[X] = x[X] + ds * cos(middle);
    out[Y] = x[Y] + ds * sin(middle);
    out[HEADING] = x[HEADING] + ds * x[BEND];
    out[BEND] = x[BEND];
}

/* The derivative of go() at the path before `to`. */
static void slope(const node *to, double F[D][D])
{
    double ds = to->ds;
    memset(F, 0, D * D * sizeof(double));
    for (int i = 0; i < D; i++)
        F[i][i] = 1;
    F[X][HEADING] = -ds * to->s;
    F[X][BEND] = -0.5 * ds * ds * to->s;
    F[Y][HEADING] = ds * to->c;
    F[Y][BEND] = 0.5 * ds * ds * to->c;
    F[HEADING][BEND] = ds;
}

/* Out becomes F A F', or F' A F for the way back. */
static void both_sides(double F[D][D], double A[D][D], bool back, double out[D][D])
{
    double half[D][D] = {{0}};
    for (int i = 0; i < D; i++)
        for (int j = 0; j < D; j++)
            for (int k = 0; k < D; k++)
                half[i][j] += (back ? F[k][i] : F[i][k]) * A[k][j];
    for (int i = 0; i < D; i++)
        for (int j = 0; j < D; j++) {
            out[i][j] = 0;
            for (int k = 0; k < D; k++)
                out[i][j] += half[i][k] * (back ? F[k][j] : F[j][k]);
        }
}

/* The state before the fix of node k from that after the fix of node k - 1. */
static void predict(pass *p, size_t k, const double a[D], double P[D][D])
{
    const double *from = p->path[k - 1];
    node *to = &p->at[k];
    double F[D][D];
    double there[D];
    double middle = from[HEADING] + 0.5 * to->ds * from[BEND];
    to->c = cos(middle);
    to->s = sin(middle);
    slope(to, F);
    go(from, to->ds, there);
    for (int i = 0; i < D; i++) {
        to->a[i] = there[i];
        for (int j = 0; j < D; j++)
            to->a[i] += F[i][j] * (a[j] - from[j]);
    }
    both_sides(F, P, false, to->P);
    double drift = DRIFT * to->ds;
    to->P[X][X] += drift * to->c * to->c;
    to->P[X][Y] += drift * to->c * to->s;
    to->P[Y][X] += drift * to->c * to->s;
    to->P[Y][Y] += drift * to->s * to->s;
    to->P[BEND][BEND] += to->rate * to->ds;
}

/* Which of the state the k-th number of a fix is. */
static int seen(const mbl_bend_fix *fix, int k)
{
    return fix->kind == MBL_BEND_CURVATURE ? BEND : k;
}

static int numbers(const mbl_bend_fix *fix)
{
    return fix->kind == MBL_BEND_PLACE ? 2 : fix->kind == MBL_BEND_CURVATURE ? 1 : 0;
}

/* Takes the fix of a node into a and P, one number after the other. */
static void update(pass *p, size_t k, double a[D], double P[D][D])
{
    node *at = &p->at[k];
    const mbl_bend_fix *fix = &p->fix[k];
    memcpy(a, at->a, sizeof at->a);
    memcpy(P, at->P, sizeof at->P);
    for (int m = 0; m < numbers(fix); m++) {
        int i = seen(fix, m);
        double column[D];
        at->innovation[m] = (m == 0 ? fix->a : fix->b) - a[i];
        at->spread[m] = P[i][i] + fix->variance;
        for (int j = 0; j < D; j++) {
            column[j] = P[j][i];
            at->gain[m][j] = column[j] / at->spread[m];
        }
        for (int j = 0; j < D; j++) {
            a[j] += at->gain[m][j] * at->innovation[m];
            for (int l = 0; l < D; l++)
                P[j][l] -= at->gain[m][j] * column[l];
        }
        p->count++;
        p->squares += at->innovation[m] * at->innovation[m] / at->spread[m];
        p->logs += log(at->spread[m]);
    }
}

static void forward(pass *p)
{
    double a[D];
    double P[D][D];
    p->count = p->squares = p->logs = 0;
    memcpy(p->at[0].a, p->path[0], sizeof a);
    memset(p->at[0].P, 0, sizeof P);
    for (int i = 0; i < D; i++)
        p->at[0].P[i][i] = unknown[i];
    for (size_t k = 0; k < p->n; k++) {
        if (k > 0)
            predict(p, k, a, P);
        update(p, k, a, P);
    }
}

/* Of the fixes: as known, else the likeliest one. */
static double variance(const pass *p)
{
    return p->known > 0 ? p->known : fmax(p->squares / p->count, 1e-300);
}

/* -2 log likelihood of the fixes, but for a constant. */
static double unlikely(const pass *p)
{
    return p->count * log(variance(p)) + p->logs + p->squares / variance(p);
}

/* Carries r and N back over the fix of a node. */
static void back_over(const node *at, const mbl_bend_fix *fix, double r[D], double N[D][D])
{
    for (int m = numbers(fix) - 1; m >= 0; m--) {
        int i = seen(fix, m);
        const double *K = at->gain[m];
        double along = 0;
        double row[D] = {0}; /* K' N */
        double both = 0;     /* K' N K */
        for (int j = 0; j < D; j++) {
            along += K[j] * r[j];
            for (int l = 0; l < D; l++)
                row[l] += K[j] * N[j][l];
        }
        for (int l = 0; l < D; l++)
            both += row[l] * K[l];
        /* L' N L with L = I - K h', h the unit vector of i */
        for (int j = 0; j < D; j++) {
            N[i][j] -= row[j];
            N[j][i] -= row[j];
        }
        N[i][i] += both + 1 / at->spread[m];
        r[i] += at->innovation[m] / at->spread[m] - along;
    }
}

/*
 * Smooths backward; the smoothed states become the path. With a floor above 0, the rate at each
 * place moves to what the fixes and all others make it: to a fixed point at which more and less
 * make the fixes as unlikely, all standard deviations of a step being as likely beforehand (that
 * is the 1 over the variance). Most rates then fall to nothing, which is what makes arcs arcs; the
 * idea is that of the relevance vector machine (Tipping, J. Machine Learning Research 1, 2001,
 * 211; from memory).
 */
static void backward(pass *p, double sigma2, double floor)
{
    double r[D] = {0};
    double N[D][D] = {{0}};
    for (size_t k = p->n; k-- > 0;) {
        node *at = &p->at[k];
        back_over(at, &p->fix[k], r, N);
        for (int i = 0; i < D; i++) {
            p->path[k][i] = at->a[i];
            for (int j = 0; j < D; j++)
                p->path[k][i] += at->P[i][j] * r[j];
        }
        if (k == 0)
            break;
        if (floor > 0) {
            double usual = p->fix[k].usual * p->fix[k].usual;
            double told = fabs(r[BEND]) /
                          sqrt(sigma2 * fmax(N[BEND][BEND] + 1 / (at->rate * at->ds), 1e-300));
            double most = usual / (sigma2 * fmax(at->ds, 1e-9));
            at->rate = fmax(floor * usual, fmin(most, at->rate * told));
        }
        double F[D][D];
        double next[D] = {0};
        double M[D][D];
        slope(at, F);
        for (int i = 0; i < D; i++)
            for (int j = 0; j < D; j++)
                next[i] += F[j][i] * r[j];
        both_sides(F, N, true, M);
        memcpy(r, next, sizeof r);
        memcpy(N, M, sizeof N);
    }
}

static void set_rate(pass *p, double power)
{
    for (size_t k = 0; k < p->n; k++)
        p->at[k].rate = pow(10, power) * p->fix[k].usual * p->fix[k].usual;
}

/* The likeliest rate that is the same everywhere, as a power of 10. */
static double choose_rate(pass *p)
{
    double best = LEAST_RATE;
    double least = INFINITY;
    double width = 1;
    for (int power = LEAST_RATE; power <= MOST_RATE; power++) {
        set_rate(p, power);
        forward(p);
        if (unlikely(p) < least) {
            least = unlikely(p);
            best = power;
        }
    }
    for (int i = 0; i < NARROWING; i++) {
        width /= 2;
        double middle = best;
        for (int side = -1; side <= 1; side += 2) {
            set_rate(p, middle + side * width);
            forward(p);
            if (unlikely(p) < least) {
                least = unlikely(p);
                best = middle + side * width;
            }
        }
    }
    return best;
}

/*
 * Curvatures follow each other so closely where the course begins to turn that the likeliest noise
 * of them would be none; it is taken from their scatter instead, which does not ask what turns.
 */
static mbl_status find_noise(mbl_arena *arena, pass *p, mbl_error *err)
{
    double *at = mbl_arena_new(arena, p->n, sizeof *at);
    double *x = mbl_arena_new(arena, p->n, sizeof *x);
    double *work = mbl_arena_new(arena, p->n, sizeof *work);
    size_t n = 0;
    if (at == NULL || x == NULL || work == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory for the noise of %zu fixes", p->n);
    for (size_t k = 0; k < p->n; k++) {
        if (p->fix[k].kind != MBL_BEND_CURVATURE)
            continue;
        at[n] = p->fix[k].s;
        x[n++] = p->fix[k].a / sqrt(p->fix[k].variance);
    }
    double noise = n > 0 ? fmax(LEAST_NOISE, mbl_noise_level(at, x, n, work)) : 0;
    p->known = noise * noise;
    return MBL_OK;
}

mbl_status mbl_bend_fit(mbl_arena *arena, const mbl_bend_fix *fix, size_t n, double *curvature,
                        double *noise, mbl_error *err)
{
    pass p = {.fix = fix, .n = n};
    p.at = mbl_arena_new(arena, n, sizeof *p.at);
    p.path = mbl_arena_new(arena, n, sizeof *p.path);
    if (p.at == NULL || p.path == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory to fit %zu fixes", n);
    MBL_TRY(find_noise(arena, &p, err));
    mbl_bend_draw(fix, n, p.path);
    for (size_t k = 1; k < n; k++)
        p.at[k].ds = fix[k].s - fix[k - 1].s;
    double power = 0;
    for (int i = 0; i < DRAWING; i++) {
        power = choose_rate(&p);
        set_rate(&p, power);
        forward(&p);
        backward(&p, 1, 0);
    }
    forward(&p);
    double sigma2 = variance(&p);
    for (int i = 0; i < LEARNING; i++) {
        backward(&p, sigma2, LEAST_SHARE * pow(10, power));
        forward(&p);
    }
    backward(&p, sigma2, 0);
    for (size_t k = 0; k < n; k++)
        curvature[k] = p.path[k][BEND];
    *noise = sqrt(sigma2);
    return MBL_OK;
}
