/* SPDX-License-Identifier: MIT */
/*
 * The field tables. A row is key, kind, need, member, unit, range, default, one sentence, and
 * where the default comes from. docs/input.md is written from these rows.
 */
#include "parts/definitions.h"

#include <math.h>

#define K(celsius)       ((celsius) + 273.15)
#define COMMON_PRACTICE  "common practice, no source"
#define COUNT_OF(table)  (sizeof(table) / sizeof((table)[0]))
#define AT(type, member) offsetof(type, member)

/* One row each. `T` is the struct type of the table at hand. */
#define NUMBER(key_, member_, need_, quantity_, lo_, hi_, fallback_, about_, source_)              \
    {.key = (key_), .kind = MBL_FIELD_NUMBER, .need = (need_), .offset = AT(T, member_),           \
     .quantity = MBL_Q_##quantity_, .lo = (lo_), .hi = (hi_), .fallback = (fallback_),             \
     .about = (about_), .source = (source_)}
#define COUNT(key_, member_, need_, lo_, hi_, fallback_, about_, source_)                          \
    {.key = (key_), .kind = MBL_FIELD_COUNT, .need = (need_), .offset = AT(T, member_),            \
     .quantity = MBL_Q_COUNT, .lo = (lo_), .hi = (hi_), .fallback = (fallback_),                   \
     .about = (about_), .source = (source_)}
#define CHOICE(key_, member_, need_, choices_, fallback_, about_, source_)                         \
    {.key = (key_), .kind = MBL_FIELD_CHOICE, .need = (need_), .offset = AT(T, member_),           \
     .choices = (choices_), .fallback = (fallback_), .about = (about_), .source = (source_)}
#define TEXT(key_, member_, need_, about_)                                                         \
    {.key = (key_), .kind = MBL_FIELD_TEXT, .need = (need_), .offset = AT(T, member_),             \
     .about = (about_), .source = ""}
#define FLAG(key_, member_, fallback_, about_)                                                     \
    {.key = (key_), .kind = MBL_FIELD_FLAG, .need = MBL_DEFAULT, .offset = AT(T, member_),         \
     .fallback = (fallback_), .about = (about_), .source = ""}
#define GROUP(key_, member_, sub_, about_)                                                         \
    {.key = (key_), .kind = MBL_FIELD_GROUP, .need = MBL_DEFAULT,  .offset = AT(T, member_),       \
     .sub = (sub_), .about = (about_), .source = ""}
#define PART(key_, member_, need_, sub_, about_)                                                   \
    {.key = (key_), .kind = MBL_FIELD_PART, .need = (need_), .offset = AT(T, member_),             \
     .sub = (sub_), .about = (about_), .source = ""}
#define LATER(key_, about_)                                                                        \
    {.key = (key_), .kind = MBL_FIELD_LATER, .about = (about_), .source = ""}

#define SCHEMA(symbol_, name_, type_, fields_, rules_, about_)                                     \
    const mbl_schema symbol_ = {.name = (name_),                                                   \
                                .about = (about_),                                                 \
                                .size = sizeof(type_),                                             \
                                .fields = (fields_),                                               \
                                .nfields = COUNT_OF(fields_),                                      \
                                .present = -1,                                                     \
                                .rules = (rules_)}

/* A rule between fields that is broken. */
static mbl_status broken(mbl_error *err, const char *key, const char *text)
{
    mbl_status status = mbl_fail(err, MBL_INPUT, "%s", text);
    mbl_error_under(err, key);
    return status;
}

/* ---- rotor ---- */

static const char *const constructions[] = {"one-piece", "two-piece", NULL};
static const char *const hats[] = {"plain", "inverted", NULL};

