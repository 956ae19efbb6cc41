/* SPDX-License-Identifier: MIT */
#include "out/assumed.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char *mbl_assumed_word(mbl_origin origin)
{
    static const char *const words[] = {"given", "default", "inferred"};
    return words[origin];
}

/* The rest of the path when it starts with `head`, else NULL. */
static const char *after(const char *path, const char *head)
{
    size_t n = strlen(head);
    return strncmp(path, head, n) == 0 ? path + n : NULL;
}

static double of_brake(const mbl_brake *b, const char *key)
{
    if (strcmp(key, "rotor.ring_height") == 0)
        return mbl_rotor_ring_height(&b->rotor);
    if (strcmp(key, "rotor.vanes") == 0)
        return mbl_rotor_vanes(&b->rotor);
    if (strcmp(key, "pad.thickness_now") == 0)
        return isnan(b->pad.thickness_now) ? b->pad.thickness : b->pad.thickness_now;
    if (strcmp(key, "effective_radius") == 0)
        return mbl_effective_radius(b);
    return NAN;
}

static double of_car(const mbl_car *c, const char *key)
{
    const char *rest = after(key, "front.");
    if (rest != NULL)
        return of_brake(&c->front, rest);
    rest = after(key, "rear.");
    return rest != NULL ? of_brake(&c->rear, rest) : (double)NAN;
}

/* The pace of a phase that names none: key is "3].pace". */
static double of_phase(const mbl_stint *s, const char *key)
{
    char *end;
    unsigned long i = strtoul(key, &end, 10);
    if (strcmp(end, "].pace") != 0 || i < 1 || i > s->phases.n)
        return NAN;
    switch ((mbl_phase_kind)s->phases.v[i - 1].kind) {
    case MBL_PHASE_OUT:
        return s->pace.out;
    case MBL_PHASE_HOT:
        return s->pace.hot;
    case MBL_PHASE_TRAFFIC:
        return s->pace.traffic;
    case MBL_PHASE_COOL:
    case MBL_PHASE_IN:
        return s->pace.cool;
    case MBL_PHASE_PARK:
    case MBL_PHASE_LOGGED:
        break;
    }
    return NAN;
}

double mbl_assumed_inferred(const mbl_run *run, const char *path)
{
    const mbl_case *c = &run->setup;
    const char *key = after(path, "car.");
    if (key != NULL)
        return of_car(&c->car, key);
    key = after(path, "course.of.");
    if (key != NULL)
        return of_car(&c->course.of, key);
    key = after(path, "stint[");
    if (key != NULL)
        return of_phase(&c->stint, key);
    if (strcmp(path, "stint.start") == 0)
        return isnan(c->stint.start) ? c->stint.ambient : c->stint.start;
    return NAN;
}

/* By how much a wrong guess moves the answer, most first (engineering judgement). */
static const struct {
    const char *what;
    const char *path[2]; /* front and rear, or one */
} order[] = {
    {"water in the fluid", {"car.fluid.water", NULL}},
    {"air temperature", {"stint.ambient", NULL}},
    {"airflow at the brakes", {"car.front.airflow", "car.rear.airflow"}},
    {"conductivity of pads", {"car.front.pad.conductivity", "car.rear.pad.conductivity"}},
    {"contact layer, per MPa", {"car.front.pad.contact", "car.rear.pad.contact"}},
    {"effective radius", {"car.front.effective_radius", "car.rear.effective_radius"}},
    {"engine braking", {"car.engine_braking", NULL}},
    {"drag area", {"car.aero.drag_area", NULL}},
    {"rolling resistance", {"car.rolling", NULL}},
    {"depth of the ring", {"car.front.rotor.ring_height", "car.rear.rotor.ring_height"}},
    {"mass of the hat", {"car.front.rotor.hat_mass", "car.rear.rotor.hat_mass"}},
    {"pads as they are now", {"car.front.pad.thickness_now", "car.rear.pad.thickness_now"}},
    {"rotating mass", {"car.rotating", NULL}},
    {"start temperature", {"stint.start", NULL}},
};

enum { ORDERED = sizeof order / sizeof order[0] };

/* What the walk found of the above. */
typedef struct finder {
    const mbl_run *run;
    int assumed;
    struct {
        bool is;
        double si;
        mbl_quantity quantity;
        mbl_origin origin;
    } found[ORDERED][2];
} finder;

static void find(void *ctx, const char *path, const mbl_field *field, const mbl_node *node,
                 mbl_origin origin)
{
    finder *f = ctx;
    (void)node;
    if (origin == MBL_GIVEN)
        return;
    f->assumed++;
    for (int i = 0; i < ORDERED; i++) {
        for (int side = 0; side < 2; side++) {
            if (order[i].path[side] == NULL || strcmp(order[i].path[side], path) != 0)
                continue;
            f->found[i][side].is = true;
            f->found[i][side].quantity = field->quantity;
            f->found[i][side].origin = origin;
            f->found[i][side].si =
                origin == MBL_DEFAULTED ? field->fallback : mbl_assumed_inferred(f->run, path);
        }
    }
}

static void fill(const finder *f, int i, mbl_units_system units, mbl_assumed_line *line)
{
    bool front = f->found[i][0].is;
    bool rear = f->found[i][1].is;
    mbl_quantity quantity = f->found[i][front ? 0 : 1].quantity;
    line->what = order[i].what;
    line->origin = f->found[i][front ? 0 : 1].origin;
    mbl_shown a = mbl_out_value(quantity, units, f->found[i][0].si);
    mbl_shown b = mbl_out_value(quantity, units, f->found[i][1].si);
    size_t room = sizeof line->value;
    if (order[i].path[1] == NULL)
        snprintf(line->value, room, "%s", a.s);
    else if (!rear)
        snprintf(line->value, room, "front %s", a.s);
    else if (!front)
        snprintf(line->value, room, "rear %s", b.s);
    else if (strcmp(a.s, b.s) == 0)
        snprintf(line->value, room, "front and rear %.40s", a.s);
    else
        snprintf(line->value, room, "front %.18s, rear %.18s", a.s, b.s);
}

int mbl_assumed_lines(const mbl_run *run, mbl_units_system units,
                      mbl_assumed_line line[MBL_ASSUMED_SHOWN], int *rest)
{
    finder f = {.run = run};
    mbl_schema_walk(&mbl_case_schema, run->tree, find, &f);
    int n = 0;
    *rest = f.assumed;
    for (int i = 0; i < ORDERED && n < MBL_ASSUMED_SHOWN; i++) {
        if (!f.found[i][0].is && !f.found[i][1].is)
            continue;
        fill(&f, i, units, &line[n++]);
        *rest -= f.found[i][0].is + f.found[i][1].is;
    }
    return n;
}
