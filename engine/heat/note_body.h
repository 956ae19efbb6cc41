/* SPDX-License-Identifier: MIT */
/*
 * What every kernel notes after a step. Included by the kernels' bodies, which define W and LANES.
 */
#include <math.h>

/*
 * Applications as cycles of strain: the widest the skin stands above the core counts once, when
 * the skin has come half way back. Brakes that flutter within one stop are one application.
 */
static void strain(mbl_block *b, double power)
{
    const mbl_model *m = b->model[0];
    for (int c = 0; c < m->ncontacts; c++) {
        const mbl_contact *spec = &m->contact[c];
        if (spec->core < 0)
            continue;
        LANES
        {
            int at = c * W + w;
            double apart = b->T[spec->rotor * W + w] - b->T[spec->core * W + w];
            if (power > 0) {
                b->strain[at] = apart > b->strain[at] ? apart : b->strain[at];
            } else if (b->strain[at] > 0 && apart < 0.5 * b->strain[at]) {
                b->cycles[at] += b->strain[at] > MBL_SKIN_FLOWS ? 1 : 0;
                b->crack[at] += mbl_crack_weight(b->strain[at]);
                b->strain[at] = 0;
            }
        }
    }
}

static void note_hardest(const mbl_block *b, mbl_hardest *h, double t, double speed, double power)
{
    int contacts = b->model[0]->ncontacts < 2 ? b->model[0]->ncontacts : 2;
    LANES
    {
        if (b->pressure[w] <= h->pressure[w])
            continue;
        h->pressure[w] = b->pressure[w];
        h->at[w] = t;
        h->speed[w] = speed;
        h->force[w] = power / (speed > 0.5 ? speed : 0.5);
        for (int c = 0; c < contacts; c++)
            h->mu[c][w] = b->mu[c * W + w];
    }
}

/* Spans, watches and the hardest application, after a step from t0 to t1. */
static void note(const mbl_block *b, mbl_record *r, double t0, double t1, double speed,
                 double power)
{
    if (r->hardest != NULL && power > 0)
        note_hardest(b, r->hardest, t1 + r->offset, speed, power);
    for (int k = 0; k < r->nspans; k++) {
        mbl_span *span = &r->span[k];
        LANES
        {
            double apart = b->T[span->hot * W + w] - b->T[span->cold * W + w];
            if (apart > span->peak[w]) {
                span->peak[w] = apart;
                span->at[w] = t1 + r->offset;
            }
        }
    }
    for (int k = 0; k < r->nwatches; k++) {
        mbl_watch *watched = &r->watch[k];
        LANES
        {
            if (b->T[watched->node * W + w] > watched->level[w]) {
                watched->above[w] += t1 - t0;
                if (isnan(watched->first[w]))
                    watched->first[w] = t1 + r->offset;
            }
        }
    }
}
