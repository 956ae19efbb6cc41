/* SPDX-License-Identifier: MIT */
#include "drive/plan.h"

#include <math.h>

/* The plan while it grows; with plan->leg NULL it only counts. */
typedef struct planner {
    mbl_plan *plan;
    const mbl_stint *stint;
    const mbl_trace *trace;
    double speed;  /* m/s at the end of the last leg */
    size_t driven; /* laps of the trace, where it is that of this stint */
} planner;

static double speed_at(const mbl_trace *trace, double t)
{
    return mbl_polyline(trace->t, trace->v, trace->n, t);
}

static void add(planner *p, mbl_leg leg)
{
    if (p->plan->leg != NULL)
        p->plan->leg[p->plan->n] = leg;
    p->plan->n++;
}

static void add_lap(planner *p, mbl_phase_kind phase, const mbl_lap *lap, double pace)
{
    p->plan->laps++;
    if (phase == MBL_PHASE_HOT || phase == MBL_PHASE_LOGGED) {
        p->plan->hot_laps++;
        p->plan->last_hot = p->plan->n;
    }
    add(p, (mbl_leg){.kind = MBL_LEG_LAP,
                     .phase = phase,
                     .lap = p->plan->laps,
                     .start = lap->start,
                     .end = lap->end,
                     .pace = pace,
                     .duration = (lap->end - lap->start) / pace});
    p->speed = pace * speed_at(p->trace, lap->end);
}

static void add_park(planner *p, double duration)
{
    double pit = fmin(p->speed, p->stint->pit_speed);
    if (pit > 0.5)
        add(p, (mbl_leg){.kind = MBL_LEG_STOP,
                         .phase = MBL_PHASE_PARK,
                         .lap = p->plan->laps,
                         .pace = 1,
                         .speed = pit});
    p->speed = 0;
    add(p, (mbl_leg){.kind = MBL_LEG_PARK,
                     .phase = MBL_PHASE_PARK,
                     .lap = p->plan->laps,
                     .pace = 1,
                     .duration = duration});
}

static mbl_phase_kind phase_of(mbl_lap_kind kind)
{
    switch (kind) {
    case MBL_LAP_OUT:
        return MBL_PHASE_OUT;
    case MBL_LAP_TRAFFIC:
        return MBL_PHASE_TRAFFIC;
    case MBL_LAP_IN:
        return MBL_PHASE_IN;
    case MBL_LAP_PIT:
    case MBL_LAP_PARKED:
        return MBL_PHASE_PARK;
    case MBL_LAP_HOT:
    case MBL_LAP_WHOLE:
        break;
    }
    return MBL_PHASE_HOT;
}

static void add_session(planner *p)
{
    for (size_t i = 0; i < p->trace->nlaps; i++)
        add_lap(p, phase_of(p->trace->laps[i].kind), &p->trace->laps[i], 1.0);
}

double mbl_plan_pace(const mbl_stint *s, mbl_phase_kind kind)
{
    switch (kind) {
    case MBL_PHASE_OUT:
        return s->pace.out;
    case MBL_PHASE_TRAFFIC:
        return s->pace.traffic;
    case MBL_PHASE_COOL:
    case MBL_PHASE_IN:
        return s->pace.cool;
    case MBL_PHASE_HOT:
    case MBL_PHASE_PARK:
    case MBL_PHASE_LOGGED:
        break;
    }
    return s->pace.hot;
}

/* The lap that is driven next: of a trace of this very stint its own, else the repeated one. */
static const mbl_lap *next_lap(planner *p)
{
    if (!p->trace->followed)
        return &p->plan->repeated;
    size_t last = p->trace->nlaps - 1;
    size_t i = p->driven < last ? p->driven : last;
    p->driven++;
    return &p->trace->laps[i];
}

static void add_phase(planner *p, const mbl_phase *phase)
{
    mbl_phase_kind kind = (mbl_phase_kind)phase->kind;
    if (kind == MBL_PHASE_PARK) {
        add_park(p, phase->time);
        return;
    }
    if (kind == MBL_PHASE_LOGGED) {
        add_session(p);
        return;
    }
    double pace = isnan(phase->pace) ? mbl_plan_pace(p->stint, kind) : phase->pace;
    for (int i = 0; i < phase->laps; i++)
        add_lap(p, kind, next_lap(p), pace);
}

static void add_all(planner *p)
{
    const mbl_stint *s = p->stint;
    p->plan->n = 0;
    p->plan->laps = 0;
    p->plan->hot_laps = 0;
    p->plan->last_hot = (size_t)-1;
    p->speed = 0;
    p->driven = 0;
    if (s->phases.n > 0) {
        for (size_t i = 0; i < s->phases.n; i++)
            add_phase(p, &s->phases.v[i]);
        return;
    }
    if (s->logged) {
        add_session(p);
    } else {
        add_phase(p, &(mbl_phase){MBL_PHASE_OUT, s->out, NAN, NAN});
        add_phase(p, &(mbl_phase){MBL_PHASE_HOT, s->hot, NAN, NAN});
        add_phase(p, &(mbl_phase){MBL_PHASE_COOL, s->cool, NAN, NAN});
    }
    if (s->park > 0)
        add_park(p, s->park);
}

static mbl_status choose_lap(const mbl_trace *trace, int hot_lap, mbl_lap *lap, mbl_error *err)
{
    if (hot_lap == 0) {
        *lap = trace->laps[trace->median];
        return MBL_OK;
    }
    size_t i = mbl_trace_lap(trace, hot_lap);
    if (i == trace->nlaps) {
        mbl_status status =
            mbl_fail(err, MBL_INPUT, "the log has no lap %d: its laps are %d to %d", hot_lap,
                     trace->laps[0].number, trace->laps[trace->nlaps - 1].number);
        mbl_error_under(err, "course.hot_lap");
        return status;
    }
    *lap = trace->laps[i];
    return MBL_OK;
}

mbl_status mbl_plan_make(const mbl_alloc *alloc, const mbl_stint *stint, int hot_lap,
                         const mbl_trace *trace, mbl_plan *plan, mbl_error *err)
{
    mbl_plan made = {.alloc = alloc};
    MBL_TRY(choose_lap(trace, hot_lap, &made.repeated, err));
    planner p = {.plan = &made, .stint = stint, .trace = trace};
    add_all(&p);
    size_t n = made.n;
    made.leg = mbl_new(alloc, n, sizeof *made.leg);
    if (made.leg == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory planning a stint of %zu legs", n);
    add_all(&p);
    if (made.last_hot > n)
        made.last_hot = n;
    *plan = made;
    return MBL_OK;
}

void mbl_plan_free(mbl_plan *plan)
{
    mbl_free(plan->alloc, plan->leg, plan->n, sizeof *plan->leg);
    *plan = (mbl_plan){.alloc = plan->alloc};
}
