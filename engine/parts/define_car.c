/* SPDX-License-Identifier: MIT */
/* The car. */
#include "parts/rows.h"

/* ---- pedal ---- */

static const char *const distributions[] = {"fixed", "bar", "valve", NULL};

#define T mbl_pedal
static const mbl_field master_fields[] = {
    NUMBER("bore", master.bore, MBL_OPTIONAL, LENGTH, 0.008, 0.06, NAN,
           "bore of a tandem master, which has both circuits in line", ""),
    NUMBER("front", master.front, MBL_OPTIONAL, LENGTH, 0.008, 0.06, NAN,
           "bore of the front one of two masters side by side", ""),
    NUMBER("rear", master.rear, MBL_OPTIONAL, LENGTH, 0.008, 0.06, NAN, "bore of the rear one", ""),
    ASSUMED("stroke", master.stroke, LENGTH, 0.01, 0.08, 0.036, 0.028, 0.042,
            "stroke of each circuit until it bottoms", COMMON_PRACTICE),
    ASSUMED("free", master.free, LENGTH, 0, 0.01, 0.001, 0.0005, 0.002,
            "stroke of each circuit until its port is shut", COMMON_PRACTICE),
    NUMBER("cost", master.cost, MBL_DEFAULT, MONEY, 0, 1e6, 0, "price of the masters", ""),
    NUMBER("labour", master.labour, MBL_DEFAULT, TIME, 0, 360000, 0, "time to fit the masters", ""),
};
static const mbl_field booster_fields[] = {
    NUMBER("gain", booster.gain, MBL_DEFAULT, RATIO, 1, 12, 1,
           "force on the master over that of the pedal rod; 1: no booster", ""),
    ASSUMED("assist", booster.assist, FORCE, 0, 2e4, 3500, 2500, 5000,
            "most that it adds at sea level, where it runs out; falls with the pressure of the air",
            COMMON_PRACTICE),
};
static const mbl_schema master_schema = {.name = "master",
                                         .about = "Master cylinders.",
                                         .size = sizeof(mbl_pedal),
                                         .fields = master_fields,
                                         .nfields = COUNT_OF(master_fields),
                                         .present = -1};
static const mbl_schema booster_schema = {.name = "booster",
                                          .about = "A vacuum booster.",
                                          .size = sizeof(mbl_pedal),
                                          .fields = booster_fields,
                                          .nfields = COUNT_OF(booster_fields),
                                          .present = -1};

static const mbl_field pedal_fields[] = {
    NUMBER("ratio", ratio, MBL_REQUIRED, RATIO, 1.5, 10, NAN,
           "travel of the pad over travel of the rod", ""),
    ASSUMED("effort_limit", effort_limit, FORCE, 100, 1500, 670, 450, 700,
            "most that the driver's leg gives lap after lap",
            "trade articles: 450 to 670 N is comfortable"),
    ASSUMED("efficiency", efficiency, SHARE, 0.5, 1, 0.95, 0.85, 1,
            "share of the force that pedal, seals and masters pass on", COMMON_PRACTICE),
    CHOICE("distribution", distribution, MBL_DEFAULT, distributions, MBL_DISTRIBUTION_FIXED,
           "what divides the pressure: nothing (fixed), a balance bar between two masters, or a "
           "valve in the rear line",
           COMMON_PRACTICE),
    NUMBER("balance", balance, MBL_INFERRED, SHARE, 0.2, 0.8, NAN,
           "share of the rod's force on the front master, bar only; 0.5 when not given",
           "a bar in its middle halves the force"),
    ASSUMED("per_turn", per_turn, SHARE, 0.001, 0.1, 0.012, 0.006, 0.02,
            "what one turn of the bar's adjuster moves of that share", COMMON_PRACTICE),
    NUMBER("knee", knee, MBL_OPTIONAL, PRESSURE, 1e5, 2e7, NAN,
           "line pressure from which the valve holds the rear back", ""),
    NUMBER("slope", slope, MBL_DEFAULT, SHARE, 0, 1, 0.3,
           "rise of rear over front pressure above the knee, valve only", COMMON_PRACTICE),
    INLINE("master", MBL_REQUIRED, &master_schema, "the master cylinders"),
    INLINE("booster", MBL_DEFAULT, &booster_schema, "the booster; none when not given"),
    ASSUMED("hose_swell", hose_swell, VOLUME, 0, 5e-6, 2e-7, 5e-8, 5e-7,
            "what the hose to one wheel swells by under 100 bar", COMMON_PRACTICE),
    NUMBER("fluid_volume", fluid_volume, MBL_DEFAULT, VOLUME, 2e-5, 1e-3, 1.5e-4,
           "fluid in lines and calipers that is put under pressure", COMMON_PRACTICE),
    NUMBER("knock_back", knock_back, MBL_DEFAULT, LENGTH, 0, 0.003, 0,
           "how far kerbs or a loose hub push each pad back, once, before an application; 0.1 to "
           "0.5 mm is seen",
           "trade articles"),
    ASSUMED("stab", stab, FORCE_RATE, 100, 50000, 4000, 2000, 8000,
            "how fast the driver puts force on the pedal", COMMON_PRACTICE),
};
#undef T