#define T mbl_rotor
static const mbl_field rotor_fields[] = {
    NUMBER("diameter", diameter, MBL_REQUIRED, LENGTH, 0.15, 0.5, NAN,
           "outside diameter of the ring", ""),
    NUMBER("thickness", thickness, MBL_REQUIRED, LENGTH, 0.004, 0.06, NAN,
           "thickness of the ring over both faces", ""),
    NUMBER("ring_mass", ring_mass, MBL_REQUIRED, MASS, 0.5, 25, NAN,
           "mass of the iron ring without its hat", ""),
    NUMBER("hat_mass", hat_mass, MBL_DEFAULT, MASS, 0.2, 8, 1.5,
           "mass of the hat with its hardware", COMMON_PRACTICE),
    NUMBER("ring_height", ring_height, MBL_INFERRED, LENGTH, 0.015, 0.15, NAN,
           "radial depth of the ring; 0.155 of the diameter when not given", COMMON_PRACTICE),
    CHOICE("construction", construction, MBL_DEFAULT, constructions, MBL_ONE_PIECE,
           "hat cast with the ring, or a separate hat of aluminium on bobbins", COMMON_PRACTICE),
    CHOICE("hat", hat, MBL_DEFAULT, hats, MBL_HAT_PLAIN,
           "which face the hat joins; only plain is modelled so far", COMMON_PRACTICE),
    COUNT("vanes", vanes, MBL_INFERRED, 0, 120, NAN,
          "number of vanes, 0 for a solid ring; 0 below 16 mm of thickness and 40 from there on "
          "when not given",
          COMMON_PRACTICE),
    NUMBER("conductivity", conductivity, MBL_DEFAULT, CONDUCTIVITY, 15, 80, 46,
           "conductivity of the ring's iron", "grey iron at 400 C, handbook value from memory"),
    NUMBER("emissivity", emissivity, MBL_DEFAULT, SHARE, 0.05, 0.98, 0.8,
           "emissivity of vanes, hat and edge",
           "oxidised cast iron, tables printed in infrared camera manuals"),
    NUMBER("face_emissivity", face_emissivity, MBL_DEFAULT, SHARE, 0.05, 0.98, 0.4,
           "emissivity of the faces the pads rub",
           "between polished and machined cast iron, tables printed in infrared camera manuals"),
    LATER("minimum", "least thickness"),
    LATER("cost", "price"),
};
#undef T

double mbl_rotor_ring_height(const mbl_rotor *rotor)
{
    return isnan(rotor->ring_height) ? 0.155 * rotor->diameter : rotor->ring_height;
}

int mbl_rotor_vanes(const mbl_rotor *rotor)
{
    if (rotor->vanes >= 0)
        return rotor->vanes;
    return rotor->thickness < 0.016 ? 0 : 40;
}

static mbl_status rotor_rules(const void *filled, mbl_error *err)
{
    const mbl_rotor *r = filled;
    if (r->hat == MBL_HAT_INVERTED)
        return broken(err, "hat", "an inverted hat is not yet modelled; \"plain\" is");
    double height = mbl_rotor_ring_height(r);
    double inner = r->diameter - 2 * height;
    if (inner < 0.2 * r->diameter)
        return broken(err, "ring_height", "the ring is too deep for its diameter");
    /* 7200 kg/m3: a ring cannot be heavier than iron, nor lighter than a third of it */
    double full = 7200 * M_PI / 4 * (r->diameter * r->diameter - inner * inner) * r->thickness;
    if (r->ring_mass > 1.02 * full || r->ring_mass < 0.33 * full) {
        mbl_status status = mbl_fail(
            err, MBL_INPUT,
            "%.3g kg does not fit the ring: solid iron of this size (%.0f x %.1f mm, %.0f mm deep) "
            "weighs %.3g kg and no vented ring less than a third of that; is the hat in it, or a "
            "dimension wrong?",
            r->ring_mass, r->diameter * 1e3, r->thickness * 1e3, height * 1e3, full);
        mbl_error_under(err, "ring_mass");
        return status;
    }
    return MBL_OK;
}

SCHEMA(mbl_rotor_schema, "rotor", mbl_rotor, rotor_fields, rotor_rules, "A brake rotor.");

/* ---- pad ---- */

