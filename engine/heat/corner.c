/* SPDX-License-Identifier: MIT */
/*
 * Geometry and materials to capacities and conductances. A shop knows diameters and masses; the
 * rest of a corner is assumed here, each assumption named once, below. Those without a source
 * are common practice: they set how fast heat reaches caliper and fluid, and a reading taken at
 * the track outranks them.
 */
#include "heat/corner.h"

#include "heat/block.h"
#include "heat/cooling.h"
#include "heat/surface.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Common practice, no source, unless a line says otherwise. */
static const double hat_wall = 0.007;         /* m, of a one-piece hat */
static const double hat_neck = 0.020;         /* m, length of it that carries the heat */
static const double bobbin_conductance = 3.0; /* W/K, all bobbins of a two-piece rotor */
static const double mounting_film = 1500.0;   /* W/m2K, hat on hub, bolted, dry */
static const double hub_capacity = 2200.0;    /* J/K, hub, bearing and wheel centre */
static const double hub_area = 0.08;          /* m2 */
static const double piston_length = 0.030;    /* m, a cup */
static const double piston_wall = 0.004;      /* m */
static const double piston_contact = 0.3;     /* share of the piston's face that bears */
static const double bearing_film = 2000.0;    /* W/m2K, piston on backing plate */
static const double bore_film = 300.0;        /* W/m2K, still fluid on piston or bore */
static const double seal_film = 800.0;        /* W/m2K, piston to bore through fluid and seal */
static const double seal_land = 0.015;        /* m of bore that guides the piston */
static const double bore_depth = 0.018;       /* m of fluid behind a piston */
static const double passages = 8e-6;          /* m3 of fluid between the bores */
static const double abutment = 3.0;           /* W/K, pads on their guides in the caliper */
static const double body_area = 0.045;        /* m2 of caliper per kg^(2/3) of aluminium */
static const double caliper_view = 0.3;       /* of the area under the pads that sees the caliper */
static const double paint = 0.85;             /* emissivity of caliper, pads' edges and hub */

const char *mbl_axle_word(int axle)
{
    return axle == 0 ? "front" : "rear";
}

const char *mbl_corner_key(mbl_corner_node node)
{
    switch (node) {
#define CASE(name, key, about)                                                                     \
    case MBL_##name:                                                                               \
        return key;
        MBL_CORNER_LIST(CASE)
#undef CASE
    case MBL_CORNER_NODES:
        break;
    }
    return "";
}

/* A film law of the network: one surface of one corner. */
typedef struct film {
    const mbl_surroundings *at;
    mbl_surface surface;
} film;

static double film_law(const void *ctx, double speed, double T)
{
    const film *f = ctx;
    return mbl_surface_film(f->at, f->surface, speed, T);
}

/* What of a corner depends on how thick its pads are. */
typedef struct pad_values {
    double capacity[3]; /* J/K, of the layers */
    double chain[2];    /* W/K, from layer to layer */
    double plate;       /* W/K, last layer to backing plate */
    double edge;        /* m2, of the last layer, to the air */
    double half;        /* K/W, half of the face layer */
} pad_values;

static double series(double a, double b)
{
    return 1.0 / (1.0 / a + 1.0 / b);
}

/* Circumference of both pads, m: two and a half times the side of a square of their area. */
static double pad_edge(const mbl_pad *p)
{
    return 2 * 2.5 * sqrt(p->area);
}

static pad_values pad_values_of(const mbl_pad *p, double thickness)
{
    double both = 2 * p->area;
    /* a twentieth, but not so thin a face that no step could follow it */
    double face = fmax(0.05 * thickness, fmin(0.3e-3, thickness / 3));
    double rest = (thickness - face) / 0.95;
    double depth[3] = {face, 0.25 * rest, 0.70 * rest};
    double plate = mbl_steel.conductivity * both / (0.5 * p->plate_thickness);
    pad_values v;
    for (int i = 0; i < 3; i++)
        v.capacity[i] = both * depth[i] * p->density * p->specific_heat;
    for (int i = 0; i < 2; i++)
        v.chain[i] = p->conductivity * both / (0.5 * (depth[i] + depth[i + 1]));
    v.plate = series(p->conductivity * both / (0.5 * depth[2]), plate);
    v.edge = pad_edge(p) * depth[2];
    v.half = 0.5 * depth[0] / (p->conductivity * both);
    return v;
}