static mbl_status pedal_rules(const void *filled, mbl_error *err)
{
    const mbl_pedal *p = filled;
    bool pair = !isnan(p->master.front) && !isnan(p->master.rear);
    bool tandem = !isnan(p->master.bore);
    if (tandem && (!isnan(p->master.front) || !isnan(p->master.rear)))
        return mbl_rule_broken(err, "master.bore",
                               "either one tandem master (bore), or two (front and rear)");
    if (!tandem && !pair)
        return mbl_rule_broken(err, isnan(p->master.front) ? "master.front" : "master.rear",
                               "missing: front and rear bores of two masters, or the bore of a "
                               "tandem master");
    if (p->distribution == MBL_DISTRIBUTION_BAR && tandem)
        return mbl_rule_broken(err, "distribution", "a bar needs two masters, front and rear");
    if (p->distribution != MBL_DISTRIBUTION_BAR && !isnan(p->balance))
        return mbl_rule_broken(err, "balance", "only distribution = \"bar\" has a balance");
    if (p->distribution == MBL_DISTRIBUTION_VALVE && isnan(p->knee))
        return mbl_rule_broken(err, "knee",
                               "missing: the pressure from which the valve holds back");
    if (p->distribution != MBL_DISTRIBUTION_VALVE && !isnan(p->knee))
        return mbl_rule_broken(err, "knee", "only distribution = \"valve\" has a knee");
    return MBL_OK;
}

const mbl_schema mbl_pedal_schema = {.name = "pedal",
                                     .about = "From the foot to line pressure.",
                                     .size = sizeof(mbl_pedal),
                                     .fields = pedal_fields,
                                     .nfields = COUNT_OF(pedal_fields),
                                     .present = offsetof(mbl_pedal, present),
                                     .rules = pedal_rules};

/* ---- gearing ---- */

static const char *const drivens[] = {"front", "rear", "all", NULL};

#define T mbl_gearing
static const mbl_field gearing_fields[] = {
    CHOICE("driven", driven, MBL_DEFAULT, drivens, MBL_DRIVEN_REAR, "the wheels that are driven",
           COMMON_PRACTICE),
    {.key = "torque",
     .kind = MBL_FIELD_CURVE,
     .need = MBL_OPTIONAL,
     .offset = AT(T, torque),
     .quantity = MBL_Q_RATIO,
     .x_lo = 500,
     .x_hi = 9000,
     .lo = 0,
     .hi = 3000,
     .least = 2,
     .most = MBL_CURVE_MAX,
     .about = "torque of the engine, N m, over its revs a minute: { { 1000, 250 }, { 7000, 310 } "
              "}; below the first pair the clutch slips at its torque, above the last there is "
              "none",
     .source = ""},
    {.key = "ratios",
     .kind = MBL_FIELD_NUMBERS,
     .need = MBL_OPTIONAL,
     .offset = AT(T, ratios),
     .quantity = MBL_Q_RATIO,
     .lo = 0.2,
     .hi = 20,
     .least = 1,
     .most = MBL_NUMBERS_MAX,
     .about = "ratios of the gears, the first gear first: { 3.6, 2.2, 1.5, 1.1 }",
     .source = ""},
    NUMBER("final", final, MBL_OPTIONAL, RATIO, 0.5, 20, NAN, "ratio of the final drive", ""),
    NUMBER("efficiency", efficiency, MBL_DEFAULT, SHARE, 0.5, 1, 0.9,
           "share of the engine's torque that reaches the wheels", COMMON_PRACTICE),
};
#undef T

