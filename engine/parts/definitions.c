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
    {                                                                                              \
        .key = (key_), .kind = MBL_FIELD_NUMBER, .need = (need_), .offset = AT(T, member_),        \
        .quantity = MBL_Q_##quantity_, .lo = (lo_), .hi = (hi_), .fallback = (fallback_),          \
        .about = (about_), .source = (source_)                                                     \
    }
/* The same for a default whose usual range is known: what a run tries to see how much it matters.
 */
#define ASSUMED(key_, member_, quantity_, lo_, hi_, fallback_, usual_lo_, usual_hi_, about_,       \
                source_)                                                                           \
    {                                                                                              \
        .key = (key_), .kind = MBL_FIELD_NUMBER, .need = MBL_DEFAULT, .offset = AT(T, member_),    \
        .quantity = MBL_Q_##quantity_, .lo = (lo_), .hi = (hi_), .usual_lo = (usual_lo_),          \
        .usual_hi = (usual_hi_), .fallback = (fallback_), .about = (about_), .source = (source_)   \
    }
#define COUNT(key_, member_, need_, lo_, hi_, fallback_, about_, source_)                          \
    {                                                                                              \
        .key = (key_), .kind = MBL_FIELD_COUNT, .need = (need_), .offset = AT(T, member_),         \
        .quantity = MBL_Q_COUNT, .lo = (lo_), .hi = (hi_), .fallback = (fallback_),                \
        .about = (about_), .source = (source_)                                                     \
    }
#define CHOICE(key_, member_, need_, choices_, fallback_, about_, source_)                         \
    {                                                                                              \
        .key = (key_), .kind = MBL_FIELD_CHOICE, .need = (need_), .offset = AT(T, member_),        \
        .choices = (choices_), .fallback = (fallback_), .about = (about_), .source = (source_)     \
    }
#define TEXT(key_, member_, need_, about_)                                                         \
    {                                                                                              \
        .key = (key_), .kind = MBL_FIELD_TEXT, .need = (need_), .offset = AT(T, member_),          \
        .about = (about_), .source = ""                                                            \
    }
#define FLAG(key_, member_, fallback_, about_)                                                     \
    {                                                                                              \
        .key = (key_), .kind = MBL_FIELD_FLAG, .need = MBL_DEFAULT, .offset = AT(T, member_),      \
        .fallback = (fallback_), .about = (about_), .source = ""                                   \
    }
#define GROUP(key_, member_, sub_, about_)                                                         \
    {                                                                                              \
        .key = (key_), .kind = MBL_FIELD_GROUP, .need = MBL_DEFAULT, .offset = AT(T, member_),     \
        .sub = (sub_), .about = (about_), .source = ""                                             \
    }
#define PART(key_, member_, need_, sub_, about_)                                                   \
    {                                                                                              \
        .key = (key_), .kind = MBL_FIELD_PART, .need = (need_), .offset = AT(T, member_),          \
        .sub = (sub_), .about = (about_), .source = ""                                             \
    }
#define LATER(key_, about_)                                                                        \
    {                                                                                              \
        .key = (key_), .kind = MBL_FIELD_LATER, .about = (about_), .source = ""                    \
    }

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
static const char *const vane_kinds[] = {"straight", "curved", "pillars", NULL};