/* One corner while it is being built. */
typedef struct corner {
    mbl_network *net;
    const mbl_brake *brake;
    mbl_film_store *films; /* or NULL */
    mbl_surroundings air;
    mbl_ring ring;
    mbl_rotor_areas areas;
    double depth[5]; /* m, rotor layers */
    double pads;     /* m2, both pads */
    pad_values pad;
    double pistons;    /* m2, faces of all pistons of the caliper */
    double bore_wall;  /* m, sum of circumferences of all pistons */
    double hat_radius; /* m */
    int node[MBL_CORNER_NODES];
    int convection, radiation; /* paths of the ledger */
    int vanes_path, caliper_path;
} corner;

static void link_nodes(corner *c, int a, int b, double conductance)
{
    mbl_network_link(c->net, c->node[a], c->node[b], conductance);
}

static const mbl_solid *piston_material(int piston)
{
    switch ((mbl_piston)piston) {
    case MBL_PISTON_ALUMINIUM:
        return &mbl_aluminium;
    case MBL_PISTON_TITANIUM:
        return &mbl_titanium;
    case MBL_PISTON_STEEL:
        break;
    }
    return &mbl_steel;
}

static const mbl_solid *body_material(int body)
{
    return body == MBL_BODY_IRON ? &mbl_cast_iron : &mbl_aluminium;
}

static void measure(corner *c)
{
    const mbl_brake *b = c->brake;
    c->ring = mbl_ring_of(&b->rotor);
    mbl_ring_layers(&c->ring, c->depth);
    c->pads = 2 * b->pad.area;
    c->pad = pad_values_of(&b->pad, mbl_pad_thickness(&b->pad));
    int sides = b->caliper.type == MBL_CALIPER_FIXED ? 2 : 1;
    for (size_t i = 0; i < b->caliper.pistons.n; i++) {
        double d = b->caliper.pistons.v[i];
        c->pistons += sides * M_PI / 4 * d * d;
        c->bore_wall += sides * M_PI * d;
    }
    c->hat_radius = mbl_hat_radius(&b->rotor);
    c->areas = mbl_rotor_areas_of(&b->rotor, &c->ring);
}

static void add_rotor_nodes(corner *c, char names[][MBL_NAME_MAX])
{
    const mbl_rotor *r = &c->brake->rotor;
    double left = mbl_rotor_ring_mass(r);
    for (int i = 0; i < 5; i++) {
        bool vanes = i == 4 && c->ring.vanes > 0;
        double mass = 2 * c->ring.area * c->depth[i] * MBL_IRON_DENSITY;
        /* the vanes, or the last layer, take what is left, so that the ring has its mass */
        if (vanes || i == 4)
            mass = fmax(left, 0.01 * mbl_rotor_ring_mass(r));
        left -= mass;
        c->node[MBL_FACE + i] = mbl_network_iron(c->net, names[MBL_FACE + i], mass);
    }
    if (r->construction == MBL_ONE_PIECE)
        c->node[MBL_HAT] = mbl_network_iron(c->net, names[MBL_HAT], r->hat_mass);
    else
        c->node[MBL_HAT] =
            mbl_network_node(c->net, names[MBL_HAT], r->hat_mass * mbl_aluminium.specific_heat);
    c->node[MBL_HUB] = mbl_network_node(c->net, names[MBL_HUB], hub_capacity);
}

static void add_pad_nodes(corner *c, char names[][MBL_NAME_MAX])
{
    const mbl_pad *p = &c->brake->pad;
    for (int i = 0; i < 3; i++)
        c->node[MBL_PAD_FACE + i] =
            mbl_network_node(c->net, names[MBL_PAD_FACE + i], c->pad.capacity[i]);
    c->node[MBL_PLATE] = mbl_network_node(c->net, names[MBL_PLATE],
                                          c->pads * p->plate_thickness * mbl_steel.density *
                                              mbl_steel.specific_heat);
}

