/* SPDX-License-Identifier: MIT */
/* What every kernel notes after a step. Included by the kernels' bodies. Private to `heat`. */
#include "heat/fields.h"
#include "heat/lanes.h"

#include <math.h>

/*
 * Applications as cycles of strain: the widest the skin stands above the core counts once, when
 * the skin has come half way back. Brakes that flutter within one stop are one application.
 */
static inline void strain(fields *b, double power)
{
    const mbl_model *m = b->model[0];
    for (int c = 0; c < m->ncontacts; c++) {
        const mbl_contact *spec = &m->contact[c];
        if (spec->core < 0)
            continue;
        vec apart = AT(T, spec->rotor) - AT(T, spec->core);
        vec widest = AT(strain, c);
        if (power > 0) {
            AT(strain, c) = SELECT(apart > widest, apart, widest);
            continue;
        }
        mask over = (widest > 0) & (apart < HALF * widest);
        if (!any(over))
            continue;
        LANES
        {
            int at = c * W + w;
            if (!EACH(w, over))
                continue;
            b->cycles[at] += b->strain[at] > MBL_SKIN_FLOWS ? 1 : 0;
            b->crack[at] += mbl_crack_weight(b->strain[at]);
            b->strain[at] = 0;
        }
    }
}

static inline void note_peak(const fields *b, mbl_record *r, int node, double t)
{
    vec T = AT(T, node);
    mask more = T > IN(r->peak, node);
    if (!any(more))
        return;
    put_where(more, r->peak, node, T);
    put_where(more, r->peak_at, node, splat((real)t));
}

/* `peak` is the highest force in the step over its mean, at which the pressure is taken. */
static void note_hardest(const fields *b, mbl_hardest *h, double t, double speed, double power,
                         double peak)
{
    if (!any(AT(pressure, 0) * (real)peak > IN(h->pressure, 0)))
        return;
    int contacts = b->model[0]->ncontacts < 2 ? b->model[0]->ncontacts : 2;
    LANES
    {
        real pressure = b->pressure[w] * (real)peak;
        pressure = pressure < b->cap[w] ? pressure : b->cap[w];
        if (pressure <= (real)h->pressure[w])
            continue;
        h->pressure[w] = pressure;
        h->at[w] = t;
        h->speed[w] = speed;
        h->force[w] = peak * power / (speed > 0.5 ? speed : 0.5);
        for (int c = 0; c < contacts; c++)
            h->mu[c][w] = b->mu[c * W + w];
    }
}

static inline void note_span(const fields *b, mbl_span *span, double t)
{
    vec apart = AT(T, span->hot) - AT(T, span->cold);
    mask more = apart > IN(span->peak, 0);
    if (!any(more))
        return;
    put_where(more, span->peak, 0, apart);
    put_where(more, span->at, 0, splat((real)t));
}

/*
 * Which lanes are above is told in doubles, so that a step that passes a level has one end on each
 * side of it. A lane of single precision is nowhere above its level and below what that rounds to.
 */
static inline void note_watch(const fields *b, mbl_watch *watched, double dt, double t)
{
    vec T = AT(T, watched->node);
    if (watched->some || any(T >= IN(watched->level, 0))) {
        watched->some = false;
        LANES
        {
            double over0 = watched->T[w] - watched->level[w];
            double over1 = (double)EACH(w, T) - watched->level[w];
            if (over1 > 0 && isnan(watched->first[w]))
                watched->first[w] = t;
            if (over0 > 0 && over1 > 0)
                watched->above[w] += dt;
            else if (over0 > 0 || over1 > 0) /* straight through the level */
                watched->above[w] += dt * (fmax(over0, over1) / fabs(over1 - over0));
            watched->some = watched->some || over1 > 0;
        }
    }
    PUT(watched->T, 0, T);
}

/* Spans and the hardest application, after a step that ends at t. */
static inline void note(const fields *b, mbl_record *r, double t, double speed, double power,
                        double peak)
{
    if (r->hardest != NULL && power > 0)
        note_hardest(b, r->hardest, t, speed, power, peak);
    for (int k = 0; k < r->nspans; k++)
        note_span(b, &r->span[k], t);
}