#define T mbl_rotor
static const mbl_field rotor_fields[] = {
    NUMBER("diameter", diameter, MBL_REQUIRED, LENGTH, 0.15, 0.5, NAN,
           "outside diameter of the ring", ""),
    NUMBER("thickness", thickness, MBL_REQUIRED, LENGTH, 0.004, 0.06, NAN,
           "thickness of the ring over both faces", ""),
    NUMBER("ring_mass", ring_mass, MBL_REQUIRED, MASS, 0.5, 25, NAN,
           "mass of the iron ring without its hat", ""),
    ASSUMED("hat_mass", hat_mass, MASS, 0.2, 8, 1.5, 0.9, 3.5, "mass of the hat with its hardware",
            COMMON_PRACTICE),
    NUMBER("ring_height", ring_height, MBL_INFERRED, LENGTH, 0.015, 0.15, NAN,
           "radial depth of the ring; 0.155 of the diameter when not given", COMMON_PRACTICE),
    CHOICE("construction", construction, MBL_DEFAULT, constructions, MBL_ONE_PIECE,
           "hat cast with the ring, or a separate hat of aluminium on bobbins", COMMON_PRACTICE),
    CHOICE("hat", hat, MBL_DEFAULT, hats, MBL_HAT_PLAIN,
           "plain: vane inlets open inboard, where a duct reaches them; inverted: outboard, behind "
           "the wheel",
           COMMON_PRACTICE),
    COUNT("vanes", vanes, MBL_INFERRED, 0, 120, NAN,
          "number of vanes, 0 for a solid ring; 0 below 16 mm of thickness and 40 from there on "
          "when not given",
          COMMON_PRACTICE),
    CHOICE("vane", vane, MBL_DEFAULT, vane_kinds, MBL_VANES_STRAIGHT,
           "straight or curved vanes, or pillars", COMMON_PRACTICE),
    NUMBER(
        "pumping", pumping, MBL_INFERRED, SHARE, 0.05, 1, NAN,
        "air speed in the vanes over the ideal; 0.5 for straight and 0.65 for curved vanes, 0.45 "
        "for pillars, 0.7 of that with an inverted hat when not given",
        COMMON_PRACTICE),
    ASSUMED("conductivity", conductivity, CONDUCTIVITY, 15, 80, 46, 40, 54,
            "conductivity of the ring's iron", "grey iron at 400 C, handbook value from memory"),
    ASSUMED("emissivity", emissivity, SHARE, 0.05, 0.98, 0.8, 0.6, 0.95,
            "emissivity of vanes, hat and edge",
            "oxidised cast iron, tables printed in infrared camera manuals"),
    ASSUMED("face_emissivity", face_emissivity, SHARE, 0.05, 0.98, 0.4, 0.25, 0.55,
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

double mbl_rotor_pumping(const mbl_rotor *rotor)
{
    static const double by_kind[] = {0.5, 0.65, 0.45};
    if (!isnan(rotor->pumping))
        return rotor->pumping;
    return by_kind[rotor->vane] * (rotor->hat == MBL_HAT_INVERTED ? 0.7 : 1.0);
}

static mbl_status rotor_rules(const void *filled, mbl_error *err)
{
    const mbl_rotor *r = filled;
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

static const char *const conditions[] = {"bedded", "green", "glazed", NULL};

double mbl_pad_condition(const mbl_pad *pad)
{
    static const double factor[] = {1.0, 0.75, 0.65};
    return factor[pad->condition];
}

#define T mbl_pad
static const mbl_field pad_fields[] = {
    NUMBER("area", area, MBL_REQUIRED, AREA, 5e-4, 3e-2, NAN, "rubbing area of one pad", ""),
    NUMBER("height", height, MBL_REQUIRED, LENGTH, 0.015, 0.12, NAN,
           "radial height of the friction material", ""),
    NUMBER("thickness", thickness, MBL_REQUIRED, LENGTH, 0.003, 0.04, NAN,
           "thickness of the friction material when new", ""),
    NUMBER("thickness_now", thickness_now, MBL_INFERRED, LENGTH, 0.0005, 0.04, NAN,
           "thickness of the friction material at present; new when not given", ""),
    {.key = "friction",
     .kind = MBL_FIELD_CURVE,
     .need = MBL_REQUIRED,
     .offset = AT(T, friction),
     .quantity = MBL_Q_LEVEL,
     .x_lo = K(0),
     .x_hi = K(1000),
     .lo = 0.02,
     .hi = 1.2,
     .least = 1,
     .most = MBL_CURVE_MAX,
     .about = "coefficient of friction over face temperature: { { 20, 0.38 }, { 300, 0.48 } }",
     .source = ""},
    {.key = "window",
     .kind = MBL_FIELD_NUMBERS,
     .need = MBL_REQUIRED,
     .offset = AT(T, window),
     .quantity = MBL_Q_LEVEL,
     .lo = K(-40),
     .hi = K(1200),
     .least = 2,
     .most = 2,
     .about = "face temperatures the pad works between: { \"150 C\", \"700 C\" }",
     .source = ""},
    ASSUMED("conductivity", conductivity, CONDUCTIVITY, 0.2, 40, 3.0, 1, 5,
            "conductivity of the friction material",
            "semi-metallic material, handbook value from memory"),
    ASSUMED("density", density, DENSITY, 1000, 8000, 2700, 2200, 2900,
            "density of the friction material",
            "semi-metallic material, handbook value from memory"),
    ASSUMED("specific_heat", specific_heat, SPECIFIC_HEAT, 300, 2500, 900, 800, 1200,
            "specific heat of the friction material",
            "semi-metallic material, handbook value from memory"),
    ASSUMED("plate_thickness", plate_thickness, LENGTH, 0.001, 0.012, 0.005, 0.004, 0.007,
            "thickness of the steel backing plate", COMMON_PRACTICE),
    ASSUMED("contact", contact, FILM, 500, 200000, 8000, 3000, 20000,
            "conductance of the contact layer per MPa of contact pressure", COMMON_PRACTICE),
    LATER("worn_at", "thickness at which the pad is changed"),
    LATER("wear", "wear law"),
    {.key = "speed_effect",
     .kind = MBL_FIELD_CURVE,
     .need = MBL_OPTIONAL,
     .offset = AT(T, speed_effect),
     .quantity = MBL_Q_SPEED,
     .x_lo = 0,
     .x_hi = 120,
     .lo = 0.2,
     .hi = 2,
     .least = 1,
     .most = MBL_CURVE_MAX,
     .about = "factor on friction over the speed of the car",
     .source = ""},
    {.key = "pressure_effect",
     .kind = MBL_FIELD_CURVE,
     .need = MBL_OPTIONAL,
     .offset = AT(T, pressure_effect),
     .quantity = MBL_Q_PRESSURE,
     .x_lo = 0,
     .x_hi = 2e7,
     .lo = 0.2,
     .hi = 2,
     .least = 1,
     .most = MBL_CURVE_MAX,
     .about = "factor on friction over line pressure",
     .source = ""},
    CHOICE("condition", condition, MBL_DEFAULT, conditions, MBL_PAD_BEDDED,
           "bedded; green (not bedded yet): friction times 0.75; glazed: times 0.65",
           COMMON_PRACTICE),
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
    {.key = "pistons",
     .kind = MBL_FIELD_NUMBERS,
     .need = MBL_REQUIRED,
     .offset = AT(T, pistons),
     .quantity = MBL_Q_LENGTH,
     .lo = 0.015,
     .hi = 0.08,
     .least = 1,
     .most = MBL_NUMBERS_MAX,
     .about = "piston diameters of ONE side: { \"38 mm\", \"34 mm\" }",
     .source = ""},
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

static const char *const grades[] = {"DOT 3",   "DOT 4",     "DOT 5",   "DOT 5.1", "class 3",
                                     "class 4", "class 5-1", "class 6", "class 7", NULL};

/*
 * Least dry and wet boiling points, C. DOT: FMVSS 116 S5.1.1 and S5.1.2, by a third party's
 * transcription; DOT 5.1 is held to the row of DOT 5. Classes: ISO 4925, from memory.
 */
static const double grade_minimum[][2] = {{205, 140}, {230, 155}, {260, 180},
                                          {260, 180}, {205, 140}, {230, 155},
                                          {260, 180}, {250, 165}, {260, 180}};

double mbl_fluid_dry(const mbl_fluid *f)
{
    return isnan(f->dry) ? K(grade_minimum[f->grade][0]) : f->dry;
}

double mbl_fluid_wet(const mbl_fluid *f)
{
    return isnan(f->wet) ? K(grade_minimum[f->grade][1]) : f->wet;
}

double mbl_fluid_water(const mbl_fluid *f)
{
    const double month = 30 * 86400.0;
    return isnan(f->water) ? fmin(f->uptake * f->age / month, 0.08) : f->water;
}

bool mbl_fluid_keeps_water_apart(const mbl_fluid *f)
{
    return f->grade == MBL_DOT_5;
}

#define T mbl_fluid
static const mbl_field fluid_fields[] = {
    CHOICE("grade", grade, MBL_OPTIONAL, grades, -1,
           "class of FMVSS 116 or ISO 4925: gives its least boiling points where dry and wet are "
           "not given; DOT 5 (silicone) keeps water apart",
           ""),
    NUMBER("dry", dry, MBL_INFERRED, LEVEL, K(150), K(400), NAN,
           "boiling point of fresh fluid; the least its grade allows when not given",
           "FMVSS 116, ISO 4925"),
    NUMBER("wet", wet, MBL_INFERRED, LEVEL, K(110), K(350), NAN,
           "boiling point in the wet test (3.7 % water); the least its grade allows when not given",
           "FMVSS 116, ISO 4925"),
    NUMBER("water", water, MBL_INFERRED, SHARE, 0, 0.08, NAN,
           "water in it at present, by mass; age times uptake when not given",
           "surveys show wide scatter at equal age"),
    ASSUMED("age", age, TIME, 0, 20 * 365 * 86400.0, 360 * 86400.0, 90 * 86400.0, 720 * 86400.0,
            "time since its bottle was opened", COMMON_PRACTICE),
    ASSUMED("uptake", uptake, SHARE, 0, 0.01, 0.00125, 0.0008, 0.002,
            "water taken up in 30 days, by mass; no prediction: 0.0008 to 0.002 is usual",
            "1 to 2 % a year, refractometer study of European fluids"),
    {.key = "boiling",
     .kind = MBL_FIELD_CURVE,
     .need = MBL_OPTIONAL,
     .offset = AT(T, boiling),
     .quantity = MBL_Q_SHARE,
     .lo = 60,
     .hi = 400,
     .x_lo = 0,
     .x_hi = 0.08,
     .least = 2,
     .most = MBL_CURVE_MAX,
     .about = "boiling point (C) over water by mass, in place of the law through dry and wet",
     .source = ""},
    LATER("cost", "price"),
};
#undef T

static mbl_status fluid_rules(const void *filled, mbl_error *err)
{
    const mbl_fluid *f = filled;
    if (f->grade < 0 && isnan(f->dry))
        return broken(err, "dry", "missing: \"dry\" (boiling point of fresh fluid), or a grade");
    if (f->grade < 0 && isnan(f->wet))
        return broken(err, "wet", "missing: \"wet\" (boiling point in the wet test), or a grade");
    if (mbl_fluid_wet(f) >= mbl_fluid_dry(f))
        return broken(err, "wet", "the wet boiling point must be below the dry one");
    return MBL_OK;
}

SCHEMA(mbl_fluid_schema, "fluid", mbl_fluid, fluid_fields, fluid_rules, "A brake fluid.");

/* ---- duct ---- */

static const char *const inlets[] = {"flush", "submerged", "nose", NULL};
static const char *const hoses[] = {"smooth", "corrugated", "compressed", NULL};
static const char *const hose_materials[] = {"silicone", "neoprene", NULL};
static const char *const aims[] = {"eye", "open eye", "face", "caliper", NULL};

#define T mbl_duct
static const mbl_field duct_fields[] = {
    NUMBER("bore", bore, MBL_REQUIRED, LENGTH, 0.02, 0.2, NAN, "inside diameter of the hose", ""),
    NUMBER("length", length, MBL_REQUIRED, LENGTH, 0.05, 6, NAN, "length of the hose", ""),
    COUNT("bends", bends, MBL_DEFAULT, 0, 12, 2, "bends of 90 degrees", COMMON_PRACTICE),
    CHOICE("inlet", inlet, MBL_DEFAULT, inlets, MBL_INLET_SUBMERGED,
           "flush opening, submerged inlet, or an opening in the nose", COMMON_PRACTICE),
    NUMBER("recovery", recovery, MBL_INFERRED, SHARE, 0, 1, NAN,
           "dynamic pressure that the inlet recovers; 0.45 flush, 0.8 submerged, 0.95 nose when "
           "not given",
           "textbook ranges from memory"),
    CHOICE("hose", hose, MBL_DEFAULT, hoses, MBL_HOSE_CORRUGATED,
           "smooth, corrugated, or corrugated and compressed", COMMON_PRACTICE),
    CHOICE("material", material, MBL_DEFAULT, hose_materials, MBL_HOSE_SILICONE,
           "what the hose is made of: sets what it bears", COMMON_PRACTICE),
    NUMBER("bears", bears, MBL_INFERRED, LEVEL, K(60), K(600), NAN,
           "highest temperature of the hose; 315 C silicone, 130 C neoprene when not given",
           "trade articles (silicone); common practice (neoprene)"),
    COUNT("hoses", hoses, MBL_DEFAULT, 1, 4, 1, "hoses to each wheel", COMMON_PRACTICE),
    COUNT("split", split, MBL_DEFAULT, 1, 4, 1, "hoses that one inlet feeds", COMMON_PRACTICE),
    NUMBER("taped", taped, MBL_DEFAULT, SHARE, 0, 1, 0, "share of the inlet taped shut", ""),
    ASSUMED("back_pressure", back_pressure, SHARE, 0, 0.9, 0.15, 0, 0.4,
            "pressure where the hose ends, over the dynamic pressure of the car's speed",
            COMMON_PRACTICE),
    CHOICE("aim", aim, MBL_DEFAULT, aims, MBL_AIM_OPEN_EYE,
           "eye of the rotor through a sealed plate, the open eye, one face, or the caliper",
           COMMON_PRACTICE),
    LATER("cost", "price"),
    LATER("mass", "mass"),
};
#undef T

const mbl_schema mbl_duct_schema = {.name = "duct",
                                    .about = "A cooling duct to one wheel.",
                                    .size = sizeof(mbl_duct),
                                    .fields = duct_fields,
                                    .nfields = COUNT_OF(duct_fields),
                                    .present = offsetof(mbl_duct, present)};

/* ---- brake ---- */

#define T mbl_extra_node
static const mbl_field extra_node_fields[] = {
    TEXT(NULL, name, MBL_REQUIRED, "its name"),
    NUMBER("capacity", capacity, MBL_REQUIRED, CAPACITY, 1, 1e6, NAN, "its heat capacity", ""),
};
#undef T
static const mbl_schema extra_node_schema = {.name = "node",
                                             .about = "A heat capacity of one's own.",
                                             .size = sizeof(mbl_extra_node),
                                             .fields = extra_node_fields,
                                             .nfields = COUNT_OF(extra_node_fields),
                                             .present = -1};

#define T mbl_extra_link
static const mbl_field extra_link_fields[] = {
    TEXT("from", from, MBL_REQUIRED, "the node that heat flows from when it is hotter"),
    TEXT("to", to, MBL_REQUIRED, "the other node, or \"ambient\""),
    NUMBER("conductance", conductance, MBL_REQUIRED, CONDUCTANCE, 1e-4, 1e4, NAN,
           "how well heat flows", ""),
};
#undef T
static const mbl_schema extra_link_schema = {.name = "link",
                                             .about = "A link of one's own.",
                                             .size = sizeof(mbl_extra_link),
                                             .fields = extra_link_fields,
                                             .nfields = COUNT_OF(extra_link_fields),
                                             .present = -1};

#define FILM(key_, member_, about_)                                                                \
    {                                                                                              \
        .key = (key_), .kind = MBL_FIELD_FILM, .need = MBL_OPTIONAL, .offset = AT(T, member_),     \
        .quantity = MBL_Q_FILM, .lo = 0, .hi = 5000, .about = (about_), .source = ""               \
    }

#define T mbl_brake
static const mbl_field cooling_fields[] = {
    FILM("faces", cooling.faces, "of the rubbed faces, over speed (m/s) and temperature (C)"),
    FILM("vanes", cooling.vanes, "of the walls of the channels"),
    FILM("caliper", cooling.caliper, "of the caliper's body and the pads' edges"),
};
static const mbl_schema cooling_schema = {.name = "cooling",
                                          .about = "Film laws of one's own.",
                                          .size = sizeof(mbl_brake),
                                          .fields = cooling_fields,
                                          .nfields = COUNT_OF(cooling_fields),
                                          .present = -1};

static const mbl_field brake_fields[] = {
    PART("rotor", rotor, MBL_REQUIRED, &mbl_rotor_schema, "the rotor"),
    PART("pad", pad, MBL_REQUIRED, &mbl_pad_schema, "the pads"),
    PART("caliper", caliper, MBL_REQUIRED, &mbl_caliper_schema, "the caliper"),
    ASSUMED("airflow", airflow, SHARE, 0.05, 1.5, 1, 0.6, 1.2,
            "speed of the air at this brake over that behind an ordinary wheel; less behind a "
            "closed wheel or a splash shield",
            "the film law of the faces was published for a disc in a wheel, by the car's speed"),
    NUMBER("effective_radius", effective_radius, MBL_INFERRED, LENGTH, 0.05, 0.25, NAN,
           "radius the friction force acts at; rotor radius less half the pad height when not "
           "given",
           "uniform pressure on a narrow pad, geometry"),
    {.key = "cooling",
     .kind = MBL_FIELD_GROUP,
     .need = MBL_DEFAULT,
     .offset = 0,
     .sub = &cooling_schema,
     .about = "film laws of one's own, in place of those of docs/model.md",
     .source = ""},
    {.key = "nodes",
     .kind = MBL_FIELD_ITEMS,
     .need = MBL_OPTIONAL,
     .offset = AT(T, nodes),
     .least = 1,
     .most = MBL_EXTRA_NODES,
     .sub = &extra_node_schema,
     .about = "heat capacities of one's own: { { \"shield\", capacity = \"200 J/K\" } }",
     .source = ""},
    {.key = "links",
     .kind = MBL_FIELD_ITEMS,
     .need = MBL_OPTIONAL,
     .offset = AT(T, links),
     .least = 1,
     .most = MBL_EXTRA_LINKS,
     .sub = &extra_link_schema,
     .about = "links of one's own: { { from = \"pad.plate\", to = \"shield\", conductance = \"2 "
              "W/K\" } }; an end is a node of the corner, one of nodes, or \"ambient\"",
     .source = ""},
    PART("duct", duct, MBL_OPTIONAL, &mbl_duct_schema, "the cooling duct; none when not given"),
    ASSUMED("still_air", still_air, SHARE, 0.1, 1, 0.7, 0.4, 1,
            "natural convection over that of a free surface: what the wheel arch leaves",
            COMMON_PRACTICE),
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
    ASSUMED("drag_area", aero.drag_area, AREA, 0.1, 3, 0.7, 0.55, 0.9,
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

/* a group of the same struct: its member offset is 0 */
#define INLINE(key_, need_, sub_, about_)                                                          \
    {                                                                                              \
        .key = (key_), .kind = MBL_FIELD_GROUP, .need = (need_), .offset = 0, .sub = (sub_),       \
        .about = (about_), .source = ""                                                            \
    }

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
    TEXT("latitude_unit", latitude_unit, MBL_OPTIONAL,
         "unit of latitude, deg or min (of arc), whatever the file says"),
    TEXT("longitude_unit", longitude_unit, MBL_OPTIONAL,
         "unit of longitude, deg or min (of arc), whatever the file says"),
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
    {.key = "trace",
     .kind = MBL_FIELD_HANDLE,
     .need = MBL_OPTIONAL,
     .offset = AT(T, trace),
     .about = "",
     .source = ""},
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

static const char *const phase_words[] = {"out", "hot",  "traffic", "cool",
                                          "in",  "park", "logged",  NULL};
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
static const mbl_schema pace_schema = {
    .name = "pace",
    .about = "Speed over that of the lap repeated; time stretches by its inverse, deceleration "
             "goes with its square.",
    .size = sizeof(mbl_stint),
    .fields = pace_fields,
    .nfields = COUNT_OF(pace_fields),
    .present = -1};

static const mbl_field stint_fields[] = {
    {.key = NULL,
     .kind = MBL_FIELD_ITEMS,
     .need = MBL_OPTIONAL,
     .offset = AT(T, phases),
     .least = 1,
     .most = MBL_ITEMS_MAX,
     .sub = &mbl_phase_schema,
     .about = "the phases in order: { \"out\" }, { \"hot\", laps = 5 }, { \"park\", time = "
              "\"10 min\" }",
     .source = ""},
    COUNT("out", out, MBL_DEFAULT, 0, 20, 0, "out-laps", ""),
    COUNT("hot", hot, MBL_DEFAULT, 0, 1000, 0, "hot laps", ""),
    COUNT("cool", cool, MBL_DEFAULT, 0, 20, 0, "cool-down laps", ""),
    NUMBER("park", park, MBL_DEFAULT, TIME, 0, 86400, 0, "time parked at the end", ""),
    FLAG("logged", logged, 0, "drive the logged session as it is, in place of out, hot and cool"),
    ASSUMED("ambient", ambient, LEVEL, K(-30), K(60), K(25), K(15), K(35), "air temperature",
            COMMON_PRACTICE),
    NUMBER("altitude", altitude, MBL_DEFAULT, LENGTH, -500, 5000, 0,
           "height above the sea: thins the air and lowers boiling points", ""),
    NUMBER("start", start, MBL_INFERRED, LEVEL, K(-30), K(300), NAN,
           "temperature of every part at the start; ambient when not given", ""),
    CHOICE("judge", judge, MBL_DEFAULT, judges, MBL_JUDGE_LESSER,
           "which boiling point judges: the lesser of wet and present, or the present one", ""),
    ASSUMED("pit_speed", pit_speed, SPEED, 0, 40, 60 / 3.6, 40 / 3.6, 80 / 3.6,
            "speed from which the car stops before it parks", COMMON_PRACTICE),
    INLINE("pace", MBL_DEFAULT, &pace_schema, "pace of each kind of lap"),
};
#undef T

static mbl_status stint_rules(const void *filled, mbl_error *err)
{
    const mbl_stint *s = filled;
    if (s->phases.n > 0) {
        if (s->out > 0 || s->hot > 0 || s->cool > 0 || s->park > 0 || s->logged)
            return broken(err,
                          s->hot > 0    ? "hot"
                          : s->park > 0 ? "park"
                          : s->out > 0  ? "out"
                          : s->cool > 0 ? "cool"
                                        : "logged",
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
    NUMBER(
        "gradient", gradient, MBL_DEFAULT, RISE, 20, 800, 330,
        "widest a rubbed face may stand above its rotor's core: it is the gradient that cracks",
        "trade articles: cracks when a face rises by 330 K in some 3 s and the vanes by less than "
        "55 K"),
    NUMBER("gradient_band", gradient_band, MBL_DEFAULT, RISE, 0, 300, 75,
           "margin below which the gradient is marginal", COMMON_PRACTICE),
    NUMBER("rotor_band", rotor_band, MBL_DEFAULT, RISE, 0, 300, 75,
           "margin below which a rotor is marginal", COMMON_PRACTICE),
    NUMBER("pad_band", pad_band, MBL_DEFAULT, RISE, 0, 300, 50,
           "margin below which a pad is marginal", COMMON_PRACTICE),
    NUMBER("cold_band", cold_band, MBL_DEFAULT, RISE, 0, 300, 30,
           "margin above the lower end of its window below which a pad is cold", COMMON_PRACTICE),
    NUMBER("hose_band", hose_band, MBL_DEFAULT, RISE, 0, 300, 50,
           "margin below which a hose is marginal", COMMON_PRACTICE),
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

const mbl_schema *const mbl_schemas[] = {&mbl_car_schema,
                                         &mbl_brake_schema,
                                         &mbl_rotor_schema,
                                         &mbl_pad_schema,
                                         &mbl_caliper_schema,
                                         &mbl_duct_schema,
                                         &mbl_fluid_schema,
                                         &mbl_course_schema,
                                         &mbl_stint_schema,
                                         &mbl_phase_schema,
                                         &mbl_limits_schema,
                                         &mbl_case_schema,
                                         NULL};