static void add_caliper_nodes(corner *c, char names[][MBL_NAME_MAX])
{
    const mbl_caliper *k = &c->brake->caliper;
    const mbl_solid *piston = piston_material(k->piston);
    double cup = c->bore_wall * piston_length * piston_wall + c->pistons * piston_wall;
    c->node[MBL_PISTON] =
        mbl_network_node(c->net, names[MBL_PISTON], cup * piston->density * piston->specific_heat);
    double fluid = c->pistons * bore_depth + passages;
    c->node[MBL_FLUID] = mbl_network_node(
        c->net, names[MBL_FLUID], fluid * mbl_brake_fluid.density * mbl_brake_fluid.specific_heat);
    c->node[MBL_CALIPER] = mbl_network_node(c->net, names[MBL_CALIPER],
                                            k->mass * body_material(k->body)->specific_heat);
}

static void link_rotor(corner *c)
{
    const mbl_rotor *r = &c->brake->rotor;
    double both = 2 * c->ring.area;
    for (int i = 0; i < 3; i++) {
        double half = 0.5 * (c->depth[i] + c->depth[i + 1]);
        link_nodes(c, MBL_FACE + i, MBL_FACE + i + 1, r->conductivity * both / half);
    }
    if (c->ring.vanes > 0) {
        /* half of the last layer, then a quarter of the gap along the vanes */
        double layer = r->conductivity * both / (0.5 * c->depth[3]);
        double vane = r->conductivity * both * c->ring.channels.solid / (0.25 * c->ring.gap);
        link_nodes(c, MBL_LAYER3, MBL_CORE, series(layer, vane));
    } else {
        double half = 0.5 * (c->depth[3] + c->depth[4]);
        link_nodes(c, MBL_LAYER3, MBL_CORE, r->conductivity * both / half);
    }
    double neck = r->construction == MBL_ONE_PIECE
                      ? r->conductivity * 2 * M_PI * c->hat_radius * hat_wall / hat_neck
                      : bobbin_conductance;
    link_nodes(c, MBL_LAYER3, MBL_HAT, neck);
    double mounting = 0.5 * M_PI * c->hat_radius * c->hat_radius; /* half of the hat's floor */
    link_nodes(c, MBL_HAT, MBL_HUB, mounting_film * mounting);
}

static void link_pad(corner *c)
{
    for (int i = 0; i < 2; i++)
        link_nodes(c, MBL_PAD_FACE + i, MBL_PAD_FACE + i + 1, c->pad.chain[i]);
    link_nodes(c, MBL_PAD_BODY2, MBL_PLATE, c->pad.plate);
}

static void link_caliper(corner *c)
{
    const mbl_caliper *k = &c->brake->caliper;
    double bearing = bearing_film * piston_contact * c->pistons;
    link_nodes(c, MBL_PLATE, MBL_PISTON, bearing);
    /* a sliding caliper presses one pad with its own body, over as much area as its pistons do */
    double fingers = k->type == MBL_CALIPER_SLIDING ? bearing : 0.0;
    link_nodes(c, MBL_PLATE, MBL_CALIPER, abutment + fingers);
    double cup = piston_material(k->piston)->conductivity * c->bore_wall * piston_wall /
                 (0.5 * piston_length);
    double wetted = c->pistons + c->bore_wall * 0.5 * piston_length;
    link_nodes(c, MBL_PISTON, MBL_FLUID, series(cup, bore_film * wetted));
    link_nodes(c, MBL_PISTON, MBL_CALIPER, series(cup, seal_film * c->bore_wall * seal_land));
    link_nodes(c, MBL_FLUID, MBL_CALIPER, bore_film * (c->pistons + c->bore_wall * bore_depth));
}

static int law_of(corner *c, mbl_surface surface)
{
    film f = {&c->air, surface};
    if (c->films == NULL)
        return mbl_network_law(c->net, film_law, &f);
    mbl_digest key = mbl_film_key_of(&c->air, surface);
    const double *known = mbl_film_store_find(c->films, &key);
    if (known != NULL)
        return mbl_network_sampled(c->net, known);
    int law = mbl_network_law(c->net, film_law, &f);
    if (!c->net->failed)
        mbl_film_store_keep(c->films, &key, c->net->law[law]);
    return law;
}

