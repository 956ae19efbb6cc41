/* SPDX-License-Identifier: MIT */
/*
 * Geometry and materials to capacities and conductances. A shop knows diameters and masses; the
 * rest of a corner is assumed here, each assumption named once, below. Those without a source
 * are common practice: they set how fast heat reaches caliper and fluid, and a reading taken at
 * the track outranks them.
 */
#include "heat/corner.h"

#include "heat/cooling.h"

#include <math.h>
#include <stdio.h>

/* Common practice, no source, unless a line says otherwise. */
static const double vane_share = 0.25;        /* of the channel layer that is iron */
static const double pumping = 0.5;            /* of the ideal speed in the vanes; see cooling.h */
static const double hat_height = 0.045;       /* m */
static const double hat_inset = 0.005;        /* m from the ring's inner radius */
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
static const double body_flow = 0.3;    /* of the car's speed, at caliper and hub in a wheel */
static const double body_width = 0.09;  /* m, a caliper across the flow */
static const double body_area = 0.045;  /* m2 of caliper per kg^(2/3) of aluminium */
static const double caliper_view = 0.3; /* of the area under the pads that sees the caliper */
static const double still_share = 0.7;  /* of textbook natural convection in a wheel arch */
static const double paint = 0.85;       /* emissivity of caliper, pads' edges and hub */

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

mbl_ring mbl_ring_of(const mbl_rotor *r)
{
    double inner = r->diameter - 2 * mbl_rotor_ring_height(r);
    mbl_ring ring = {.area = M_PI / 4 * (r->diameter * r->diameter - inner * inner)};
    double iron = r->ring_mass / (MBL_IRON_DENSITY * ring.area); /* m, both cheeks and vanes */
    int vanes = mbl_rotor_vanes(r);
    if (vanes == 0) {
        ring.cheek = 0.5 * iron;
        return ring;
    }
    double t = r->thickness;
    double cheek = 0.5 * (iron - vane_share * t) / (1.0 - vane_share);
    /* a mass at the edge of what the size allows still leaves a channel and a cheek */
    ring.cheek = fmin(fmax(cheek, 0.12 * t), 0.47 * t);
    ring.gap = t - 2 * ring.cheek;
    ring.vanes = vanes;
    ring.channels = (mbl_vanes){r->diameter, inner, vanes, ring.gap, vane_share};
    return ring;
}

void mbl_ring_layers(const mbl_ring *ring, double depth[5])
{
    /* thin where the heat comes in; the error of these shares against exact slabs is in
     * docs/model.md, section 4 */
    static const double vented[5] = {0.06, 0.14, 0.28, 0.52, 0.0};
    static const double solid[5] = {0.06, 0.12, 0.20, 0.28, 0.34};
    const double *share = ring->vanes > 0 ? vented : solid;
    for (int i = 0; i < 5; i++)
        depth[i] = share[i] * ring->cheek;
}

/* What the film laws of one corner need. */
typedef struct surroundings {
    double ambient, p;
    double airflow;     /* of the brake; see its definition */
    double tyre_radius; /* m */
    double length;      /* m: diameter of the disc, or width of the body */
    mbl_vanes vanes;
} surroundings;

static mbl_air film_air(const surroundings *s, double T)
{
    return mbl_air_at(0.5 * (T + s->ambient), s->p);
}

static double still(const surroundings *s, double T)
{
    return still_share * mbl_film_still(T, s->ambient, s->length, s->p);
}

/* Faces, rim and hat: the flow of the car, the disc's own turning, and still air. */
static double face_law(const void *ctx, double speed, double T)
{
    const surroundings *s = ctx;
    mbl_air air = film_air(s, T);
    double flow = mbl_film_disc_flow(s->airflow * speed, s->length, &air);
    double turning = mbl_film_disc_free(speed / s->tyre_radius, 0.5 * s->length, &air);
    return mbl_film_mixed(mbl_film_mixed(flow, turning), still(s, T));
}

static double vane_law(const void *ctx, double speed, double T)
{
    const surroundings *s = ctx;
    mbl_air air = film_air(s, T);
    double pumped = mbl_film_vanes(speed / s->tyre_radius, &s->vanes, pumping, &air);
    return mbl_film_mixed(pumped, 0.5 * still(s, T));
}