#define T mbl_pad
static const mbl_field pad_fields[] = {
    NUMBER("area", area, MBL_REQUIRED, AREA, 5e-4, 3e-2, NAN,
           "rubbing area of one pad", ""),
    NUMBER("height", height, MBL_REQUIRED, LENGTH, 0.015, 0.12, NAN,
           "radial height of the friction material", ""),
    NUMBER("thickness", thickness, MBL_REQUIRED, LENGTH, 0.003, 0.04, NAN,
           "thickness of the friction material when new", ""),
    NUMBER("thickness_now", thickness_now, MBL_INFERRED, LENGTH, 0.0005, 0.04, NAN,
           "thickness of the friction material at present; new when not given", ""),
    {.key = "friction", .kind = MBL_FIELD_CURVE, .need = MBL_REQUIRED, .offset = AT(T, friction),
     .quantity = MBL_Q_LEVEL, .lo = 0.02, .hi = 1.2, .least = 1, .most = MBL_CURVE_MAX,
     .about = "coefficient of friction over face temperature: { { 20, 0.38 }, { 300, 0.48 } }",
     .source = ""},
    {.key = "window", .kind = MBL_FIELD_NUMBERS, .need = MBL_REQUIRED, .offset = AT(T, window),
     .quantity = MBL_Q_LEVEL, .lo = K(-40), .hi = K(1200), .least = 2, .most = 2,
     .about = "face temperatures the pad works between: { \"150 C\", \"700 C\" }", .source = ""},
    NUMBER("conductivity", conductivity, MBL_DEFAULT, CONDUCTIVITY, 0.2, 40, 3.0,
           "conductivity of the friction material",
           "semi-metallic material, handbook value from memory"),
    NUMBER("density", density, MBL_DEFAULT, DENSITY, 1000, 8000, 2700,
           "density of the friction material",
           "semi-metallic material, handbook value from memory"),
    NUMBER("specific_heat", specific_heat, MBL_DEFAULT, SPECIFIC_HEAT, 300, 2500, 900,
           "specific heat of the friction material",
           "semi-metallic material, handbook value from memory"),
    NUMBER("plate_thickness", plate_thickness, MBL_DEFAULT, LENGTH, 0.001, 0.012, 0.005,
           "thickness of the steel backing plate", COMMON_PRACTICE),
    NUMBER("contact", contact, MBL_DEFAULT, FILM, 500, 200000, 8000,
           "conductance of the contact layer per MPa of contact pressure", COMMON_PRACTICE),
    LATER("worn_at", "thickness at which the pad is changed"),
    LATER("wear", "wear law"),
    LATER("speed_effect", "friction against speed"),
    LATER("pressure_effect", "friction against pressure"),
    LATER("cost", "price"),
};
#undef T

static mbl_status pad_rules(const void *filled, mbl_error *err)
{
    const mbl_pad *p = filled;
    if (p->window.v[1] <= p->window.v[0])
        return broken(err, "window", "the upper end must be hotter than the lower end");
    if (!isnan(p->thickness_now) && p->thickness_now > p->thickness)
        return broken(err, "thickness_now", "the pad cannot be thicker than when it was new");
    return MBL_OK;
}

SCHEMA(mbl_pad_schema, "pad", mbl_pad, pad_fields, pad_rules, "A brake pad.");

/* ---- caliper ---- */

static const char *const caliper_types[] = {"fixed", "sliding", NULL};
static const char *const bodies[] = {"aluminium", "iron", NULL};
static const char *const piston_materials[] = {"steel", "aluminium", "titanium", NULL};

#define T mbl_caliper
static const mbl_field caliper_fields[] = {
    CHOICE("type", type, MBL_REQUIRED, caliper_types, 0,
           "pistons on both sides, or on one side of a sliding body", ""),
    {.key = "pistons", .kind = MBL_FIELD_NUMBERS, .need = MBL_REQUIRED, .offset = AT(T, pistons),
     .quantity = MBL_Q_LENGTH, .lo = 0.015, .hi = 0.08, .least = 1, .most = MBL_NUMBERS_MAX,
     .about = "piston diameters of ONE side: { \"38 mm\", \"34 mm\" }", .source = ""},
    NUMBER("mass", mass, MBL_REQUIRED, MASS, 0.5, 12, NAN, "mass of one caliper without pads", ""),
    CHOICE("body", body, MBL_DEFAULT, bodies, MBL_BODY_ALUMINIUM, "what the body is made of",
           COMMON_PRACTICE),
    CHOICE("piston", piston, MBL_DEFAULT, piston_materials, MBL_PISTON_STEEL,
           "what the pistons are made of", COMMON_PRACTICE),
    LATER("stiffness", "opening under pressure"),
    LATER("rating", "highest line pressure"),
    LATER("cost", "price"),
};
#undef T

