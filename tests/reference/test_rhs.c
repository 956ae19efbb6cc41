/* SPDX-License-Identifier: MIT */
/*
 * The heat flow into every node of a car, derived a second time from the description of the model
 * and the textbook formulas, and held against the engine's. No law of the engine is called here:
 * only the numbers of the car are shared. Constants of common practice are written out again, so
 * a slip in either copy shows.
 *
 * Temperatures and speeds lie on the knots of the engine's tables (every 50 K from 250 K for
 * films, 5 K for friction, 2 m/s for speed), where a table is the law itself.
 */
#include "reference/bench.h"
#include "support/coupe.h"

enum { NODES = MBL_AXLES * MBL_CORNER_NODES };

/* ---- air, once more ---- */

typedef struct gas {
    double nu, k, rho, cp, Pr;
} gas;

/* Sutherland with the constants for air, ideal gas; specific heat 1006 to 300 K, 1093 at 800 K. */
static gas air_near(double T_surface, double T_air, double p)
{
    double T = (T_surface + T_air) / 2;
    gas a;
    double ratio = pow(T / 273.15, 1.5);
    double mu = 1.716e-5 * ratio * (273.15 + 110.4) / (T + 110.4);
    a.k = 0.0241 * ratio * (273.15 + 194) / (T + 194);
    a.rho = p / 287.05 / T;
    a.nu = mu / a.rho;
    a.cp = T <= 300 ? 1006 : 1006 + 87 * (T - 300) / 500;
    a.Pr = mu * a.cp / a.k;
    return a;
}

/* From one law to another between two Reynolds numbers: a smooth step in log Re. */
static double handover(double Re, double from, double to)
{
    double x = (log(Re) - log(from)) / (log(to) - log(from));
    x = x < 0 ? 0 : x > 1 ? 1 : x;
    return x * x * (3 - 2 * x);
}

static double cubes(double a, double b, double c)
{
    return pow(a * a * a + b * b * b + c * c * c, 1.0 / 3);
}

/* Churchill and Chu 1975, upright plate of height L, and 0.7 of it for the wheel arch. */
static double film_at_rest(double T, double T_air, double L, double p)
{
    gas a = air_near(T, T_air, p);
    double beta = 2 / (T + T_air);
    double Gr = 9.80665 * beta * fabs(T - T_air) * pow(L, 3) / (a.nu * a.nu);
    double Nu = pow(
        0.825 + 0.387 * pow(Gr * a.Pr, 1.0 / 6) / pow(1 + pow(0.492 / a.Pr, 0.5625), 8.0 / 27), 2);
    return 0.7 * Nu * a.k / L;
}

/* Limpert's solid rotor in the flow of the car. */
static double film_in_flow(double v, double D, gas a)
{
    double Re = v * D / a.nu;
    if (v == 0)
        return 0;
    double s = handover(Re, 2.0e5, 2.9e5);
    double Nu = (1 - s) * 0.70 * pow(Re, 0.55) + s * 0.04 * pow(Re, 0.8);
    return Nu * a.k / D;
}

/* Cobb and Saunders' disc: laminar inside the radius where omega r^2 / nu is 2.4e5. */
static double film_turning(double omega, double R, gas a)
{
    if (omega == 0)
        return 0;
    double laminar = 0.36 * sqrt(omega / a.nu) * a.k; /* h, the same at every radius */
    double r_c = sqrt(2.4e5 * a.nu / omega);
    if (r_c >= R)
        return laminar;
    /* outside: mean 0.015 Re^0.8 of a whole disc is local 1.3 times that at its rim, as r^0.6 */
    double whole = 0.015 * pow(omega * R * R / a.nu, 0.8) * a.k / R;
    double outer = whole * (pow(R, 2.6) - pow(r_c, 2.6)) / pow(R, 2.6); /* share of R^2 */
    return laminar * r_c * r_c / (R * R) + outer;
}

/* Churchill and Bernstein 1977, cylinder of width D across a flow. */
static double film_across(double v, double D, gas a)
{
    if (v == 0)
        return 0;
    double Re = v * D / a.nu;
    double Nu = 0.3 + 0.62 * pow(Re, 0.5) * pow(a.Pr, 1.0 / 3) /
                          pow(1 + pow(0.4 / a.Pr, 2.0 / 3), 0.25) *
                          pow(1 + pow(Re / 282000, 5.0 / 8), 0.8);
    return Nu * a.k / D;
}