/* Only with all three is there a force at the wheels; revs over 25000 are a unit mistaken. */
static mbl_status gearing_rules(const void *filled, mbl_error *err)
{
    const mbl_gearing *g = filled;
    static const char whole[] = "missing: torque, ratios and final make a pull only together";
    bool torque = g->torque.n > 0;
    bool ratios = g->ratios.n > 0;
    bool final = !isnan(g->final);
    if (torque || ratios || final) {
        if (!torque)
            return mbl_rule_broken(err, "torque", whole);
        if (!ratios)
            return mbl_rule_broken(err, "ratios", whole);
        if (!final)
            return mbl_rule_broken(err, "final", whole);
    }
    if (torque && (g->torque.x[0] < 0 || g->torque.x[g->torque.n - 1] > 25000))
        return mbl_rule_broken(err, "torque", "revs a minute lie between 0 and 25000");
    for (size_t i = 1; i < g->ratios.n; i++) {
        if (g->ratios.v[i] >= g->ratios.v[i - 1])
            return mbl_rule_broken(err, "ratios",
                                   "they fall from gear to gear, the first gear first");
    }
    return MBL_OK;
}

static const mbl_schema gearing_schema = {.name = "gearing",
                                          .about = "From the engine to the driven wheels.",
                                          .size = sizeof(mbl_gearing),
                                          .fields = gearing_fields,
                                          .nfields = COUNT_OF(gearing_fields),
                                          .present = -1,
                                          .rules = gearing_rules};

/* ---- car ---- */

static const char *const findings[] = {"crack",    "soft pedal",      "boiled", "leak",
                                       "worn pad", "sticking piston", NULL};

const char *mbl_finding_word(int finding)
{
    return findings[finding];
}

#define T mbl_finding
static const mbl_field finding_fields[] = {
    CHOICE(NULL, what, MBL_REQUIRED, findings, 0, "what was found", ""),
};
#undef T
static const mbl_schema finding_schema = {.name = "finding",
                                          .about = "What an inspection found.",
                                          .size = sizeof(mbl_finding),
                                          .fields = finding_fields,
                                          .nfields = COUNT_OF(finding_fields),
                                          .present = -1};

#define T mbl_car
static const mbl_field load_fields[] = {
    NUMBER("passenger", load.passenger, MBL_DEFAULT, MASS, 0, 250, 0, "a passenger", ""),
    NUMBER("luggage", load.luggage, MBL_DEFAULT, MASS, 0, 300, 0, "tools, spares, luggage", ""),
    NUMBER("ballast", load.ballast, MBL_DEFAULT, MASS, 0, 300, 0, "ballast", ""),
};
static const mbl_field fuel_fields[] = {
    NUMBER("start", fuel.start, MBL_DEFAULT, MASS, 0, 200, 0,
           "fuel in the tank at the start, on top of the car's mass", ""),
    NUMBER("per_lap", fuel.per_lap, MBL_DEFAULT, MASS, 0, 20, 0, "fuel used in a lap", ""),
};
static const mbl_field aero_fields[] = {
    ASSUMED("drag_area", aero.drag_area, AREA, 0.1, 3, 0.7, 0.55, 0.9,
            "drag coefficient times frontal area", COMMON_PRACTICE),
    NUMBER("downforce_area", aero.downforce_area, MBL_DEFAULT, AREA, 0, 8, 0,
           "downforce coefficient times frontal area", ""),
    ASSUMED("front_share", aero.front_share, SHARE, 0, 1, 0.45, 0.35, 0.55,
            "share of the downforce on the front axle", COMMON_PRACTICE),
};
static const mbl_field tyre_fields[] = {
    NUMBER("radius", tyre.radius, MBL_REQUIRED, LENGTH, 0.2, 0.5, NAN, "rolling radius", ""),
    NUMBER(
        "grip", tyre.grip, MBL_OPTIONAL, RATIO, 0.2, 3, NAN,
        "friction of the tyres at the load they carry at rest; without it no lock and no grip is "
        "judged",
        ""),
    ASSUMED("load_sensitivity", tyre.load_sensitivity, SHARE, 0, 0.45, 0.1, 0, 0.25,
            "share of its grip that a tyre loses when its load doubles", COMMON_PRACTICE),
};
/* groups share the car's struct: their rows' offsets count from its start */
static const mbl_schema load_schema = {.name = "load",
                                       .about = "What rides along.",
                                       .size = sizeof(mbl_car),
                                       .fields = load_fields,
                                       .nfields = COUNT_OF(load_fields),
                                       .present = -1};
static const mbl_schema fuel_schema = {.name = "fuel",
                                       .about = "Fuel and its use.",
                                       .size = sizeof(mbl_car),
                                       .fields = fuel_fields,
                                       .nfields = COUNT_OF(fuel_fields),
                                       .present = -1};
static const mbl_schema aero_schema = {.name = "aero",
                                       .about = "What the air does.",
                                       .size = sizeof(mbl_car),
                                       .fields = aero_fields,
                                       .nfields = COUNT_OF(aero_fields),
                                       .present = -1};