SCHEMA(mbl_caliper_schema, "caliper", mbl_caliper, caliper_fields, NULL, "A brake caliper.");

/* ---- fluid ---- */

#define T mbl_fluid
static const mbl_field fluid_fields[] = {
    NUMBER("dry", dry, MBL_REQUIRED, LEVEL, K(150), K(400), NAN,
           "boiling point of fresh fluid", ""),
    NUMBER("wet", wet, MBL_REQUIRED, LEVEL, K(110), K(350), NAN,
           "boiling point in the wet test (3.7 % water)", ""),
    NUMBER("water", water, MBL_DEFAULT, SHARE, 0, 0.08, 0.015,
           "water dissolved in it at present, by mass",
           "about a year in service; surveys show wide scatter at equal age"),
    LATER("grade", "class of a standard"),
    LATER("uptake", "water taken up in a month"),
    LATER("cost", "price"),
};
#undef T

static mbl_status fluid_rules(const void *filled, mbl_error *err)
{
    const mbl_fluid *f = filled;
    if (f->wet >= f->dry)
        return broken(err, "wet", "the wet boiling point must be below the dry one");
    return MBL_OK;
}

SCHEMA(mbl_fluid_schema, "fluid", mbl_fluid, fluid_fields, fluid_rules, "A brake fluid.");

/* ---- brake ---- */

#define T mbl_brake
static const mbl_field brake_fields[] = {
    PART("rotor", rotor, MBL_REQUIRED, &mbl_rotor_schema, "the rotor"),
    PART("pad", pad, MBL_REQUIRED, &mbl_pad_schema, "the pads"),
    PART("caliper", caliper, MBL_REQUIRED, &mbl_caliper_schema, "the caliper"),
    NUMBER("airflow", airflow, MBL_DEFAULT, SHARE, 0.05, 1.5, 1,
           "speed of the air at this brake over that behind an ordinary wheel; less behind a "
           "closed wheel or a splash shield",
           "the film law of the faces was published for a disc in a wheel, by the car's speed"),
    NUMBER("effective_radius", effective_radius, MBL_INFERRED, LENGTH, 0.05, 0.25, NAN,
           "radius the friction force acts at; rotor radius less half the pad height when not "
           "given",
           "uniform pressure on a narrow pad, geometry"),
    LATER("duct", "cooling duct"),
    LATER("left", "left corner on its own"),
    LATER("right", "right corner on its own"),
};
#undef T

static mbl_status brake_rules(const void *filled, mbl_error *err)
{
    const mbl_brake *b = filled;
    double height = mbl_rotor_ring_height(&b->rotor);
    if (b->pad.height > 1.05 * height)
        return broken(err, "pad.height", "the pad is taller than the rotor's ring is deep");
    double mean = b->rotor.diameter - b->pad.height;
    if (b->pad.area > 0.35 * M_PI * mean * b->pad.height)
        return broken(err, "pad.area",
                      "one pad cannot cover more than about a third of the face it rubs");
    if (!isnan(b->effective_radius) && (b->effective_radius > b->rotor.diameter / 2 ||
                                        b->effective_radius < b->rotor.diameter / 2 - height))
        return broken(err, "effective_radius", "it lies outside the ring of the rotor");
    return MBL_OK;
}

SCHEMA(mbl_brake_schema, "brake", mbl_brake, brake_fields, brake_rules,
       "The brake of one wheel; both wheels of an axle have the same.");