/* ---- one corner ---- */

/* What is measured on a corner before anything flows. All SI. */
typedef struct shape {
    double D, H, ring; /* rotor diameter, depth of the ring, area of one face */
    double cheek, gap; /* one cheek (half of a solid ring), channel */
    int vanes;
    double pads;     /* rubbing area of both pads */
    double pad_left; /* thickness of friction material left */
    double bores;    /* area of all pistons of the caliper */
    double walls;    /* circumference of all pistons */
    double hat;      /* radius of the hat */
} shape;

static shape shape_of(const mbl_brake *b)
{
    const mbl_rotor *r = &b->rotor;
    shape s = {.D = r->diameter};
    s.H = isnan(r->ring_height) ? 0.155 * s.D : r->ring_height;
    s.ring = M_PI * s.H * (s.D - s.H); /* circumference at the middle, times the depth */
    s.vanes = r->vanes >= 0 ? r->vanes : r->thickness < 0.016 ? 0 : 40;
    double volume = r->ring_mass / 7200;
    if (s.vanes == 0) {
        s.cheek = volume / s.ring / 2;
    } else {
        /* two cheeks, and iron in a quarter of the channel between: V = A (2c + (t - 2c)/4) */
        s.cheek = (volume / s.ring - r->thickness / 4) / 1.5;
        if (s.cheek < 0.12 * r->thickness)
            s.cheek = 0.12 * r->thickness;
        if (s.cheek > 0.47 * r->thickness)
            s.cheek = 0.47 * r->thickness;
        s.gap = r->thickness - 2 * s.cheek;
    }
    s.pads = b->pad.area + b->pad.area;
    s.pad_left = isnan(b->pad.thickness_now) ? b->pad.thickness : b->pad.thickness_now;
    for (size_t i = 0; i < b->caliper.pistons.n; i++) {
        double d = b->caliper.pistons.v[i];
        double of_this_size = b->caliper.type == MBL_CALIPER_SLIDING ? 1 : 2;
        s.bores += of_this_size * M_PI * d * d / 4;
        s.walls += of_this_size * M_PI * d;
    }
    s.hat = s.D / 2 - s.H - 0.005;
    return s;
}

/* The state of a corner's surroundings. */
typedef struct weather {
    double v, omega, T_air, p;
} weather;

static double face_film(const mbl_brake *b, const shape *s, const weather *w, double T)
{
    gas a = air_near(T, w->T_air, w->p);
    return cubes(film_in_flow(b->airflow * w->v, s->D, a), film_turning(w->omega, s->D / 2, a),
                 film_at_rest(T, w->T_air, s->D, w->p));
}

/* Caliper, pads' edges and hub: 0.3 of the flow at the brake across a body of 90 mm. */
static double body_film(const mbl_brake *b, const weather *w, double T)
{
    gas a = air_near(T, w->T_air, w->p);
    return cubes(film_across(0.3 * b->airflow * w->v, 0.09, a),
                 film_at_rest(T, w->T_air, 0.09, w->p), 0);
}

/* Length, walls and hydraulic diameter of the channels; Limpert's channel law; what air carries. */
static double vane_film(const shape *s, const weather *w, double T)
{
    double still = 0.5 * film_at_rest(T, w->T_air, s->D, w->p);
    if (w->omega == 0)
        return still;
    gas a = air_near(T, w->T_air, w->p);
    double d_in = s->D - 2 * s->H;
    double length = s->H;
    double width = 0.75 * M_PI * (s->D - s->H) / s->vanes;
    double d = 4 * (width * s->gap) / (2 * (width + s->gap)); /* 4 area / perimeter */
    double inlet = w->omega * sqrt(s->D * s->D / 4 - d_in * d_in / 4);
    double v = 0.5 * inlet * (1 + d_in / s->D) / 2; /* pumping of a half; mean of in and out */
    double Re = v * d / a.nu;
    double low = 1.86 * pow(Re * a.Pr, 1.0 / 3) * pow(d / length, 0.33);
    double high = 0.023 * (1 + pow(d / length, 0.67)) * pow(Re, 0.8) * pow(a.Pr, 0.33);
    double share = handover(Re, 6e3, 1e4);
    double h = ((1 - share) * low + share * high) * a.k / d;
    /* air entering at T_air leaves having gained (T - T_air)(1 - exp(-N)) */
    double wall = 2 * 0.75 * s->ring + 2 * s->vanes * s->gap * length;
    double flow = a.rho * v * width * s->gap * s->vanes * a.cp;
    double warmed = flow * (1 - exp(-h * wall / flow)) / wall;
    return cubes(warmed, still, 0);
}

