/* SPDX-License-Identifier: MIT */
/* What the brakes do at one instant, for all lanes. Included by stride_body.h. Private to `heat`.
 */
#include "heat/lanes.h"

typedef struct press {
    vec mu[CORNERS];
    vec held[CORNERS]; /* pressure of its own over that of the system */
    vec share;         /* of the front in the braking */
    vec pressure;      /* Pa */
    vec undone;        /* share of the power that a cap leaves undone */
} press;

static inline vec mu_at(const fields *b, int c, vec T, double v)
{
    const mbl_table1 *grid = &b->contact[0][c].friction;
    const double *y[MBL_LANES];
    LANES y[w] = b->contact[w][c].friction.y;
    spots at = spots_of((T - (real)grid->x0) * (real)grid->per_step, grid->n);
    at.u = hold(at.u);
    vec mu = look_up(y, &at);
    if (b->speed_matters)
        LANES EACH(w, mu) *= (real)mbl_table1_at(&b->contact[w][c].speed_effect, v);
    return mu;
}

/* A lane whose pressure has an effect on friction, a valve, or a cap: as in the fixed-grid kernel.
 */
static void press_lane(const fields *b, int w, real force, press *out)
{
    real mu[CORNERS] = {EACH(w, out->mu[0]), EACH(w, out->mu[1])};
    real now[CORNERS] = {mu[0], mu[1]};
    real knee = b->knee[w];
    real p = 0;
    real sum = 0;
    real held[CORNERS];
    for (int turn = 0; turn < 5; turn++) {
        real above = p - knee;
        for (int c = 0; c < CORNERS; c++) {
            real share = b->share[c * W + w];
            held[c] = above <= 0 ? share : share * ((knee + b->slope[c * W + w] * above) / p);
        }
        if (turn == 4)
            break;
        real low = 0;
        real high = 0;
        for (int c = 0; c < CORNERS; c++) {
            const mbl_contact *law = &b->contact[w][c];
            now[c] = mu[c] * (real)mbl_table1_at(&law->pressure_effect, (double)(held[c] * p));
            low += b->gain[c * W + w] * b->share[c * W + w] * now[c];
            high += b->gain[c * W + w] * b->share[c * W + w] * b->slope[c * W + w] * now[c];
        }
        p = force <= low * knee ? force / low : knee + (force - low * knee) / high;
        p = p < b->cap[w] ? p : b->cap[w];
        p = p > 0 ? p : 0;
    }
    for (int c = 0; c < CORNERS; c++) {
        sum += b->gain[c * W + w] * held[c] * now[c];
        EACH(w, out->mu[c]) = now[c];
        EACH(w, out->held[c]) = held[c];
    }
    real got = force > 0 ? sum * p / force : 1;
    EACH(w, out->pressure) = p;
    EACH(w, out->share) = b->gain[w] * held[0] * now[0] / sum;
    EACH(w, out->undone) = p >= b->cap[w] && got < 1 ? 1 - got : 0;
}

/* Friction at the pads' temperatures, and the pressure that gives `force` (N). */
static inline void press_at(const fields *b, vec front, vec rear, double v, real force, press *out)
{
    out->mu[0] = mu_at(b, 0, front, v);
    out->mu[1] = mu_at(b, 1, rear, v);
    if (!b->plain) {
        LANES press_lane(b, w, force, out);
        return;
    }
    vec f = AT(gain, 0) * AT(share, 0) * out->mu[0];
    vec r = AT(gain, 1) * AT(share, 1) * out->mu[1];
    vec sum = f + r;
    out->held[0] = AT(share, 0);
    out->held[1] = AT(share, 1);
    out->share = f / sum;
    out->pressure = force / sum;
    out->undone = splat(0);
}

/* Conductance between the faces at pressure p, and the rotor's share of the heat. */
static inline void interface(const fields *b, int c, vec p, vec *g, vec *to_rotor)
{
    vec film = AT(gap_film, c) + AT(film_per_pascal, c) * p;
    vec r = film * AT(rotor_layer, c);
    vec q = film * AT(pad_layer, c);
    /* r / (1 + r rotor_half) in series with q / (1 + q pad_half), over one denominator */
    vec rotor = r * (1 + q * AT(pad_half, c));
    vec pad = q * (1 + r * AT(rotor_half, c));
    vec per = 1 / (rotor + pad);
    *g = r * q * per;
    *to_rotor = rotor * per;
}

/* Friction material that heat wears off at pads of temperature T, m3/J. */
static inline vec wear_at(const fields *b, int c, vec T)
{
    const mbl_table1 *grid = &b->contact[0][c].wear;
    const double *y[MBL_LANES];
    LANES y[w] = b->contact[w][c].wear.y;
    spots at = spots_of((T - (real)grid->x0) * (real)grid->per_step, grid->n);
    at.u = hold(at.u);
    return look_up(y, &at);
}