/* ---- car ---- */

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
    NUMBER("drag_area", aero.drag_area, MBL_DEFAULT, AREA, 0.1, 3, 0.7,
           "drag coefficient times frontal area", COMMON_PRACTICE),
    LATER("downforce_area", "lift coefficient times frontal area"),
    LATER("front_share", "share of downforce in front"),
};
static const mbl_field tyre_fields[] = {
    NUMBER("radius", tyre.radius, MBL_REQUIRED, LENGTH, 0.2, 0.5, NAN, "rolling radius", ""),
    LATER("grip", "friction of the tyre"),
    LATER("load_sensitivity", "loss of grip with load"),
};
/* groups share the car's struct: their rows' offsets count from its start */
static const mbl_schema load_schema = {.name = "load", .about = "What rides along.",
    .size = sizeof(mbl_car), .fields = load_fields, .nfields = COUNT_OF(load_fields), .present = -1};
static const mbl_schema fuel_schema = {.name = "fuel", .about = "Fuel and its use.",
    .size = sizeof(mbl_car), .fields = fuel_fields, .nfields = COUNT_OF(fuel_fields), .present = -1};
static const mbl_schema aero_schema = {.name = "aero", .about = "What the air does.",
    .size = sizeof(mbl_car), .fields = aero_fields, .nfields = COUNT_OF(aero_fields), .present = -1};
static const mbl_schema tyre_schema = {.name = "tyre", .about = "The tyres.",
    .size = sizeof(mbl_car), .fields = tyre_fields, .nfields = COUNT_OF(tyre_fields), .present = -1};

/* a group of the same struct: its member offset is 0 */
#define INLINE(key_, need_, sub_, about_)                                                          \
    {.key = (key_), .kind = MBL_FIELD_GROUP, .need = (need_), .offset = 0, .sub = (sub_),          \
     .about = (about_), .source = ""}

static const mbl_field car_fields[] = {
    NUMBER("mass", mass, MBL_REQUIRED, MASS, 200, 4000, NAN,
           "mass on the scales with the driver in, without fuel where fuel is given", ""),
    INLINE("load", MBL_DEFAULT, &load_schema, "what rides along, added to the mass"),
    INLINE("fuel", MBL_DEFAULT, &fuel_schema, "fuel, added to the mass and used lap by lap"),
    NUMBER("rotating", rotating, MBL_DEFAULT, SHARE, 0, 0.2, 0.04,
           "mass that wheels, rotors and driveline add when the car slows", COMMON_PRACTICE),
    NUMBER("rolling", rolling, MBL_DEFAULT, SHARE, 0, 0.1, 0.015,
           "rolling resistance over weight", COMMON_PRACTICE),
    NUMBER("engine_braking", engine_braking, MBL_DEFAULT, ACCELERATION, 0, 3, 0.4,
           "deceleration by the engine with the throttle closed", COMMON_PRACTICE),
    INLINE("aero", MBL_DEFAULT, &aero_schema, "what the air does"),
    INLINE("tyre", MBL_REQUIRED, &tyre_schema, "the tyres"),
    PART("fluid", fluid, MBL_REQUIRED, &mbl_fluid_schema, "the brake fluid"),
    PART("front", front, MBL_REQUIRED, &mbl_brake_schema, "the front brakes"),
    PART("rear", rear, MBL_REQUIRED, &mbl_brake_schema, "the rear brakes"),
    LATER("front_weight", "share of the weight on the front axle"),
    LATER("cg_height", "height of the centre of gravity"),
    LATER("wheelbase", "distance between the axles"),
    LATER("power", "engine power"),
    LATER("abs", "anti-lock system"),
    LATER("pedal", "pedal, masters and distribution"),
    LATER("found", "what an inspection found"),
    LATER("cost", "price"),
};
#undef T

static mbl_status car_rules(const void *filled, mbl_error *err)
{
    const mbl_car *c = filled;
    if (c->front.rotor.diameter / 2 > c->tyre.radius || c->rear.rotor.diameter / 2 > c->tyre.radius)
        return broken(err, "tyre.radius", "a rotor is larger than the tyre");
    return MBL_OK;
}

const mbl_schema mbl_car_schema = {.name = "car",
                                   .about = "A car with its brakes.",
                                   .size = sizeof(mbl_car),
                                   .fields = car_fields,
                                   .nfields = COUNT_OF(car_fields),
                                   .present = offsetof(mbl_car, present),
                                   .rules = car_rules};