static const double sigma = 5.670374e-8;

typedef struct corner_sum {
    double q[MBL_CORNER_NODES];
    double lost; /* W to the air */
} corner_sum;

static void pass(corner_sum *c, const double *T, int a, int b, double conductance)
{
    double flow = conductance * (T[a] - T[b]);
    c->q[a] -= flow;
    c->q[b] += flow;
}

static void lose(corner_sum *c, int a, double watts)
{
    c->q[a] -= watts;
    c->lost += watts;
}

static double black(double T)
{
    return sigma * T * T * T * T;
}

/* Two facing grey surfaces of area A. */
static void exchange(corner_sum *c, const double *T, int a, int b, double A, double ea, double eb)
{
    double watts = A * (black(T[a]) - black(T[b])) / (1 / ea + 1 / eb - 1);
    c->q[a] -= watts;
    c->q[b] += watts;
}

static void rotor_flows(corner_sum *c, const mbl_brake *b, const shape *s, const double *T)
{
    static const double vented[] = {0.06, 0.14, 0.28, 0.52};
    static const double solid[] = {0.06, 0.12, 0.20, 0.28, 0.34};
    double k = b->rotor.conductivity;
    double A = 2 * s->ring;
    const double *share = s->vanes > 0 ? vented : solid;
    int layers = s->vanes > 0 ? 4 : 5;
    for (int i = 0; i + 1 < layers; i++) {
        double between = s->cheek * (share[i] + share[i + 1]) / 2; /* centre to centre */
        pass(c, T, MBL_FACE + i, MBL_FACE + i + 1, k * A / between);
    }
    if (s->vanes > 0) {
        /* to the vanes: half the last layer, then a quarter of the gap through a quarter of A */
        double R = 0.5 * 0.52 * s->cheek / (k * A) + 0.25 * s->gap / (k * A * 0.25);
        pass(c, T, MBL_LAYER3, MBL_CORE, 1 / R);
    }
    bool one_piece = b->rotor.construction == MBL_ONE_PIECE;
    /* a wall of 7 mm around the hat, 20 mm long; bobbins pass 3 W/K */
    pass(c, T, MBL_LAYER3, MBL_HAT, one_piece ? k * 2 * M_PI * s->hat * 0.007 / 0.020 : 3);
    /* half of the hat's floor on the hub at 1500 W/m2K */
    pass(c, T, MBL_HAT, MBL_HUB, 1500 * M_PI * s->hat * s->hat / 2);
}

static double metal(int piston, double steel, double aluminium, double titanium)
{
    return piston == MBL_PISTON_STEEL       ? steel
           : piston == MBL_PISTON_ALUMINIUM ? aluminium
                                            : titanium;
}

static void pad_and_caliper_flows(corner_sum *c, const mbl_brake *b, const shape *s,
                                  const double *T)
{
    double kp = b->pad.conductivity;
    double t = s->pad_left;
    /* layers of 5, 25 and 70 %: centres at 2.5, 17.5 and 65 % of the thickness */
    pass(c, T, MBL_PAD_FACE, MBL_PAD_BODY1, kp * s->pads / (0.15 * t));
    pass(c, T, MBL_PAD_BODY1, MBL_PAD_BODY2, kp * s->pads / (0.475 * t));
    double R = 0.35 * t / (kp * s->pads) + 0.5 * b->pad.plate_thickness / (45 * s->pads);
    pass(c, T, MBL_PAD_BODY2, MBL_PLATE, 1 / R);

    /* pistons bear on 30 % of their faces at 2000 W/m2K; a sliding body presses the other pad */
    double bearing = 2000 * 0.30 * s->bores;
    pass(c, T, MBL_PLATE, MBL_PISTON, bearing);
    pass(c, T, MBL_PLATE, MBL_CALIPER, b->caliper.type == MBL_CALIPER_SLIDING ? 3 + bearing : 3);
    /* cups of 30 mm with walls of 4 mm, half of it on the way; fluid 300, seals 800 W/m2K */
    double cup = 0.015 / (metal(b->caliper.piston, 45, 160, 9) * s->walls * 0.004);
    pass(c, T, MBL_PISTON, MBL_FLUID, 1 / (cup + 1 / (300 * (s->bores + s->walls * 0.015))));
    pass(c, T, MBL_PISTON, MBL_CALIPER, 1 / (cup + 1 / (800 * s->walls * 0.015)));
    pass(c, T, MBL_FLUID, MBL_CALIPER, 300 * (s->bores + s->walls * 0.018));
}