static const mbl_schema tyre_schema = {.name = "tyre",
                                       .about = "The tyres.",
                                       .size = sizeof(mbl_car),
                                       .fields = tyre_fields,
                                       .nfields = COUNT_OF(tyre_fields),
                                       .present = -1};

static const mbl_field car_fields[] = {
    NUMBER("mass", mass, MBL_REQUIRED, MASS, 200, 4000, NAN,
           "mass on the scales with the driver in, without fuel where fuel is given", ""),
    INLINE("load", MBL_DEFAULT, &load_schema, "what rides along, added to the mass"),
    INLINE("fuel", MBL_DEFAULT, &fuel_schema, "fuel, added to the mass and used lap by lap"),
    ASSUMED("rotating", rotating, SHARE, 0, 0.2, 0.04, 0.025, 0.06,
            "mass that wheels, rotors and driveline add when the car slows", COMMON_PRACTICE),
    ASSUMED("rolling", rolling, SHARE, 0, 0.1, 0.015, 0.01, 0.025, "rolling resistance over weight",
            COMMON_PRACTICE),
    ASSUMED("engine_braking", engine_braking, ACCELERATION, 0, 3, 0.4, 0.2, 0.8,
            "deceleration by the engine with the throttle closed", COMMON_PRACTICE),
    INLINE("aero", MBL_DEFAULT, &aero_schema, "what the air does"),
    INLINE("tyre", MBL_REQUIRED, &tyre_schema, "the tyres"),
    PART("fluid", fluid, MBL_REQUIRED, &mbl_fluid_schema, "the brake fluid"),
    PART("front", front, MBL_REQUIRED, &mbl_brake_schema, "the front brakes"),
    PART("rear", rear, MBL_REQUIRED, &mbl_brake_schema, "the rear brakes"),
    ASSUMED("front_weight", front_weight, SHARE, 0.3, 0.75, 0.53, 0.45, 0.6,
            "share of the weight on the front axle, driver in", COMMON_PRACTICE),
    ASSUMED("cg_height", cg_height, LENGTH, 0.2, 1.2, 0.5, 0.42, 0.58,
            "height of the centre of gravity", COMMON_PRACTICE),
    ASSUMED("wheelbase", wheelbase, LENGTH, 1.4, 4, 2.55, 2.35, 2.85, "distance between the axles",
            COMMON_PRACTICE),
    FLAG("abs", abs, 0, "an anti-lock system works"),
    PART("pedal", pedal, MBL_OPTIONAL, &mbl_pedal_schema,
         "pedal, booster, masters and distribution; without it both axles have the same line "
         "pressure, and effort and travel are not judged"),
    {.key = "found",
     .kind = MBL_FIELD_ITEMS,
     .need = MBL_OPTIONAL,
     .offset = AT(T, found),
     .least = 1,
     .most = MBL_FOUND_MOST,
     .sub = &finding_schema,
     .about = "what an inspection found: { \"crack\", \"soft pedal\" }; anything "
              "found fails the verdict",
     .source = ""},
    NUMBER("power", power, MBL_OPTIONAL, POWER, 1e3, 1.5e6, NAN,
           "most power at the driven wheels; with gearing the lesser of both counts. Laps of a "
           "layout need one of them",
           ""),
    {.key = "gearing",
     .kind = MBL_FIELD_GROUP,
     .need = MBL_OPTIONAL,
     .offset = AT(T, gearing),
     .sub = &gearing_schema,
     .about = "which wheels are driven, and by which torque; the rear ones by `power` alone when "
              "not given",
     .source = ""},
};
#undef T

const mbl_brake *mbl_car_brake(const mbl_car *car, int axle)
{
    return axle == 0 ? &car->front : &car->rear;
}

double mbl_car_mass(const mbl_car *car, double fuel)
{
    return car->mass + car->load.passenger + car->load.luggage + car->load.ballast + fuel;
}

static mbl_status car_rules(const void *filled, mbl_error *err)
{
    const mbl_car *c = filled;
    if (c->front.rotor.diameter / 2 > c->tyre.radius || c->rear.rotor.diameter / 2 > c->tyre.radius)
        return mbl_rule_broken(err, "tyre.radius", "a rotor is larger than the tyre");
    return MBL_OK;
}

const mbl_schema mbl_car_schema = {.name = "car",
                                   .about = "A car with its brakes.",
                                   .size = sizeof(mbl_car),
                                   .fields = car_fields,
                                   .nfields = COUNT_OF(car_fields),
                                   .present = offsetof(mbl_car, present),
                                   .rules = car_rules};