/* ---- course ---- */

#define T mbl_course
static const mbl_field course_fields[] = {
    TEXT("file", file, MBL_REQUIRED,
         "the logger's file, CSV or GPX, beside the script or below the root"),
    TEXT("time", time, MBL_OPTIONAL, "name of the time column; guessed when not given"),
    TEXT("speed", speed, MBL_OPTIONAL, "name of the speed column; guessed when not given"),
    TEXT("lap", lap, MBL_OPTIONAL, "name of the lap number column; guessed when not given"),
    TEXT("distance", distance, MBL_OPTIONAL,
         "name of the distance column; guessed when not given; gives the speed where there is no "
         "other"),
    TEXT("altitude", altitude, MBL_OPTIONAL,
         "name of the altitude column; guessed when not given; gives the grade"),
    TEXT("pressure_front", pressure_front, MBL_OPTIONAL,
         "name of the column of front line pressure; guessed when not given; says when the brakes "
         "are on and how hard, where it explains the braking"),
    TEXT("pressure_rear", pressure_rear, MBL_OPTIONAL,
         "name of the column of rear line pressure; guessed when not given"),
    TEXT("latitude", latitude, MBL_OPTIONAL,
         "name of the latitude column; guessed when not given; with longitude gives the speed "
         "where there is no other, and laps for start_line"),
    TEXT("longitude", longitude, MBL_OPTIONAL,
         "name of the longitude column; guessed when not given"),
    TEXT("time_unit", time_unit, MBL_OPTIONAL, "unit of time, whatever the file says"),
    TEXT("speed_unit", speed_unit, MBL_OPTIONAL, "unit of speed, whatever the file says"),
    TEXT("distance_unit", distance_unit, MBL_OPTIONAL, "unit of distance, whatever the file says"),
    TEXT("altitude_unit", altitude_unit, MBL_OPTIONAL, "unit of altitude, whatever the file says"),
    TEXT("pressure_front_unit", pressure_front_unit, MBL_OPTIONAL,
         "unit of front line pressure, whatever the file says"),
    TEXT("pressure_rear_unit", pressure_rear_unit, MBL_OPTIONAL,
         "unit of rear line pressure, whatever the file says"),
    {.key = "start_line", .kind = MBL_FIELD_NUMBERS, .need = MBL_OPTIONAL,
     .offset = AT(T, start_line), .quantity = MBL_Q_COUNT, .lo = -180, .hi = 180, .least = 2,
     .most = 2,
     .about = "where laps begin: latitude and longitude in degrees, north and east positive: "
              "{ 12.5012, -34.2488 }",
     .source = ""},
    COUNT("hot_lap", hot_lap, MBL_DEFAULT, 0, 100000, 0,
          "number of the logged lap that is repeated; 0 for the hot lap of median time", ""),
    PART("of", of, MBL_OPTIONAL, &mbl_car_schema,
         "the car that made the log: decides where its brakes were on; the car of the run when "
         "not given"),
    {.key = "trace", .kind = MBL_FIELD_HANDLE, .need = MBL_OPTIONAL, .offset = AT(T, trace),
     .about = "", .source = ""},
};
#undef T

static mbl_status course_rules(const void *filled, mbl_error *err)
{
    const mbl_course *c = filled;
    if (c->start_line.n > 0 && fabs(c->start_line.v[0]) > 90)
        return broken(err, "start_line[1]", "a latitude lies between -90 and 90 degrees");
    return MBL_OK;
}

SCHEMA(mbl_course_schema, "trace", mbl_course, course_fields, course_rules,
       "A course as one logged drive of it.");

/* ---- stint ---- */

static const char *const phase_words[] = {"out",  "hot",  "traffic", "cool",
                                          "in",   "park", "logged",  NULL};
static const char *const judges[] = {"lesser", "present", NULL};

const char *mbl_phase_word(mbl_phase_kind kind)
{
    return phase_words[kind];
}