/* Caliper and hub: bodies across the flow. */
static double body_law(const void *ctx, double speed, double T)
{
    const surroundings *s = ctx;
    mbl_air air = film_air(s, T);
    return mbl_film_mixed(mbl_film_across(body_flow * s->airflow * speed, s->length, &air),
                          still(s, T));
}

/* One corner while it is being built. */
typedef struct corner {
    mbl_network *net;
    const mbl_brake *brake;
    surroundings air;
    mbl_ring ring;
    double depth[5];     /* m, rotor layers */
    double pad_depth[3]; /* m, pad layers */
    double pads;         /* m2, both pads */
    double pistons;      /* m2, faces of all pistons of the caliper */
    double bore_wall;    /* m, sum of circumferences of all pistons */
    double hat_radius;   /* m */
    int node[MBL_CORNER_NODES];
    int convection, radiation; /* paths of the ledger */
    int vanes_path, caliper_path;
} corner;

static void link_nodes(corner *c, int a, int b, double conductance)
{
    mbl_network_link(c->net, c->node[a], c->node[b], conductance);
}

static double series(double a, double b)
{
    return 1.0 / (1.0 / a + 1.0 / b);
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
    double t = isnan(b->pad.thickness_now) ? b->pad.thickness : b->pad.thickness_now;
    c->pad_depth[0] = 0.05 * t;
    c->pad_depth[1] = 0.25 * t;
    c->pad_depth[2] = 0.70 * t;
    c->pads = 2 * b->pad.area;
    int sides = b->caliper.type == MBL_CALIPER_FIXED ? 2 : 1;
    for (size_t i = 0; i < b->caliper.pistons.n; i++) {
        double d = b->caliper.pistons.v[i];
        c->pistons += sides * M_PI / 4 * d * d;
        c->bore_wall += sides * M_PI * d;
    }
    c->hat_radius = 0.5 * b->rotor.diameter - mbl_rotor_ring_height(&b->rotor) - hat_inset;
}

static double hat_area(const corner *c)
{
    double r = c->hat_radius;
    return M_PI * r * r + 2 * M_PI * r * hat_height;
}