static void cool_bodies(corner *c)
{
    const mbl_caliper *k = &c->brake->caliper;
    int law = law_of(c, MBL_SURFACE_CALIPER);
    double volume = k->mass * mbl_aluminium.density / body_material(k->body)->density;
    double area = body_area * pow(volume, 2.0 / 3.0);
    mbl_network_film(c->net, c->node[MBL_CALIPER], area, law, c->caliper_path);
    mbl_network_radiate(c->net, c->node[MBL_CALIPER], MBL_AMBIENT, paint * area, c->radiation);
    /* edges of friction material and plates */
    double plate_edge = pad_edge(&c->brake->pad) * c->brake->pad.plate_thickness;
    mbl_network_film(c->net, c->node[MBL_PAD_BODY2], c->pad.edge, law, c->caliper_path);
    mbl_network_film(c->net, c->node[MBL_PLATE], plate_edge, law, c->caliper_path);
    mbl_network_film(c->net, c->node[MBL_HUB], hub_area, law_of(c, MBL_SURFACE_HUB), c->convection);
    mbl_network_radiate(c->net, c->node[MBL_HUB], MBL_AMBIENT, paint * hub_area, c->radiation);
}

static void cool_rotor(corner *c)
{
    const mbl_rotor *r = &c->brake->rotor;
    int face = law_of(c, MBL_SURFACE_FACE);
    int rim_law = law_of(c, MBL_SURFACE_RIM);
    double bare = c->areas.faces - c->pads; /* the pads cover the rest */
    double seen = caliper_view * c->pads;   /* of the bare faces, by the caliper */
    mbl_network_film(c->net, c->node[MBL_FACE], bare, face, c->convection);
    mbl_network_radiate(c->net, c->node[MBL_FACE], MBL_AMBIENT, r->face_emissivity * (bare - seen),
                        c->radiation);
    mbl_network_radiate(c->net, c->node[MBL_FACE], c->node[MBL_CALIPER],
                        seen / (1 / r->face_emissivity + 1 / paint - 1), -1);
    mbl_network_radiate(c->net, c->node[MBL_FACE], c->node[MBL_PAD_FACE],
                        c->pads / (1 / r->face_emissivity + 1 / paint - 1), -1);
    const mbl_rotor_areas *area = &c->areas;
    mbl_network_film(c->net, c->node[MBL_LAYER3], area->rim, rim_law, c->convection);
    mbl_network_radiate(c->net, c->node[MBL_LAYER3], MBL_AMBIENT, r->emissivity * area->rim,
                        c->radiation);
    mbl_network_film(c->net, c->node[MBL_HAT], area->hat, rim_law, c->convection);
    mbl_network_radiate(c->net, c->node[MBL_HAT], MBL_AMBIENT, r->emissivity * area->hat,
                        c->radiation);
    if (c->ring.vanes == 0)
        return;
    int vane = law_of(c, MBL_SURFACE_VANES);
    mbl_network_film(c->net, c->node[MBL_LAYER3], area->walls, vane, c->vanes_path);
    mbl_network_film(c->net, c->node[MBL_CORE], area->sides, vane, c->vanes_path);
    /* channel walls see each other: only the openings radiate */
    mbl_network_radiate(c->net, c->node[MBL_CORE], MBL_AMBIENT, r->emissivity * area->openings,
                        c->radiation);
}

static void rub(corner *c, int axle, const mbl_distribution *d)
{
    const mbl_brake *b = c->brake;
    mbl_contact_spec contact = {
        .rotor = c->node[MBL_FACE],
        .pad = c->node[MBL_PAD_FACE],
        .core = c->node[MBL_CORE],
        .face = {.area = c->pads,
                 .k_rotor = b->rotor.conductivity,
                 .k_pad = b->pad.conductivity,
                 .rotor_half = 0.5 * c->depth[0] / (b->rotor.conductivity * 2 * c->ring.area),
                 .pad_half = c->pad.half},
        .gain = mbl_axle_gain(b, c->air.tyre_radius),
        .film_per_pascal = b->pad.contact * 1e-6 * mbl_caliper_area(&b->caliper) / b->pad.area,
        .gap_film = MBL_PAD_GAP_FILM,
        .share = axle == 0 ? 1.0 : d->rear,
        .slope = axle == 0 ? 1.0 : d->slope,
        .wears = &b->pad,
        .condition = mbl_pad_condition(&b->pad),
        .friction = b->pad.friction,
        .speed_effect = b->pad.speed_effect,
        .pressure_effect = b->pad.pressure_effect};
    mbl_network_contact(c->net, &contact);
}