static void cooling_flows(corner_sum *c, const mbl_brake *b, const shape *s, const weather *w,
                          const double *T)
{
    const mbl_rotor *r = &b->rotor;
    const double paint = 0.85;
    double bare = 2 * s->ring - s->pads;
    double caliper_sees = 0.3 * s->pads;
    double rim = M_PI * s->D * (r->thickness - s->gap);
    double hat = M_PI * s->hat * s->hat + 2 * M_PI * s->hat * 0.045;
    struct {
        int node;
        double area;
    } faces[] = {{MBL_FACE, bare}, {MBL_LAYER3, rim}, {MBL_HAT, hat}};
    for (int i = 0; i < 3; i++) {
        double Tn = T[faces[i].node];
        lose(c, faces[i].node, faces[i].area * face_film(b, s, w, Tn) * (Tn - w->T_air));
    }
    double sky = black(w->T_air);
    lose(c, MBL_FACE, r->face_emissivity * (bare - caliper_sees) * (black(T[MBL_FACE]) - sky));
    lose(c, MBL_LAYER3, r->emissivity * rim * (black(T[MBL_LAYER3]) - sky));
    lose(c, MBL_HAT, r->emissivity * hat * (black(T[MBL_HAT]) - sky));
    exchange(c, T, MBL_FACE, MBL_CALIPER, caliper_sees, r->face_emissivity, paint);
    exchange(c, T, MBL_FACE, MBL_PAD_FACE, s->pads, r->face_emissivity, paint);
    if (s->vanes > 0) {
        double cheeks = 2 * 0.75 * s->ring;
        double sides = 2 * s->vanes * s->gap * s->H;
        lose(c, MBL_LAYER3, cheeks * vane_film(s, w, T[MBL_LAYER3]) * (T[MBL_LAYER3] - w->T_air));
        lose(c, MBL_CORE, sides * vane_film(s, w, T[MBL_CORE]) * (T[MBL_CORE] - w->T_air));
        double openings = 0.75 * M_PI * s->gap * (s->D + s->D - 2 * s->H);
        lose(c, MBL_CORE, r->emissivity * openings * (black(T[MBL_CORE]) - sky));
    }
    /* a body of aluminium has 0.045 m2 per kg^(2/3); one of iron that of the same volume */
    double as_aluminium =
        b->caliper.body == MBL_BODY_IRON ? b->caliper.mass * 2700 / 7200 : b->caliper.mass;
    double body = 0.045 * pow(as_aluminium, 2.0 / 3);
    double perimeter = 2 * 2.5 * sqrt(b->pad.area); /* both pads, cooled edges of each */
    struct {
        int node;
        double area;
    } bodies[] = {{MBL_CALIPER, body},
                  {MBL_PAD_BODY2, perimeter * 0.7 * s->pad_left},
                  {MBL_PLATE, perimeter * b->pad.plate_thickness},
                  {MBL_HUB, 0.08}};
    for (int i = 0; i < 4; i++) {
        double Tn = T[bodies[i].node];
        lose(c, bodies[i].node, bodies[i].area * body_film(b, w, Tn) * (Tn - w->T_air));
    }
    lose(c, MBL_CALIPER, paint * body * (black(T[MBL_CALIPER]) - sky));
    lose(c, MBL_HUB, paint * 0.08 * (black(T[MBL_HUB]) - sky));
}

/* ---- braking ---- */