static void add_rotor_nodes(corner *c, char names[][MBL_NAME_MAX])
{
    const mbl_rotor *r = &c->brake->rotor;
    double left = r->ring_mass;
    for (int i = 0; i < 5; i++) {
        bool vanes = i == 4 && c->ring.vanes > 0;
        double mass = 2 * c->ring.area * c->depth[i] * MBL_IRON_DENSITY;
        /* the vanes, or the last layer, take what is left, so that the ring has its mass */
        if (vanes || i == 4)
            mass = fmax(left, 0.01 * r->ring_mass);
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
            mbl_network_node(c->net, names[MBL_PAD_FACE + i],
                             c->pads * c->pad_depth[i] * p->density * p->specific_heat);
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
        double vane = r->conductivity * both * vane_share / (0.25 * c->ring.gap);
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
    const mbl_pad *p = &c->brake->pad;
    for (int i = 0; i < 2; i++) {
        double half = 0.5 * (c->pad_depth[i] + c->pad_depth[i + 1]);
        link_nodes(c, MBL_PAD_FACE + i, MBL_PAD_FACE + i + 1, p->conductivity * c->pads / half);
    }
    double body = p->conductivity * c->pads / (0.5 * c->pad_depth[2]);
    double plate = mbl_steel.conductivity * c->pads / (0.5 * p->plate_thickness);
    link_nodes(c, MBL_PAD_BODY2, MBL_PLATE, series(body, plate));
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

/* Body of the caliper with its pads across the flow; its own length replaces the disc's. */
static void cool_bodies(corner *c)
{
    const mbl_caliper *k = &c->brake->caliper;
    surroundings body = c->air;
    body.length = body_width;
    int law = mbl_network_law(c->net, body_law, &body);
    double volume = k->mass * mbl_aluminium.density / body_material(k->body)->density;
    double area = body_area * pow(volume, 2.0 / 3.0);
    mbl_network_film(c->net, c->node[MBL_CALIPER], area, law, c->caliper_path);
    mbl_network_radiate(c->net, c->node[MBL_CALIPER], MBL_AMBIENT, paint * area, c->radiation);
    /* edges of friction material and plates */
    double edge = 2 * 2.5 * sqrt(c->brake->pad.area);
    double body_edge = edge * c->pad_depth[2];
    double plate_edge = edge * c->brake->pad.plate_thickness;
    mbl_network_film(c->net, c->node[MBL_PAD_BODY2], body_edge, law, c->caliper_path);
    mbl_network_film(c->net, c->node[MBL_PLATE], plate_edge, law, c->caliper_path);
    mbl_network_film(c->net, c->node[MBL_HUB], hub_area, law, c->convection);
    mbl_network_radiate(c->net, c->node[MBL_HUB], MBL_AMBIENT, paint * hub_area, c->radiation);
}

static void cool_rotor(corner *c)
{
    const mbl_rotor *r = &c->brake->rotor;
    int face = mbl_network_law(c->net, face_law, &c->air);
    double bare = 2 * c->ring.area - c->pads; /* the pads cover the rest */
    double seen = caliper_view * c->pads;     /* of the bare faces, by the caliper */
    mbl_network_film(c->net, c->node[MBL_FACE], bare, face, c->convection);
    mbl_network_radiate(c->net, c->node[MBL_FACE], MBL_AMBIENT, r->face_emissivity * (bare - seen),
                        c->radiation);
    mbl_network_radiate(c->net, c->node[MBL_FACE], c->node[MBL_CALIPER],
                        seen / (1 / r->face_emissivity + 1 / paint - 1), -1);
    mbl_network_radiate(c->net, c->node[MBL_FACE], c->node[MBL_PAD_FACE],
                        c->pads / (1 / r->face_emissivity + 1 / paint - 1), -1);
    double rim = M_PI * r->diameter * (r->thickness - c->ring.gap);
    mbl_network_film(c->net, c->node[MBL_LAYER3], rim, face, c->convection);
    mbl_network_radiate(c->net, c->node[MBL_LAYER3], MBL_AMBIENT, r->emissivity * rim,
                        c->radiation);
    mbl_network_film(c->net, c->node[MBL_HAT], hat_area(c), face, c->convection);
    mbl_network_radiate(c->net, c->node[MBL_HAT], MBL_AMBIENT, r->emissivity * hat_area(c),
                        c->radiation);
    if (c->ring.vanes == 0)
        return;
    double walls;
    double sides;
    mbl_vanes_area(&c->ring.channels, &walls, &sides);
    int vane = mbl_network_law(c->net, vane_law, &c->air);
    mbl_network_film(c->net, c->node[MBL_LAYER3], walls, vane, c->vanes_path);
    mbl_network_film(c->net, c->node[MBL_CORE], sides, vane, c->vanes_path);
    /* channel walls see each other: only the openings radiate */
    double openings =
        M_PI * (r->diameter + c->ring.channels.inner) * c->ring.gap * (1 - vane_share);
    mbl_network_radiate(c->net, c->node[MBL_CORE], MBL_AMBIENT, r->emissivity * openings,
                        c->radiation);
}

static void rub(corner *c)
{
    const mbl_brake *b = c->brake;
    mbl_contact_spec contact = {
        .rotor = c->node[MBL_FACE],
        .pad = c->node[MBL_PAD_FACE],
        .face = {.area = c->pads,
                 .k_rotor = b->rotor.conductivity,
                 .k_pad = b->pad.conductivity,
                 .rotor_half = 0.5 * c->depth[0] / (b->rotor.conductivity * 2 * c->ring.area),
                 .pad_half = 0.5 * c->pad_depth[0] / (b->pad.conductivity * c->pads)},
        .gain = mbl_axle_gain(b, c->air.tyre_radius),
        .film_per_pascal = b->pad.contact * 1e-6 * mbl_caliper_area(&b->caliper) / b->pad.area,
        .gap_film = MBL_PAD_GAP_FILM,
        .friction = b->pad.friction};
    mbl_network_contact(c->net, &contact);
}

static void build(mbl_network *net, int axle, const mbl_brake *brake, double tyre_radius,
                  double ambient, double p)
{
    corner c = {.net = net,
                .brake = brake,
                .air = {.ambient = ambient,
                        .p = p,
                        .airflow = brake->airflow,
                        .tyre_radius = tyre_radius,
                        .length = brake->rotor.diameter}};
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
    rub(&c);
}

void mbl_corner_build(mbl_network *net, const mbl_car *car, double ambient, double p)
{
    build(net, 0, &car->front, car->tyre.radius, ambient, p);
    build(net, 1, &car->rear, car->tyre.radius, ambient, p);
}