/* Where the ledger counts the heat of what is worn off. */
static const char *worn_path(int axle, char path[MBL_NAME_MAX])
{
    snprintf(path, MBL_NAME_MAX, "%s.worn pads", mbl_axle_word(axle));
    return path;
}

static void build(mbl_network *net, int axle, const mbl_car *car, const mbl_distribution *d,
                  double ambient, double p, mbl_film_store *films)
{
    const mbl_brake *brake = mbl_car_brake(car, axle);
    double tyre_radius = car->tyre.radius;
    mbl_film_memo memo = {0};
    corner c = {
        .net = net,
        .brake = brake,
        .films = films,
        .air = {
            .brake = brake, .tyre_radius = tyre_radius, .ambient = ambient, .p = p, .memo = &memo}};
    measure(&c);
    c.air.vanes = c.ring.channels;
    char names[MBL_CORNER_NODES][MBL_NAME_MAX];
    for (int i = 0; i < MBL_CORNER_NODES; i++)
        snprintf(names[i], MBL_NAME_MAX, "%s.%s", mbl_axle_word(axle),
                 mbl_corner_key((mbl_corner_node)i));
    char path[MBL_NAME_MAX];
    static const char *const ways[] = {"convection", "vanes", "caliper", "radiation"};
    int *path_of[] = {&c.convection, &c.vanes_path, &c.caliper_path, &c.radiation};
    for (int i = 0; i < 4; i++) {
        snprintf(path, sizeof path, "%s.%s", mbl_axle_word(axle), ways[i]);
        *path_of[i] = mbl_network_path(net, path);
    }
    add_rotor_nodes(&c, names);
    add_pad_nodes(&c, names);
    add_caliper_nodes(&c, names);
    link_rotor(&c);
    link_pad(&c);
    link_caliper(&c);
    cool_rotor(&c);
    cool_bodies(&c);
    rub(&c, axle, d);
    mbl_network_path(net, worn_path(axle, path));
}

/* Node of one end of a link of the user's own: MBL_AMBIENT, a node of the corner, or of `extra`. */
static mbl_status end_node(const mbl_brake *b, int axle, const char *name, int first_extra,
                           int *node, mbl_error *err)
{
    const char *known[MBL_CORNER_NODES + MBL_EXTRA_NODES + 1];
    size_t n = 0;
    known[n++] = "ambient";
    for (int i = 0; i < MBL_CORNER_NODES; i++)
        known[n++] = mbl_corner_key((mbl_corner_node)i);
    for (size_t i = 0; i < b->nodes.n; i++)
        known[n++] = b->nodes.v[i].name;
    for (size_t i = 0; i < n; i++) {
        if (strcmp(known[i], name) != 0)
            continue;
        int k = (int)i - 1;
        *node = k < 0                  ? (int)MBL_AMBIENT
                : k < MBL_CORNER_NODES ? mbl_corner_index(axle, (mbl_corner_node)k)
                                       : first_extra + k - MBL_CORNER_NODES;
        return MBL_OK;
    }
    const char *meant = mbl_nearest(name, known, n);
    return mbl_fail(err, MBL_INPUT, "no node \"%.40s\" in the corner%s%s%s", name,
                    meant != NULL ? "; did you mean \"" : "", meant != NULL ? meant : "",
                    meant != NULL ? "\"?" : "");
}

