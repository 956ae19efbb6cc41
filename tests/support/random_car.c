/* SPDX-License-Identifier: MIT */
#include "support/random_car.h"

#include "support/coupe.h"
#include "support/test.h"

/* The text while it is being written. */
typedef struct writer {
    char *text;
    size_t n;
    random_source r;    /* what a corner is made of */
    random_source more; /* pedal, tyres, wear: drawn apart, so that corners stay what they were */
} writer;

static void put(writer *w, const char *format, ...) MBL_PRINTF(2, 3);
static void put(writer *w, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    int n = vsnprintf(w->text + w->n, RANDOM_CAR_TEXT - w->n, format, args);
    va_end(args);
    if (n < 0 || (size_t)n >= RANDOM_CAR_TEXT - w->n)
        fail_msg("a random car is longer than its text");
    w->n += (size_t)n;
}

static double between(writer *w, double low, double high)
{
    return random_between(&w->r, low, high);
}

static bool chance(writer *w, double share)
{
    return between(w, 0, 1) < share;
}

static double further(writer *w, double low, double high)
{
    return random_between(&w->more, low, high);
}

/* Returns the depth of the ring, m. */
static double put_rotor(writer *w, double D)
{
    bool solid = chance(w, 0.35);
    double t = solid ? between(w, 0.007, 0.0155) : between(w, 0.016, 0.042);
    bool own_height = chance(w, 0.4);
    double H = own_height ? between(w, 0.11, 0.20) * D : 0.155 * D;
    /* the band of masses that fit the size: a third of solid iron to all of it */
    double full = 7200 * M_PI * H * (D - H) * t;
    double mass = fmin(24.9, fmax(0.51, full * between(w, 0.34, 1.01)));
    put(w, "  rotor: { diameter: %.6f m, thickness: %.6f m, ring_mass: %.6f kg", D, t, mass);
    if (own_height)
        put(w, ", ring_height: %.6f m", H);
    if (solid)
        put(w, ", vanes: 0");
    else if (chance(w, 0.8))
        put(w, ", vanes: %d", 20 + random_below(&w->r, 41));
    put(w, ", hat_mass: %.4f kg", between(w, 0.3, 4));
    put(w, ", construction: %s", chance(w, 0.5) ? "one-piece" : "two-piece");
    put(w, ", conductivity: %.3f W/mK", between(w, 30, 60));
    put(w, ", emissivity: %.3f, face_emissivity: %.3f }\n", between(w, 0.5, 0.95),
        between(w, 0.1, 0.7));
    return H;
}

/* From next to none to pads that a few stops are seen on. */
static void put_wear(writer *w, double thickness)
{
    put(w, ",\n         worn_at: %.6f m, wear: %.4g m3/J", thickness * further(w, 0.05, 0.5),
        exp(further(w, log(5e-15), log(2e-12))));
    if (further(w, 0, 1) < 0.4)
        put(w, ", wear_onset: %.0f C", further(w, 150, 700));
    if (further(w, 0, 1) < 0.3)
        put(w, ", wear_effect: [[%.0f, %.3f], [%.0f, %.3f]]", further(w, 20, 200),
            further(w, 0.2, 1), further(w, 300, 800), further(w, 1, 20));
    if (further(w, 0, 1) < 0.3)
        put(w, ", pressure_effect: [[0, %.3f], [1e7, %.3f]]", further(w, 0.95, 1.1),
            further(w, 0.9, 1.05));
    put(w, " }\n");
}

static double put_pad(writer *w, double D, double H)
{
    double height = fmax(0.0155, H * between(w, 0.6, 1.03));
    double most = fmin(0.03, 0.35 * M_PI * (D - height) * height);
    double area = fmax(5.1e-4, most * between(w, 0.2, 0.98));
    double t = between(w, 0.006, 0.020);
    put(w, "  pad: { area: %.8f m2, height: %.6f m, thickness: %.6f m", area, height, t);
    if (chance(w, 0.5))
        put(w, ", thickness_now: %.6f m", t * between(w, 0.15, 1));
    put(w, ",\n         friction: [");
    int points = 1 + random_below(&w->r, 5);
    double at = between(w, -10, 60);
    for (int i = 0; i < points; i++) {
        put(w, "%s[%.1f, %.3f]", i > 0 ? ", " : "", at, between(w, 0.2, 0.6));
        at += between(w, 40, 300);
    }
    put(w, "], window: [%.0f C, %.0f C]", between(w, 20, 200), between(w, 400, 900));
    put(w, ",\n         conductivity: %.3f W/mK, density: %.1f kg/m3, specific_heat: %.1f J/kgK",
        between(w, 0.5, 12), between(w, 1900, 5500), between(w, 450, 1200));
    put(w, ", plate_thickness: %.5f m, contact: %.0f W/m2K", between(w, 0.003, 0.008),
        exp(between(w, log(1000), log(80000))));
    put_wear(w, t);
    return height;
}

