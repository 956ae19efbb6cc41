/* SPDX-License-Identifier: MIT */
#include "drive/loop.h"

#include <math.h>

/* ---- a stint ---- */

/* Friction of the pads along the lap at hand, as the next one will find it. */
typedef struct places {
    size_t n, room;
    double *s;       /* (room) m */
    double (*mu)[2]; /* (room) */
} places;

typedef struct loop {
    const mbl_alloc *alloc;
    const mbl_case *setup;
    mbl_case one;          /* the case with one lap at a time */
    mbl_film_store *films; /* or NULL */
    mbl_drive *drive;
    mbl_trace *trace; /* of the lap at hand, which the drive's route borrows */
    size_t nlaps, room;
    mbl_path **path; /* (room) */
    size_t *nodes;   /* (room) of it that are driven: an in-lap ends at the pit entry */
    double *lost;    /* (room) s that the brakes cost */
    places now, before;
    double pressure; /* Pa, or NAN */
    /* of the lap that is being driven */
    const mbl_path *on;
    double pace, began;
} loop;

/* s between two looks at the pads. */
static const double look = 0.25;

static mbl_status make_places(const mbl_alloc *alloc, size_t room, places *p, mbl_error *err)
{
    if (room <= p->room)
        return MBL_OK;
    mbl_free(alloc, p->s, p->room, sizeof *p->s);
    mbl_free(alloc, p->mu, p->room, sizeof *p->mu);
    p->s = mbl_new(alloc, room, sizeof *p->s);
    p->mu = mbl_new(alloc, room, sizeof *p->mu);
    p->room = room;
    if (p->s == NULL || p->mu == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory for a lap");
    return MBL_OK;
}

static void free_places(const mbl_alloc *alloc, places *p)
{
    mbl_free(alloc, p->s, p->room, sizeof *p->s);
    mbl_free(alloc, p->mu, p->room, sizeof *p->mu);
}

/* Keeps the friction of a row of history at its place on the lap. */
static void look_at_pads(void *ctx, double t, const mbl_leg *leg, double speed, double power,
                         double pressure, const double *T)
{
    (void)leg, (void)power, (void)pressure;
    loop *l = ctx;
    places *p = &l->now;
    double s = mbl_polyline(l->on->t, l->on->s, l->on->n, (t - l->began) * l->pace);
    if (p->n == p->room || (p->n > 0 && s <= p->s[p->n - 1]))
        return;
    for (int axle = 0; axle < MBL_AXLES; axle++)
        p->mu[p->n][axle] =
            mbl_friction_at(&mbl_car_brake(&l->setup->car, axle)->pad,
                            T[mbl_corner_index(axle, MBL_PAD_FACE)], speed / l->pace, 0);
    p->s[p->n++] = s;
}

static double fuel_left(const loop *l)
{
    return l->drive != NULL ? l->drive->fuel : l->setup->car.fuel.start;
}

static mbl_status find_path(loop *l, bool limited, mbl_path **out, mbl_error *err)
{
    double fuel = fuel_left(l);
    const places *p = &l->before;
    const mbl_stint *s = &l->setup->stint;
    if (p->n == 0)
        return mbl_lap_of(l->alloc, l->setup, fuel, isnan(s->start) ? s->ambient : s->start,
                          limited, out, err);
    mbl_lap_ask ask = mbl_lap_ask_of(l->setup, fuel);
    if (!isnan(l->pressure))
        ask.brakes = (mbl_lap_brakes){.n = p->n,
                                      .s = p->s,
                                      .mu = (const double(*)[2])p->mu,
                                      .pressure = limited ? l->pressure : MBL_LAP_UNLIMITED};
    return mbl_lap_drive(l->alloc, &ask, out, err);
}

/* A route of one lap at this pace along the first nodes of this path, and the drive on it. */
static mbl_status take_route(loop *l, const mbl_leg *leg, const mbl_path *path, size_t nodes,
                             mbl_error *err)
{
    mbl_driven_lap lap = mbl_lap_driven(path, nodes, 0);
    mbl_trace *trace = NULL;
    mbl_model *model = NULL;
    mbl_road road;
    mbl_route *route = NULL;
    l->one.stint.phases = (mbl_phases){
        .n = 1,
        .v = {{.kind = (int)leg->phase, .laps = 1, .time = (double)NAN, .pace = leg->pace}}};
    MBL_TRY(mbl_trace_driven(l->alloc, 1, &lap, false, &trace, err));
    l->one.course.trace = trace;
    mbl_status status = MBL_OK;
    if (l->drive == NULL)
        status = mbl_drive_compile(l->alloc, &l->one, l->films, &model, err);
    else
        model = mbl_model_keep(l->drive->model);
    l->one.car.fuel.start = fuel_left(l);
    if (status == MBL_OK)
        status = mbl_road_of(l->alloc, &l->one, 0, model, &road, err);
    if (status == MBL_OK)
        status = mbl_route_make(l->alloc, &l->one, &road, &route, err);
    const mbl_case *setup = &l->one;
    if (status == MBL_OK && l->drive == NULL)
        status = mbl_drive_lanes(l->alloc, 1, &setup, &model, route, NULL, 0, &l->drive, err);
    else if (status == MBL_OK)
        mbl_drive_onto(l->drive, route);
    mbl_route_drop(route);
    mbl_model_drop(model);
    mbl_trace_drop(l->trace);
    l->trace = trace;
    return status;
}

/* Nodes of a lap up to where the pit lane leaves: all of them where nothing says where. */
static size_t until_pits(const mbl_path *path, const mbl_layout *layout)
{
    size_t n = path->n;
    while (n > 2 && !isnan(layout->pit_entry) && path->s[n - 1] > layout->pit_entry)
        n--;
    return n;
}

/* The lap, and where its brakes held it back; then its heat. */
static mbl_status drive_lap(loop *l, const mbl_leg *leg, bool comes_in, mbl_error *err)
{
    mbl_path *path = NULL;
    mbl_path *free_of = NULL;
    MBL_TRY(find_path(l, true, &path, err));
    size_t nodes = comes_in ? until_pits(path, l->setup->course.layout) : path->n;
    l->nodes[l->nlaps] = nodes;
    l->path[l->nlaps++] = path;
    if (path->held[MBL_HOLDS_BRAKES] > 0) {
        MBL_TRY(find_path(l, false, &free_of, err));
        l->lost[l->nlaps - 1] = fmax(path->time - free_of->time, 0);
        mbl_path_free(free_of);
    }
    MBL_TRY(take_route(l, leg, path, nodes, err));
    size_t looks = (size_t)(path->time / leg->pace / look) + 2;
    MBL_TRY(make_places(l->alloc, looks, &l->now, err));
    l->now.n = 0;
    l->on = path;
    l->pace = leg->pace;
    l->began = l->drive->now;
    mbl_history history = {.every = look, .next = l->began, .ctx = l, .row = look_at_pads};
    mbl_leg_report ignored;
    MBL_TRY(mbl_drive_leg(l->drive, &l->drive->route->plan.leg[0], &history, &ignored, err));
    places turned = l->before;
    l->before = l->now;
    l->now = turned;
    return MBL_OK;
}

/* A stint may begin with a wait: then the car is there before its first lap is. */
static mbl_status stand_first(loop *l, mbl_error *err)
{
    mbl_path *path = NULL;
    if (l->drive != NULL)
        return MBL_OK;
    MBL_TRY(find_path(l, true, &path, err));
    const mbl_leg leg = {.phase = MBL_PHASE_HOT, .pace = 1};
    mbl_status status = take_route(l, &leg, path, path->n, err);
    mbl_path_free(path);
    return status;
}

/* The plan of a stint on any trace of one lap: what is driven in which order. */
static mbl_status plan_of(loop *l, mbl_plan *plan, mbl_error *err)
{
    const double t[] = {0, 1};
    const double v[] = {100, 100}; /* above any pit speed */
    const double grade[] = {0};
    mbl_driven_lap lap = {.n = 2, .t = t, .v = v, .grade = grade};
    mbl_trace *trace = NULL;
    MBL_TRY(mbl_trace_driven(l->alloc, 1, &lap, false, &trace, err));
    mbl_status status = mbl_plan_make(l->alloc, &l->setup->stint, 0, trace, plan, err);
    mbl_trace_drop(trace);
    return status;
}

static mbl_status drive_all(loop *l, const mbl_plan *plan, mbl_error *err)
{
    l->room = plan->n;
    l->path = mbl_new(l->alloc, l->room, sizeof *l->path);
    l->lost = mbl_new(l->alloc, l->room, sizeof *l->lost);
    l->nodes = mbl_new(l->alloc, l->room, sizeof *l->nodes);
    if (l->path == NULL || l->lost == NULL || l->nodes == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory for a stint of %zu laps", l->room);
    for (size_t i = 0; i < plan->n; i++) {
        const mbl_leg *leg = &plan->leg[i];
        mbl_leg_report ignored;
        if (leg->kind != MBL_LEG_LAP) {
            MBL_TRY(stand_first(l, err));
            MBL_TRY(mbl_drive_leg(l->drive, leg, NULL, &ignored, err));
            continue;
        }
        bool comes_in = i + 1 < plan->n && plan->leg[i + 1].kind != MBL_LEG_LAP;
        MBL_TRY(drive_lap(l, leg, comes_in, err));
    }
    return MBL_OK;
}

static mbl_status join(const loop *l, mbl_trace **out, mbl_error *err)
{
    mbl_driven_lap *laps = mbl_new(l->alloc, l->nlaps, sizeof *laps);
    if (laps == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory for a stint of %zu laps", l->nlaps);
    for (size_t i = 0; i < l->nlaps; i++)
        laps[i] = mbl_lap_driven(l->path[i], l->nodes[i], l->lost[i]);
    mbl_status status = mbl_trace_driven(l->alloc, l->nlaps, laps, true, out, err);
    mbl_free(l->alloc, laps, l->nlaps, sizeof *laps);
    return status;
}

static bool replays(const mbl_stint *s)
{
    bool logged = s->logged;
    for (size_t i = 0; i < s->phases.n; i++)
        logged = logged || s->phases.v[i].kind == MBL_PHASE_LOGGED;
    return logged;
}

mbl_status mbl_loop_trace(const mbl_alloc *alloc, const mbl_case *setup, mbl_film_store *films,
                          mbl_trace **out, mbl_error *err)
{
    if (replays(&setup->stint)) {
        mbl_status status = mbl_fail(err, MBL_INPUT,
                                     "a layout has no logged session: say how many laps are "
                                     "driven, as hot = 12");
        mbl_error_under(err, "stint.logged");
        return status;
    }
    loop l = {.alloc = alloc,
              .setup = setup,
              .one = *setup,
              .films = films,
              .pressure = mbl_lap_pressure(&setup->car, setup->stint.altitude)};
    mbl_plan plan = {.alloc = alloc};
    mbl_stint *one = &l.one.stint;
    one->out = one->hot = one->cool = 0;
    one->park = 0;
    l.one.course.of.present = false;
    l.one.course.hot_lap = 0;
    mbl_status status = plan_of(&l, &plan, err);
    if (status == MBL_OK)
        status = drive_all(&l, &plan, err);
    if (status == MBL_OK)
        status = join(&l, out, err);
    for (size_t i = 0; i < l.nlaps; i++)
        mbl_path_free(l.path[i]);
    mbl_free(alloc, l.path, l.room, sizeof *l.path);
    mbl_free(alloc, l.lost, l.room, sizeof *l.lost);
    mbl_free(alloc, l.nodes, l.room, sizeof *l.nodes);
    mbl_trace_drop(l.trace);
    free_places(alloc, &l.now);
    free_places(alloc, &l.before);
    mbl_drive_free(l.drive);
    mbl_plan_free(&plan);
    return status;
}