#define T mbl_phase
static const mbl_field phase_fields[] = {
    CHOICE(NULL, kind, MBL_REQUIRED, phase_words, 0, "what is driven", ""),
    COUNT("laps", laps, MBL_DEFAULT, 1, 500, 1, "how many laps of it", ""),
    NUMBER("time", time, MBL_OPTIONAL, TIME, 1, 86400, NAN, "how long, for park", ""),
    NUMBER("pace", pace, MBL_INFERRED, SHARE, 0.2, 1.2, NAN,
           "speed over that of the lap repeated; that of its kind when not given", ""),
};
#undef T

static mbl_status phase_rules(const void *filled, mbl_error *err)
{
    const mbl_phase *p = filled;
    bool park = p->kind == MBL_PHASE_PARK;
    if (park && isnan(p->time))
        return broken(err, "time", "missing: how long the car is parked, as \"10 min\"");
    if (!park && !isnan(p->time))
        return broken(err, "time", "only { \"park\" } has a time; laps have laps");
    if (park && p->laps != 1)
        return broken(err, "laps", "a parked car drives no laps");
    if ((park || p->kind == MBL_PHASE_LOGGED) && !isnan(p->pace))
        return broken(err, "pace", "only laps that are repeated have a pace");
    if (p->kind == MBL_PHASE_LOGGED && p->laps != 1)
        return broken(err, "laps", "a logged session has the laps it has");
    return MBL_OK;
}

SCHEMA(mbl_phase_schema, "phase", mbl_phase, phase_fields, phase_rules, "A phase of a stint.");

#define T mbl_stint
static const mbl_field pace_fields[] = {
    NUMBER("out", pace.out, MBL_DEFAULT, SHARE, 0.2, 1.2, 0.7, "out-laps", COMMON_PRACTICE),
    NUMBER("hot", pace.hot, MBL_DEFAULT, SHARE, 0.2, 1.2, 1, "hot laps", ""),
    NUMBER("traffic", pace.traffic, MBL_DEFAULT, SHARE, 0.2, 1.2, 0.78, "laps in traffic",
           "a slow lap takes 35 to 45 % less energy, computed from one public race log"),
    NUMBER("cool", pace.cool, MBL_DEFAULT, SHARE, 0.2, 1.2, 0.6, "cool-down and in-laps",
           COMMON_PRACTICE),
};
static const mbl_schema pace_schema = {.name = "pace",
    .about = "Speed over that of the lap repeated; time stretches by its inverse, deceleration "
             "goes with its square.",
    .size = sizeof(mbl_stint), .fields = pace_fields, .nfields = COUNT_OF(pace_fields),
    .present = -1};

static const mbl_field stint_fields[] = {
    {.key = NULL, .kind = MBL_FIELD_ITEMS, .need = MBL_OPTIONAL, .offset = AT(T, phases),
     .least = 1, .most = MBL_ITEMS_MAX, .sub = &mbl_phase_schema,
     .about = "the phases in order: { \"out\" }, { \"hot\", laps = 5 }, { \"park\", time = "
              "\"10 min\" }",
     .source = ""},
    COUNT("out", out, MBL_DEFAULT, 0, 20, 0, "out-laps", ""),
    COUNT("hot", hot, MBL_DEFAULT, 0, 1000, 0, "hot laps", ""),
    COUNT("cool", cool, MBL_DEFAULT, 0, 20, 0, "cool-down laps", ""),
    NUMBER("park", park, MBL_DEFAULT, TIME, 0, 86400, 0, "time parked at the end", ""),
    FLAG("logged", logged, 0,
         "drive the logged session as it is, in place of out, hot and cool"),
    NUMBER("ambient", ambient, MBL_DEFAULT, LEVEL, K(-30), K(60), K(25), "air temperature",
           COMMON_PRACTICE),
    NUMBER("altitude", altitude, MBL_DEFAULT, LENGTH, -500, 5000, 0,
           "height above the sea: thins the air and lowers boiling points", ""),
    NUMBER("start", start, MBL_INFERRED, LEVEL, K(-30), K(300), NAN,
           "temperature of every part at the start; ambient when not given", ""),
    CHOICE("judge", judge, MBL_DEFAULT, judges, MBL_JUDGE_LESSER,
           "which boiling point judges: the lesser of wet and present, or the present one", ""),
    NUMBER("pit_speed", pit_speed, MBL_DEFAULT, SPEED, 0, 40, 60 / 3.6,
           "speed from which the car stops before it parks", COMMON_PRACTICE),
    INLINE("pace", MBL_DEFAULT, &pace_schema, "pace of each kind of lap"),
};
#undef T