static void put_caliper(writer *w)
{
    put(w, "  caliper: { type: %s, pistons: [", chance(w, 0.5) ? "fixed" : "sliding");
    int pistons = 1 + random_below(&w->r, 4);
    for (int i = 0; i < pistons; i++)
        put(w, "%s%.5f m", i > 0 ? ", " : "", between(w, 0.022, 0.060) / sqrt(pistons > 2 ? 2 : 1));
    static const char *const piston[] = {"steel", "aluminium", "titanium"};
    put(w, "], mass: %.4f kg, body: %s, piston: %s }\n", between(w, 0.8, 7),
        chance(w, 0.6) ? "aluminium" : "iron", piston[random_below(&w->r, 3)]);
}

static void put_brake(writer *w, const char *key, double tyre)
{
    put(w, "%s:\n", key);
    double D = between(w, 0.20, fmin(0.44, 1.6 * tyre));
    double H = put_rotor(w, D);
    double height = put_pad(w, D, H);
    put_caliper(w);
    if (chance(w, 0.7))
        put(w, "  airflow: %.4f\n", between(w, 0.06, 1.5));
    if (chance(w, 0.3))
        put(w, "  effective_radius: %.6f m\n", 0.5 * D - height * between(w, 0.4, 0.6));
}

static void put_masters(writer *w, bool tandem)
{
    if (tandem)
        put(w, ", master: { bore: %.5f m", further(w, 0.016, 0.030));
    else
        put(w, ", master: { front: %.5f m, rear: %.5f m", further(w, 0.014, 0.026),
            further(w, 0.014, 0.026));
    put(w, ", stroke: %.5f m, free: %.5f m }", further(w, 0.02, 0.05), further(w, 0, 0.003));
}

/* None at all, one master or two, and every way to divide the pressure. */
static void put_pedal(writer *w)
{
    if (further(w, 0, 1) < 0.25)
        return;
    bool tandem = further(w, 0, 1) < 0.5;
    bool valve = further(w, 0, 1) < 0.4;
    bool bar = !tandem && !valve && further(w, 0, 1) < 0.7;
    put(w, "pedal: { ratio: %.3f, efficiency: %.3f, effort_limit: %.0f N", further(w, 2.5, 7),
        further(w, 0.75, 1), further(w, 250, 900));
    put(w, ", distribution: %s", valve ? "valve" : bar ? "bar" : "fixed");
    if (bar)
        put(w, ", balance: %.4f", further(w, 0.3, 0.7));
    if (valve)
        put(w, ", knee: %.0f Pa, slope: %.3f", further(w, 5e5, 6e6), fmax(0, further(w, -0.1, 1)));
    put_masters(w, tandem);
    if (further(w, 0, 1) < 0.5)
        put(w, ",\n         booster: { gain: %.3f, assist: %.0f N }", further(w, 1.5, 8),
            further(w, 500, 6000));
    put(w, " }\n");
}

void random_car_text(uint64_t seed, char out[RANDOM_CAR_TEXT])
{
    writer w = {.text = out, .r = {seed * 7919 + 17}, .more = {seed * 6151 + 29}};
    double tyre = between(&w, 0.26, 0.38);
    double dry = between(&w, 200, 330);
    put(&w, "mass: %.1f kg\n", between(&w, 500, 2600));
    put(&w, "tyre: { radius: %.5f m", tyre);
    if (further(&w, 0, 1) < 0.7)
        put(&w, ", grip: %.3f, load_sensitivity: %.3f", further(&w, 0.7, 1.8), further(&w, 0, 0.3));
    put(&w, " }\nabs: %s\n", further(&w, 0, 1) < 0.3 ? "true" : "false");
    put(&w, "front_weight: %.3f\n", further(&w, 0.38, 0.66));
    put_pedal(&w);
    put(&w, "aero: { drag_area: %.3f m2 }\n", between(&w, 0.3, 1.4));
    put(&w, "fluid: { dry: %.1f C, wet: %.1f C, water: %.4f }\n", dry, dry - between(&w, 50, 80),
        between(&w, 0, 0.06));
    put_brake(&w, "front", tyre);
    put_brake(&w, "rear", tyre);
}