static mbl_status add_link(mbl_network *net, const mbl_brake *b, int axle,
                           const mbl_extra_link *link, int first_extra, mbl_error *err)
{
    int from = 0;
    int to = 0;
    mbl_status status = end_node(b, axle, link->from, first_extra, &from, err);
    if (status == MBL_OK && from == MBL_AMBIENT)
        status = mbl_fail(err, MBL_INPUT, "\"ambient\" is where heat goes to: put it under to");
    if (status != MBL_OK) {
        mbl_error_under(err, "from");
        return status;
    }
    status = end_node(b, axle, link->to, first_extra, &to, err);
    if (status == MBL_OK && from == to)
        status = mbl_fail(err, MBL_INPUT, "a link joins two different nodes");
    if (status != MBL_OK) {
        mbl_error_under(err, "to");
        return status;
    }
    if (to != MBL_AMBIENT) {
        mbl_network_link(net, from, to, link->conductance);
        return MBL_OK;
    }
    char path[MBL_NAME_MAX];
    snprintf(path, sizeof path, "%s.own links", mbl_axle_word(axle));
    mbl_network_lose(net, from, link->conductance, mbl_network_path(net, path));
    return MBL_OK;
}

/* Nodes and links of the user's own. */
static mbl_status build_own(mbl_network *net, int axle, const mbl_brake *b, mbl_error *err)
{
    int first = net->nnodes;
    for (size_t i = 0; i < b->nodes.n; i++) {
        char name[MBL_NAME_MAX];
        snprintf(name, sizeof name, "%s.%.24s", mbl_axle_word(axle), b->nodes.v[i].name);
        mbl_network_node(net, name, b->nodes.v[i].capacity);
    }
    for (size_t i = 0; i < b->links.n; i++) {
        mbl_status status = add_link(net, b, axle, &b->links.v[i], first, err);
        if (status == MBL_OK)
            continue;
        char where[48];
        snprintf(where, sizeof where, "car.%s.links[%zu]", mbl_axle_word(axle), i + 1);
        mbl_error_under(err, where);
        return status;
    }
    return MBL_OK;
}

mbl_status mbl_corner_build(mbl_network *net, const mbl_car *car, double ambient, double p,
                            mbl_film_store *films, mbl_error *err)
{
    mbl_distribution d = mbl_distribution_of(&car->pedal);
    net->knee = d.knee;
    build(net, 0, car, &d, ambient, p, films);
    build(net, 1, car, &d, ambient, p, films);
    MBL_TRY(build_own(net, 0, &car->front, err));
    return build_own(net, 1, &car->rear, err);
}

/* The link of a model between two nodes, or to the air by a film; its number. */
static int link_between(const mbl_model *m, mbl_link_kind kind, int from, int to)
{
    for (int k = 0; k < m->nlinks; k++) {
        const mbl_link_spec *l = &m->link[k];
        if (l->kind == kind && l->from == from && l->to == to)
            return k;
    }
    return -1;
}

double mbl_corner_pad_left(const mbl_block *b, int lane, int axle, const mbl_pad *pad)
{
    double worn = b->worn[axle * b->lanes + lane] / (2 * pad->area);
    double now = mbl_pad_thickness(pad);
    return fmax(now - worn, fmin(now, MBL_PAD_LEAST));
}

void mbl_corner_wear(mbl_block *b, int lane, int axle, const mbl_pad *pad)
{
    const mbl_model *m = b->model[lane];
    pad_values v = pad_values_of(pad, mbl_corner_pad_left(b, lane, axle, pad));
    char name[MBL_NAME_MAX];
    worn_path(axle, name);
    int path = 0;
    while (path < m->npaths - 1 && strcmp(m->path[path], name) != 0)
        path++;
    int face = mbl_corner_index(axle, MBL_PAD_FACE);
    int last = mbl_corner_index(axle, MBL_PAD_BODY2);
    int plate = mbl_corner_index(axle, MBL_PLATE);
    for (int i = 0; i < 3; i++)
        mbl_block_rescale(b, lane, face + i, v.capacity[i], path);
    for (int i = 0; i < 2; i++)
        b->value[link_between(m, MBL_LINK_FIXED, face + i, face + i + 1) * b->lanes + lane] =
            v.chain[i];
    b->value[link_between(m, MBL_LINK_FIXED, last, plate) * b->lanes + lane] = v.plate;
    b->value[link_between(m, MBL_LINK_FILM, last, MBL_AMBIENT) * b->lanes + lane] = v.edge;
    b->pad_half[axle * b->lanes + lane] = v.half;
}