static double friction(const mbl_pad *pad, double T)
{
    const mbl_curve *f = &pad->friction;
    size_t i = 1;
    if (T <= f->x[0])
        return f->y[0];
    while (i < f->n && T > f->x[i])
        i++;
    if (i == f->n)
        return f->y[f->n - 1];
    double share = (T - f->x[i - 1]) / (f->x[i] - f->x[i - 1]);
    return (1 - share) * f->y[i - 1] + share * f->y[i];
}

/* Area that one pad is pressed by. */
static double pressing(const mbl_brake *b)
{
    double area = 0;
    for (size_t i = 0; i < b->caliper.pistons.n; i++)
        area += M_PI * b->caliper.pistons.v[i] * b->caliper.pistons.v[i] / 4;
    return area;
}

/* Torque of one wheel per pressure: two faces. */
static double torque_per_pascal(const mbl_brake *b, double T_pad)
{
    double r = isnan(b->effective_radius) ? b->rotor.diameter / 2 - b->pad.height / 2
                                          : b->effective_radius;
    return 2 * friction(&b->pad, T_pad) * pressing(b) * r;
}

/*
 * Heat Q between two faces at T_r and T_p: with R_r and R_p the resistances to the first layers,
 * the interface is at T_i with (T_i - T_r)/R_r + (T_i - T_p)/R_p = Q.
 */
static void rub(corner_sum *c, const mbl_brake *b, const shape *s, const double *T, double Q,
                double pressure)
{
    double kr = b->rotor.conductivity;
    double kp = b->pad.conductivity;
    double contact_pressure = pressure * pressing(b) / b->pad.area;
    double h = 150 + b->pad.contact * contact_pressure / 1e6;
    /* of the layer's resistance 1/(h A) each side has the share the other conducts */
    double layer = 1 / (h * s->pads);
    double R_r = layer * kp / (kr + kp) + 0.5 * 0.06 * s->cheek / (kr * 2 * s->ring);
    double R_p = layer * kr / (kr + kp) + 0.5 * 0.05 * s->pad_left / (kp * s->pads);
    double T_i = (Q + T[MBL_FACE] / R_r + T[MBL_PAD_FACE] / R_p) / (1 / R_r + 1 / R_p);
    c->q[MBL_FACE] += (T_i - T[MBL_FACE]) / R_r;
    c->q[MBL_PAD_FACE] += (T_i - T[MBL_PAD_FACE]) / R_p;
}

/* Both axles. Returns the line pressure. */
static double derive(const mbl_car *car, const weather *w, double power, const double *T, double *q,
                     double *lost)
{
    const mbl_brake *brakes[] = {&car->front, &car->rear};
    double torque[2];
    for (int i = 0; i < 2; i++)
        torque[i] = torque_per_pascal(brakes[i], T[i * MBL_CORNER_NODES + MBL_PAD_FACE]);
    /* four wheels: P = omega x sum of torques x p */
    double omega = fmax(w->v, 0.5) / car->tyre.radius;
    double pressure = power / (2 * omega * (torque[0] + torque[1]));
    *lost = 0;
    for (int i = 0; i < 2; i++) {
        const double *Ti = T + i * MBL_CORNER_NODES;
        shape s = shape_of(brakes[i]);
        corner_sum c = {{0}, 0};
        rotor_flows(&c, brakes[i], &s, Ti);
        pad_and_caliper_flows(&c, brakes[i], &s, Ti);
        cooling_flows(&c, brakes[i], &s, w, Ti);
        double wheel = 0.5 * power * torque[i] / (torque[0] + torque[1]);
        rub(&c, brakes[i], &s, Ti, wheel, pressure);
        memcpy(q + i * MBL_CORNER_NODES, c.q, sizeof c.q);
        *lost += c.lost;
    }
    return pressure;
}

/* ---- against the engine ---- */