mbl_car random_car(uint64_t seed)
{
    char text[RANDOM_CAR_TEXT];
    random_car_text(seed, text);
    mbl_error err = {0};
    mbl_node *raw = NULL;
    mbl_node *bound = NULL;
    mbl_car car;
    if (mbl_document_parse(&mbl_alloc_libc, "random car", text, strlen(text), &raw, &err) !=
            MBL_OK ||
        mbl_bind(&mbl_car_schema, raw, &bound, &err) != MBL_OK)
        fail_msg("car %llu: %s: %s\n%s", (unsigned long long)seed, err.path, err.text, text);
    mbl_extract(&mbl_car_schema, bound, &car);
    mbl_node_drop(raw);
    mbl_node_drop(bound);
    return car;
}

void random_car_flat_friction(mbl_car *car)
{
    car->front.pad.friction.n = 1;
    car->rear.pad.friction.n = 1;
}

mbl_block *random_car_block(const mbl_car *car, double ambient)
{
    mbl_network net;
    mbl_network_init(&net, &mbl_alloc_libc);
    mbl_error err = {0};
    assert_ok(mbl_corner_build(&net, car, ambient, 101325, NULL, &err), err);
    mbl_model *model = NULL;
    mbl_block *block = NULL;
    assert_ok(mbl_model_make(&net, ambient, &model, &err), err);
    mbl_network_free(&net);
    mbl_model *const lanes[] = {model};
    assert_ok(mbl_block_make(&mbl_alloc_libc, lanes, 1, &block, &err), err);
    mbl_model_drop(model);
    return block;
}

static void add_step(random_stint *s, double dt, double speed, double power)
{
    if (s->n == RANDOM_STINT_STEPS)
        fail_msg("a random stint has more steps than there is room for");
    s->power[s->n] = power;
    s->time[s->n + 1] = s->time[s->n] + dt;
    s->speed[s->n + 1] = speed;
    s->n++;
}

void random_stint_make(uint64_t seed, const mbl_car *car, int stops, random_stint *s)
{
    random_source r = {seed * 104729 + 3};
    memset(s, 0, sizeof *s);
    double low = random_between(&r, 8, 20);
    double high = random_between(&r, 30, 70);
    double iron = 2 * (car->front.rotor.ring_mass + car->rear.rotor.ring_mass);
    s->speed[0] = low;
    for (int i = 0; i < stops; i++) {
        double pull = random_between(&r, 4, 25);
        double stop = (high - low) / random_between(&r, 4, 12);
        double energy = iron * 500 * random_between(&r, 30, 120);
        enum { PULL = 40, STOP = 60 };
        for (int k = 1; k <= PULL; k++)
            add_step(s, pull / PULL, low + (high - low) * k / PULL, 0);
        /* at constant deceleration power goes with speed: its mean is that of the two ends */
        for (int k = 1; k <= STOP; k++) {
            double v = high - (high - low) * k / STOP;
            double mean = 0.5 * (v + s->speed[s->n]) / (0.5 * (high + low));
            add_step(s, stop / STOP, v, energy / stop * mean);
        }
    }
    add_step(s, 2, 0, 0);
    s->parked = s->n;
    for (double dt = 0.025; s->time[s->n] < s->time[s->parked] + 400; dt = fmin(1.05 * dt, 5))
        add_step(s, dt, 0, 0);
    s->in = (mbl_inputs){.time = s->time, .speed = s->speed, .power = s->power};
}

int random_cases(int usual)
{
    const char *asked = getenv("MBL_CASES");
    return asked != NULL && atoi(asked) > 0 ? atoi(asked) : usual;
}

void random_stint_step(mbl_block *b, const random_stint *s, size_t k)
{
    double dt = s->time[k + 1] - s->time[k];
    int pieces = (int)ceil(dt / 0.1);
    for (int j = 0; j < pieces; j++) {
        double u0 = (double)j / pieces;
        double u1 = (double)(j + 1) / pieces;
        double time[2] = {s->time[k] + u0 * dt, s->time[k] + u1 * dt};
        double rise = s->speed[k + 1] - s->speed[k];
        double speed[2] = {s->speed[k] + u0 * rise, s->speed[k] + u1 * rise};
        mbl_inputs in = {.time = time, .speed = speed, .power = &s->power[k]};
        mbl_block_run(b, &in, 0, 1, NULL);
    }
}
