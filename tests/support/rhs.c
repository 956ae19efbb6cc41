/* SPDX-License-Identifier: MIT */
#include "support/rhs.h"

#include <math.h>
#include <string.h>

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

/* Churchill and Chu 1975, upright plate of height L; a wheel arch leaves a share of it. */
static double film_at_rest(double share, double T, double T_air, double L, double p)
{
    gas a = air_near(T, T_air, p);
    double beta = 2 / (T + T_air);
    double Gr = 9.80665 * beta * fabs(T - T_air) * pow(L, 3) / (a.nu * a.nu);
    double Nu = pow(
        0.825 + 0.387 * pow(Gr * a.Pr, 1.0 / 6) / pow(1 + pow(0.492 / a.Pr, 0.5625), 8.0 / 27), 2);
    return share * Nu * a.k / L;
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

/* ---- what blows on it ---- */

static double kind_of(int kind, double first, double second, double third)
{
    return kind == 0 ? first : kind == 1 ? second : third;
}

/* Haaland 1983, and 64/Re below Re 2000; a smooth step in log Re between 2000 and 4000. */
static double hose_factor(double Re)
{
    if (Re < 1)
        Re = 1;
    double s = handover(Re, 2000, 4000);
    double rough = s > 0 ? pow(-1.8 * log10(6.9 / Re), -2) : 0;
    return (1 - s) * 64 / Re + s * rough;
}

/*
 * Air speed in the hose: what the inlet takes in of the dynamic pressure, less that at the end,
 * is lost in the hose. The loss rises with the speed, so its root is bisected.
 */
static double hose_speed(const mbl_duct *d, const rhs_weather *w)
{
    double open = 1 - d->taped;
    double taken = isnan(d->recovery) ? kind_of(d->inlet, 0.45, 0.8, 0.95) : d->recovery;
    taken -= d->back_pressure;
    if (!d->present || w->v <= 0 || open <= 0 || taken <= 0)
        return 0;
    gas a = air_near(w->T_air, w->T_air, w->p);
    double contraction = pow(1 / open - 1, 2);
    double inlet = (0.3 + contraction) * pow(d->split, 2); /* it carries the air of all hoses */
    double least = kind_of(d->hose, 0, 0.08, 0.12);
    double low = 0;
    double high = w->v;
    for (int i = 0; i < 100; i++) {
        double v = 0.5 * (low + high);
        double f = fmax(least, hose_factor(v * d->bore / a.nu));
        double loss = inlet + 0.35 * d->bends + 1 + f * d->length / d->bore;
        if (v * v * loss > w->v * w->v * taken)
            high = v;
        else
            low = v;
    }
    return 0.5 * (low + high);
}

/* Where the air goes: to the vanes, over the faces, to the caliper; and what pumping is left. */
typedef struct arrives {
    double vanes, face, caliper, pump;
} arrives;

static arrives arrival(const mbl_brake *b, bool solid)
{
    arrives to = {0, 0, 0, 1};
    if (!b->duct.present)
        return to;
    if (b->duct.aim == MBL_AIM_EYE)
        to = (arrives){0.9, 0.02, 0, 0.3};
    if (b->duct.aim == MBL_AIM_OPEN_EYE)
        to = (arrives){0.4, 0.05, 0.05, 1};
    if (b->duct.aim == MBL_AIM_FACE)
        to = (arrives){0.05, 0.12, 0.05, 1};
    if (b->duct.aim == MBL_AIM_CALIPER)
        to = (arrives){0, 0.02, 0.5, 1};
    if (b->rotor.hat == MBL_HAT_INVERTED) {
        to.vanes /= 10;
        to.pump = 1;
    }
    if (solid) {
        to.face += to.vanes / 5;
        to.vanes = 0;
    }
    return to;
}

/* One corner and the air it stands in. */
typedef struct corner {
    const mbl_brake *b;
    rhs_weather w;
    double omega, hose; /* rad/s, m/s */
    shape s;
    arrives to;
} corner;

static corner corner_of(const mbl_brake *b, const rhs_weather *w, double tyre)
{
    corner c = {.b = b, .w = *w, .omega = w->v / tyre, .hose = hose_speed(&b->duct, w)};
    c.s = shape_of(b);
    c.to = arrival(b, c.s.vanes == 0);
    return c;
}

static double at_rest(const corner *c, double T, double L)
{
    return film_at_rest(c->b->still_air, T, c->w.T_air, L, c->w.p);
}

/* Rim and hat, and a face that no jet reaches. */
static double disc_film(const corner *c, double T)
{
    gas a = air_near(T, c->w.T_air, c->w.p);
    double D = c->s.D;
    return cubes(film_in_flow(c->b->airflow * c->w.v, D, a), film_turning(c->omega, D / 2, a),
                 at_rest(c, T, D));
}

/* A share of the faces has the jet on top. */
static double face_film(const corner *c, double T)
{
    gas a = air_near(T, c->w.T_air, c->w.p);
    double bare = disc_film(c, T);
    double blown = cubes(bare, film_in_flow(c->hose, c->s.D, a), 0);
    return (1 - c->to.face) * bare + c->to.face * blown;
}

/* Caliper, pads' edges and hub: 0.3 of the flow at the brake across a body of 90 mm. */
static double body_film(const corner *c, double jet, double T)
{
    gas a = air_near(T, c->w.T_air, c->w.p);
    return cubes(film_across(0.3 * c->b->airflow * c->w.v + jet, 0.09, a), at_rest(c, T, 0.09), 0);
}

/* Gnielinski 2013: Nusselt number of a duct, per its three ranges of Re. */
static double duct_nusselt(double Re, double Pr, double d, double length)
{
    if (Re > 2300 && Re < 4000) {
        double a = duct_nusselt(2300, Pr, d, length);
        double b = duct_nusselt(4000, Pr, d, length);
        return (a * (4000 - Re) + b * (Re - 2300)) / 1700;
    }
    if (Re <= 2300)
        return 1.86 * pow(Re * Pr * d / length, 1.0 / 3);
    double xi = pow(0.79 * log(Re) - 1.64, -2);
    double developed =
        xi / 8 * (Re - 1000) * Pr / (1 - 12.7 * sqrt(xi / 8) * (1 - pow(Pr, 2.0 / 3)));
    return developed + developed / pow(length / d, 2.0 / 3);
}

/* Length, walls and hydraulic diameter of the channels; the law of ducts; what air carries. */
static double vane_film(const corner *c, double T)
{
    const shape *s = &c->s;
    const mbl_rotor *r = &c->b->rotor;
    double still = 0.5 * at_rest(c, T, s->D);
    if (c->omega == 0)
        return still;
    gas a = air_near(T, c->w.T_air, c->w.p);
    double d_in = s->D - 2 * s->H;
    double length = s->H;
    double width = 0.75 * M_PI * (s->D - s->H) / s->vanes;
    double d = 4 * (width * s->gap) / (2 * (width + s->gap)); /* 4 area / perimeter */
    double section = width * s->gap * s->vanes;
    double pumping = r->pumping;
    if (isnan(pumping))
        pumping = kind_of(r->vane, 0.5, 0.65, 0.45) * (r->hat == MBL_HAT_INVERTED ? 0.7 : 1);
    double inlet = c->omega * sqrt(s->D * s->D / 4 - d_in * d_in / 4);
    double v = c->to.pump * pumping * inlet * (1 + d_in / s->D) / 2; /* mean of in and out */
    /* the duct's mass of cold air, as hot as the film */
    gas cold = air_near(c->w.T_air, c->w.T_air, c->w.p);
    double hoses = M_PI * pow(c->b->duct.bore, 2) / 4 * c->b->duct.hoses;
    if (c->hose > 0)
        v += c->to.vanes * c->hose * hoses * cold.rho / a.rho / section;
    double Re = v * d / a.nu;
    double h = duct_nusselt(Re, a.Pr, d, length) * a.k / d;
    /* air entering at T_air leaves having gained (T - T_air)(1 - exp(-N)) */
    double wall = 2 * 0.75 * s->ring + 2 * s->vanes * s->gap * length;
    double flow = a.rho * v * section * a.cp;
    double warmed = flow * (1 - exp(-h * wall / flow)) / wall;
    return cubes(warmed, still, 0);
}

/* ---- one corner's flows ---- */

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

/* A pad's face: 5 % of it, at least 0.3 mm, at most a third. */
static double skin_of(double t)
{
    double least = t < 0.9e-3 ? t / 3 : 0.3e-3;
    return t < 20 * least ? least : t / 20;
}

static void pad_and_caliper_flows(corner_sum *c, const mbl_brake *b, const shape *s,
                                  const double *T)
{
    double kp = b->pad.conductivity;
    double t = s->pad_left;
    /* the face, and 25 and 70 parts of what lies behind it; from centre to centre */
    double f = skin_of(t);
    double behind = t - f;
    pass(c, T, MBL_PAD_FACE, MBL_PAD_BODY1, kp * s->pads / (0.5 * f + 12.5 / 95 * behind));
    pass(c, T, MBL_PAD_BODY1, MBL_PAD_BODY2, kp * s->pads / (0.5 * behind));
    double R = 35. / 95 * behind / (kp * s->pads) + 0.5 * b->pad.plate_thickness / (45 * s->pads);
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

static void cooling_flows(corner_sum *c, const corner *at, const double *T)
{
    const mbl_brake *b = at->b;
    const shape *s = &at->s;
    const rhs_weather *w = &at->w;
    const mbl_rotor *r = &b->rotor;
    const double paint = 0.85;
    double bare = 2 * s->ring - s->pads;
    double caliper_sees = 0.3 * s->pads;
    double rim = M_PI * s->D * (r->thickness - s->gap);
    double hat = M_PI * s->hat * s->hat + 2 * M_PI * s->hat * 0.045;
    lose(c, MBL_FACE, bare * face_film(at, T[MBL_FACE]) * (T[MBL_FACE] - w->T_air));
    lose(c, MBL_LAYER3, rim * disc_film(at, T[MBL_LAYER3]) * (T[MBL_LAYER3] - w->T_air));
    lose(c, MBL_HAT, hat * disc_film(at, T[MBL_HAT]) * (T[MBL_HAT] - w->T_air));
    double sky = black(w->T_air);
    lose(c, MBL_FACE, r->face_emissivity * (bare - caliper_sees) * (black(T[MBL_FACE]) - sky));
    lose(c, MBL_LAYER3, r->emissivity * rim * (black(T[MBL_LAYER3]) - sky));
    lose(c, MBL_HAT, r->emissivity * hat * (black(T[MBL_HAT]) - sky));
    exchange(c, T, MBL_FACE, MBL_CALIPER, caliper_sees, r->face_emissivity, paint);
    exchange(c, T, MBL_FACE, MBL_PAD_FACE, s->pads, r->face_emissivity, paint);
    if (s->vanes > 0) {
        double cheeks = 2 * 0.75 * s->ring;
        double sides = 2 * s->vanes * s->gap * s->H;
        lose(c, MBL_LAYER3, cheeks * vane_film(at, T[MBL_LAYER3]) * (T[MBL_LAYER3] - w->T_air));
        lose(c, MBL_CORE, sides * vane_film(at, T[MBL_CORE]) * (T[MBL_CORE] - w->T_air));
        double openings = 0.75 * M_PI * s->gap * (s->D + s->D - 2 * s->H);
        lose(c, MBL_CORE, r->emissivity * openings * (black(T[MBL_CORE]) - sky));
    }
    /* a body of aluminium has 0.045 m2 per kg^(2/3); one of iron that of the same volume */
    double as_aluminium =
        b->caliper.body == MBL_BODY_IRON ? b->caliper.mass * 2700 / 7200 : b->caliper.mass;
    double body = 0.045 * pow(as_aluminium, 2.0 / 3);
    double perimeter = 2 * 2.5 * sqrt(b->pad.area); /* both pads, cooled edges of each */
    double jet = at->to.caliper * at->hose;
    struct {
        int node;
        double area, jet;
    } bodies[] = {{MBL_CALIPER, body, jet},
                  {MBL_PAD_BODY2, perimeter * 70 / 95 * (s->pad_left - skin_of(s->pad_left)), jet},
                  {MBL_PLATE, perimeter * b->pad.plate_thickness, jet},
                  {MBL_HUB, 0.08, 0}};
    for (int i = 0; i < 4; i++) {
        double Tn = T[bodies[i].node];
        double film = body_film(at, bodies[i].jet, Tn);
        lose(c, bodies[i].node, bodies[i].area * film * (Tn - w->T_air));
    }
    lose(c, MBL_CALIPER, paint * body * (black(T[MBL_CALIPER]) - sky));
    lose(c, MBL_HUB, paint * 0.08 * (black(T[MBL_HUB]) - sky));
}

/* ---- braking ---- */

/* Straight between points, flat beyond them; `nothing` of an empty curve. */
static double read_curve(const mbl_curve *f, double x, double nothing)
{
    if (f->n == 0)
        return nothing;
    size_t i = 1;
    if (x <= f->x[0])
        return f->y[0];
    while (i < f->n && x > f->x[i])
        i++;
    if (i == f->n)
        return f->y[f->n - 1];
    double share = (x - f->x[i - 1]) / (f->x[i] - f->x[i - 1]);
    return (1 - share) * f->y[i - 1] + share * f->y[i];
}

static double friction(const mbl_pad *pad, double T, double v, double p)
{
    return kind_of(pad->condition, 1, 0.75, 0.65) * read_curve(&pad->friction, T, 0) *
           read_curve(&pad->speed_effect, v, 1) * read_curve(&pad->pressure_effect, p, 1);
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
static double torque_per_pascal(const mbl_brake *b, double T_pad, double v, double p)
{
    double r = isnan(b->effective_radius) ? b->rotor.diameter / 2 - b->pad.height / 2
                                          : b->effective_radius;
    return 2 * friction(&b->pad, T_pad, v, p) * pressing(b) * r;
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
    double R_p = layer * kr / (kr + kp) + 0.5 * skin_of(s->pad_left) / (kp * s->pads);
    double T_i = (Q + T[MBL_FACE] / R_r + T[MBL_PAD_FACE] / R_p) / (1 / R_r + 1 / R_p);
    c->q[MBL_FACE] += (T_i - T[MBL_FACE]) / R_r;
    c->q[MBL_PAD_FACE] += (T_i - T[MBL_PAD_FACE]) / R_p;
}

/*
 * Pressure in the rear line at a pressure in the front one. Two masters: the rod that makes the
 * front pressure pushes with front x area / its share, and what is left of that is on the rear
 * piston. A valve lets the line rise freely up to the knee, from there by its slope.
 */
static double rear_line(const mbl_pedal *m, double front)
{
    double let_through = front;
    if (m->present && m->distribution == MBL_DISTRIBUTION_VALVE && front > m->knee)
        let_through = m->knee + (front - m->knee) * m->slope;
    if (!m->present || isnan(m->master.front))
        return let_through; /* one master: one pressure */
    double share = isnan(m->balance) ? 0.5 : m->balance;
    double d_f = m->master.front / 2;
    double d_r = m->master.rear / 2;
    double rod = let_through * M_PI * d_f * d_f / share;
    return (rod - share * rod) / (M_PI * d_r * d_r);
}

/* Torque (N m) of the four wheels at a front pressure; of each axle to `torque`. */
static double braking_torque(const mbl_car *car, const rhs_weather *w, const double *T,
                             double front, double torque[2])
{
    double rear = rear_line(&car->pedal, front);
    double T_f = T[MBL_PAD_FACE];
    double T_r = T[MBL_CORNER_NODES + MBL_PAD_FACE];
    torque[0] = 2 * front * torque_per_pascal(&car->front, T_f, w->v, front);
    torque[1] = 2 * rear * torque_per_pascal(&car->rear, T_r, w->v, rear);
    return torque[0] + torque[1];
}

/*
 * Front pressure for a torque: between two that bracket it, by the straight line through them, the
 * end that stays being halved (the Illinois rule). Without a valve and with friction that does not
 * feel pressure the first line hits it.
 */
static double front_line(const mbl_car *car, const rhs_weather *w, const double *T, double asked,
                         double torque[2])
{
    double low = 0;
    double high = 1e6;
    while (braking_torque(car, w, T, high, torque) < asked)
        high *= 2;
    double under = -asked;
    double over = braking_torque(car, w, T, high, torque) - asked;
    double p = high;
    for (int i = 0; i < 100; i++) {
        p = high - over * (high - low) / (over - under);
        double off = braking_torque(car, w, T, p, torque) - asked;
        if (fabs(off) <= 1e-14 * asked)
            break;
        if (off > 0) {
            high = p;
            over = off;
            under *= 0.5;
        } else {
            low = p;
            under = off;
            over *= 0.5;
        }
    }
    return p;
}

double rhs_flows(const mbl_car *car, const rhs_weather *w, double power, const double *T, double *q,
                 double *lost)
{
    const mbl_brake *brakes[] = {&car->front, &car->rear};
    double omega = fmax(w->v, 0.5) / car->tyre.radius;
    double torque[2] = {0, 0};
    double line[2] = {0, 0};
    if (power > 0) {
        line[0] = front_line(car, w, T, power / omega, torque);
        line[1] = rear_line(&car->pedal, line[0]);
    }
    *lost = 0;
    for (int i = 0; i < 2; i++) {
        const double *Ti = T + i * MBL_CORNER_NODES;
        corner at = corner_of(brakes[i], w, car->tyre.radius);
        corner_sum c = {{0}, 0};
        rotor_flows(&c, brakes[i], &at.s, Ti);
        pad_and_caliper_flows(&c, brakes[i], &at.s, Ti);
        cooling_flows(&c, &at, Ti);
        double wheel = power > 0 ? 0.5 * power * torque[i] / (torque[0] + torque[1]) : 0;
        rub(&c, brakes[i], &at.s, Ti, wheel, line[i]);
        memcpy(q + i * MBL_CORNER_NODES, c.q, sizeof c.q);
        *lost += c.lost;
    }
    return line[0];
}

/* ---- what it takes to warm them ---- */

/* Grey iron: 460 J/kgK at 20 C, 510 at 200, 560 at 400, 640 at 600, 760 at 800. */
static double iron(double T)
{
    double C = T - 273.15;
    if (C <= 20)
        return 460;
    if (C >= 800)
        return 760;
    if (C < 200)
        return 460 + 50 * (C - 20) / 180;
    if (C < 400)
        return 510 + 50 * (C - 200) / 200;
    return C < 600 ? 560 + 80 * (C - 400) / 200 : 640 + 120 * (C - 600) / 200;
}

static void corner_capacities(const mbl_brake *b, const double *T, double *C)
{
    shape s = shape_of(b);
    const mbl_rotor *r = &b->rotor;
    static const double vented[] = {0.06, 0.14, 0.28, 0.52};
    static const double solid[] = {0.06, 0.12, 0.20, 0.28, 0.34};
    double ring = r->ring_mass;
    int layers = s.vanes > 0 ? 4 : 5;
    for (int i = 0; i < layers; i++) {
        double kg = 7200 * 2 * s.ring * s.cheek * (s.vanes > 0 ? vented : solid)[i];
        C[MBL_FACE + i] = kg * iron(T[MBL_FACE + i]);
        ring -= kg;
    }
    if (s.vanes > 0) /* what the cheeks leave is vanes, were it next to nothing */
        C[MBL_CORE] = fmax(ring, 0.01 * r->ring_mass) * iron(T[MBL_CORE]);
    C[MBL_HAT] = r->hat_mass * (r->construction == MBL_ONE_PIECE ? iron(T[MBL_HAT]) : 930);
    C[MBL_HUB] = 2200;
    double per_depth = s.pads * b->pad.density * b->pad.specific_heat;
    double behind = s.pad_left - skin_of(s.pad_left);
    C[MBL_PAD_FACE] = per_depth * skin_of(s.pad_left);
    C[MBL_PAD_BODY1] = per_depth * 25 / 95 * behind;
    C[MBL_PAD_BODY2] = per_depth * 70 / 95 * behind;
    C[MBL_PLATE] = s.pads * b->pad.plate_thickness * 7850 * 560;
    /* cups of 30 mm, walls and floors of 4 mm; 18 mm of fluid behind them and 8 cm3 of passages */
    double cups = 0.004 * (0.030 * s.walls + s.bores);
    C[MBL_PISTON] = cups * metal(b->caliper.piston, 7850. * 560, 2700. * 930, 4430. * 580);
    C[MBL_FLUID] = (0.018 * s.bores + 8e-6) * 970 * 2600;
    C[MBL_CALIPER] = b->caliper.mass * (b->caliper.body == MBL_BODY_IRON ? 500 : 930);
}

void rhs_capacities(const mbl_car *car, const double *T, double *C)
{
    corner_capacities(&car->front, T, C);
    corner_capacities(&car->rear, T + MBL_CORNER_NODES, C + MBL_CORNER_NODES);
}