static double compare(const mbl_car *car, const weather *w, double power, const double *T)
{
    mbl_network net;
    mbl_network_init(&net, &mbl_alloc_libc);
    mbl_corner_build(&net, car, w->T_air, w->p);
    mbl_block *b = bench_block(&net, w->T_air);
    for (int i = 0; i < NODES; i++)
        mbl_block_set(b, 0, i, T[i]);
    double got[NODES];
    double want[NODES];
    double lost;
    mbl_block_flows(b, w->v, power, NULL, got);
    double pressure = derive(car, w, power, T, want, &lost);
    double scale = fmax(0.5 * power, 1);
    for (int i = 0; i < NODES; i++)
        scale = fmax(scale, fabs(want[i]));
    double worst = 0;
    for (int i = 0; i < NODES; i++) {
        double off = fabs(got[i] - want[i]) / scale;
        if (!(off <= 1e-9))
            fail_msg("%s at %g m/s, %g W: %.12g W, derived %.12g W", b->model[0]->node[i].name,
                     w->v, power, got[i], want[i]);
        worst = fmax(worst, off);
    }
    assert_near(b->pressure[0], pressure, 1e-9 * (pressure + 1));
    /* what goes in is half the power less what is lost: the derivation keeps its own books */
    double sum = lost - 0.5 * power;
    for (int i = 0; i < NODES; i++)
        sum += want[i];
    assert_near(sum, 0, 1e-10 * scale);
    mbl_block_free(b);
    return worst;
}

/* A temperature for every node: `base` and `spread` steps of 50 K in no order. */
static void mix(double T[NODES], double base, int spread, int turn)
{
    for (int i = 0; i < NODES; i++)
        T[i] = base + 50.0 * ((i * 7 + turn * 3) % spread);
}

static void over_states(const mbl_car *car, const char *what)
{
    static const double speeds[] = {0, 2, 10, 24, 40, 66, 100};
    double worst = 0;
    for (size_t i = 0; i < sizeof speeds / sizeof speeds[0]; i++) {
        for (int turn = 0; turn < 3; turn++) {
            double T[NODES];
            weather w = {.v = speeds[i],
                         .omega = speeds[i] / car->tyre.radius,
                         .T_air = 290 + 10 * turn,
                         .p = 101325 - 9000 * turn};
            mix(T, 300, 5 + 6 * turn, turn);
            worst = fmax(worst, compare(car, &w, 0, T));
            worst = fmax(worst, compare(car, &w, 6000 * speeds[i], T));
            worst = fmax(worst, compare(car, &w, 15000 * speeds[i], T));
        }
    }
    printf("%s: worst disagreement %.1e of the largest flow\n", what, worst);
}

static void the_coupes_flows_are_those_of_a_second_derivation(void **state)
{
    (void)state;
    mbl_car car = test_coupe();
    over_states(&car, "coupe");
}

/* What the coupe does not have: a solid ring, sliding calipers of iron, other pistons, radius. */
static void so_are_those_of_a_car_with_the_other_choices(void **state)
{
    (void)state;
    mbl_car car = test_coupe();
    car.rear.rotor.thickness = 0.012;
    car.rear.rotor.ring_mass = 4.6;
    car.rear.rotor.vanes = 0;
    car.rear.caliper.type = MBL_CALIPER_SLIDING;
    car.rear.caliper.body = MBL_BODY_IRON;
    car.rear.caliper.piston = MBL_PISTON_ALUMINIUM;
    car.rear.caliper.pistons = (mbl_numbers){1, {0.041}};
    car.rear.effective_radius = 0.137;
    car.front.rotor.construction = MBL_ONE_PIECE;
    car.front.rotor.ring_height = 0.052;
    car.front.rotor.ring_mass = 8.9;
    car.front.rotor.vanes = -1;
    car.front.caliper.piston = MBL_PISTON_TITANIUM;
    car.front.pad.thickness_now = NAN;
    car.front.airflow = 0.4;
    over_states(&car, "other choices");
}

/* Rings at both ends of the mass that fits their size. */
static void so_are_those_of_very_light_and_very_heavy_rings(void **state)
{
    (void)state;
    mbl_car car = test_coupe();
    car.front.rotor.ring_mass = 4.2; /* of 11.9 kg of solid iron */
    car.rear.rotor.ring_mass = 8.8;  /* of 9.0 kg */
    over_states(&car, "light and heavy");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_coupes_flows_are_those_of_a_second_derivation),
        cmocka_unit_test(so_are_those_of_a_car_with_the_other_choices),
        cmocka_unit_test(so_are_those_of_very_light_and_very_heavy_rings),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