static mbl_status stint_rules(const void *filled, mbl_error *err)
{
    const mbl_stint *s = filled;
    if (s->phases.n > 0) {
        if (s->out > 0 || s->hot > 0 || s->cool > 0 || s->park > 0 || s->logged)
            return broken(err, s->hot > 0 ? "hot" : s->park > 0 ? "park" : s->out > 0 ? "out" :
                          s->cool > 0 ? "cool" : "logged",
                          "a stint is either a list of phases or out, hot, cool and park");
        bool drives = false;
        for (size_t i = 0; i < s->phases.n; i++)
            drives = drives || s->phases.v[i].kind != MBL_PHASE_PARK;
        return drives ? MBL_OK : broken(err, "", "nothing is driven in this stint");
    }
    if (s->logged && (s->out > 0 || s->hot > 0 || s->cool > 0))
        return broken(err, "logged", "a logged session takes the place of out, hot and cool");
    if (!s->logged && s->out + s->hot + s->cool == 0)
        return broken(err, "hot", "missing: how many laps are driven, as hot = 12");
    return MBL_OK;
}

SCHEMA(mbl_stint_schema, "stint", mbl_stint, stint_fields, stint_rules,
       "What is driven, in which air.");

/* ---- limits ---- */

#define T mbl_limits
static const mbl_field limits_fields[] = {
    NUMBER("rotor", rotor, MBL_DEFAULT, LEVEL, K(100), K(1000), K(700),
           "highest core temperature of a rotor",
           "trade articles put the limit of iron at 650 to 700 C"),
    NUMBER("caliper", caliper, MBL_DEFAULT, LEVEL, K(80), K(350), K(200),
           "highest temperature of a caliper's body: seals and boots", COMMON_PRACTICE),
    NUMBER("rotor_band", rotor_band, MBL_DEFAULT, RISE, 0, 300, 75,
           "margin below which a rotor is marginal", COMMON_PRACTICE),
    NUMBER("pad_band", pad_band, MBL_DEFAULT, RISE, 0, 300, 50,
           "margin below which a pad is marginal", COMMON_PRACTICE),
    NUMBER("caliper_band", caliper_band, MBL_DEFAULT, RISE, 0, 300, 25,
           "margin below which a caliper is marginal", COMMON_PRACTICE),
    NUMBER("fluid_band", fluid_band, MBL_DEFAULT, RISE, 0, 300, 30,
           "margin below which a fluid is marginal", COMMON_PRACTICE),
};
#undef T

SCHEMA(mbl_limits_schema, "limits", mbl_limits, limits_fields, NULL,
       "What the checks compare with.");

/* ---- case ---- */

#define T mbl_case
static const mbl_field case_fields[] = {
    PART("car", car, MBL_REQUIRED, &mbl_car_schema, "the car"),
    PART("course", course, MBL_REQUIRED, &mbl_course_schema, "the course, made by el.trace"),
    PART("stint", stint, MBL_REQUIRED, &mbl_stint_schema, "the stint"),
    GROUP("limits", limits, &mbl_limits_schema, "limits and marginal bands of the checks"),
};
#undef T

SCHEMA(mbl_case_schema, "run", mbl_case, case_fields, NULL, "One car, one course, one stint.");

const mbl_schema *const mbl_schemas[] = {
    &mbl_car_schema,    &mbl_brake_schema, &mbl_rotor_schema,  &mbl_pad_schema,
    &mbl_caliper_schema, &mbl_fluid_schema, &mbl_course_schema, &mbl_stint_schema,
    &mbl_phase_schema,  &mbl_limits_schema, &mbl_case_schema,   NULL};
