/* SPDX-License-Identifier: MIT */
/* What a brake is made of: rotor, pad, caliper, fluid, duct, and the brake of a wheel. */
#include "parts/rows.h"

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
    NUMBER("ring_mass", ring_mass, MBL_INFERRED, MASS, 0.5, 25, NAN,
           "mass of the iron ring without its hat; mass less hat_mass when not given, and from its "
           "size when that is not known either",
           "7150 kg/m3 times 0.62 for a vented ring, computed from rings in trade catalogues"),
    NUMBER("mass", mass, MBL_OPTIONAL, MASS, 0.8, 30, NAN,
           "mass of the whole rotor on the scales, where the ring is not weighed by itself", ""),
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
    NUMBER("minimum", minimum, MBL_OPTIONAL, LENGTH, 0.003, 0.06, NAN,
           "least thickness its maker allows; no check of its wear when not given", ""),
    ASSUMED("wear", wear, WEAR, 0, 1e-12, 1e-14, 2e-15, 5e-14,
            "iron worn off both faces per friction energy",
            "a light car's rotor lost 0.2 mm in ten weekends, trade article; some 1 GJ a wheel"),
    COST("cost", "price of one rotor, or of its ring where only that is changed"),
    LABOUR("labour", "time to fit the rotors of an axle"),
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

double mbl_rotor_geometric_mass(const mbl_rotor *r)
{
    double inner = r->diameter - 2 * mbl_rotor_ring_height(r);
    double iron = mbl_rotor_vanes(r) > 0 ? 0.62 : 1;
    return 7150 * iron * M_PI / 4 * (r->diameter * r->diameter - inner * inner) * r->thickness;
}

double mbl_rotor_ring_mass(const mbl_rotor *r)
{
    if (!isnan(r->ring_mass))
        return r->ring_mass;
    return isnan(r->mass) ? mbl_rotor_geometric_mass(r) : r->mass - r->hat_mass;
}

/* Is there such a ring? 7200 kg/m3: none is heavier than iron, nor lighter than a third of it. */
static mbl_status check_ring(const mbl_rotor *r, double inner, mbl_error *err)
{
    double full = 7200 * M_PI / 4 * (r->diameter * r->diameter - inner * inner) * r->thickness;
    double ring = mbl_rotor_ring_mass(r);
    if (ring <= 1.02 * full && ring >= 0.33 * full)
        return MBL_OK;
    bool whole = isnan(r->ring_mass);
    mbl_status status = mbl_fail(
        err, MBL_INPUT,
        "%.3g kg %sdoes not fit the ring: solid iron of this size (%.0f x %.1f mm, %.0f mm deep) "
        "weighs %.3g kg and no vented ring less than a third of that; is %s, or a dimension wrong?",
        ring, whole ? "(mass less hat_mass) " : "", r->diameter * 1e3, r->thickness * 1e3,
        mbl_rotor_ring_height(r) * 1e3, full, whole ? "hat_mass" : "the hat in it");
    mbl_error_under(err, whole ? "mass" : "ring_mass");
    return status;
}

static mbl_status rotor_rules(const void *filled, mbl_error *err)
{
    const mbl_rotor *r = filled;
    double inner = r->diameter - 2 * mbl_rotor_ring_height(r);
    if (inner < 0.2 * r->diameter)
        return mbl_rule_broken(err, "ring_height", "the ring is too deep for its diameter");
    if (!isnan(r->ring_mass) && !isnan(r->mass))
        return mbl_rule_broken(err, "mass",
                               "either the ring by itself (ring_mass, with hat_mass), or the whole "
                               "rotor (mass)");
    if (!isnan(r->minimum) && r->minimum >= r->thickness)
        return mbl_rule_broken(err, "minimum", "the rotor is at or below its least thickness");
    return check_ring(r, inner, err);
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
    NUMBER("worn_at", worn_at, MBL_INFERRED, LENGTH, 0, 0.03, NAN,
           "thickness of friction material at which the pad is changed; that of its plate when not "
           "given",
           "trade articles: changed below the thickness of the backing plate"),
    ASSUMED("wear", wear, WEAR, 0, 1e-11, 2e-13, 5e-14, 8e-13,
            "friction material worn off per friction energy, below wear_onset",
            "between Archard's law (50 mm3/MJ at k = 2e-14 m2/N, from memory) and what sessions on "
            "a track take (0.2 to 1 mm of a pad, 400 to 900 mm3/MJ, common practice)"),
    NUMBER("wear_onset", wear_onset, MBL_INFERRED, LEVEL, K(50), K(1100), NAN,
           "face temperature from which wear grows by an Arrhenius factor; 150 K below the upper "
           "end of the window when not given",
           "Liu and Rhee put the onset of resin-bonded material at some 230 C; that it moves with "
           "the window is common practice"),
    ASSUMED("wear_activation", wear_activation, MOLAR_ENERGY, 0, 3e5, 6e4, 4e4, 9e4,
            "activation energy of wear above its onset; 60 kJ/mol doubles wear for every 100 K "
            "near 750 C",
            COMMON_PRACTICE),
    {.key = "wear_effect",
     .kind = MBL_FIELD_CURVE,
     .need = MBL_OPTIONAL,
     .offset = AT(T, wear_effect),
     .quantity = MBL_Q_LEVEL,
     .x_lo = K(0),
     .x_hi = K(1100),
     .lo = 0.01,
     .hi = 1e4,
     .least = 1,
     .most = MBL_CURVE_MAX,
     .about = "factor on wear over face temperature, in place of onset and activation",
     .source = ""},
    ASSUMED("squeeze", squeeze, LENGTH, 0, 0.001, 1e-4, 5e-5, 2e-4,
            "how much one pad gives under 100 bar of line pressure", COMMON_PRACTICE),
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
    COST("cost", "price of a set of pads for one axle"),
    LABOUR("labour", "time to change the pads of an axle"),
};
#undef T

double mbl_pad_thickness(const mbl_pad *pad)
{
    return isnan(pad->thickness_now) ? pad->thickness : pad->thickness_now;
}

double mbl_pad_worn_at(const mbl_pad *pad)
{
    return isnan(pad->worn_at) ? pad->plate_thickness : pad->worn_at;
}

double mbl_pad_wear_onset(const mbl_pad *pad)
{
    return isnan(pad->wear_onset) ? pad->window.v[1] - 150 : pad->wear_onset;
}

static mbl_status pad_rules(const void *filled, mbl_error *err)
{
    const mbl_pad *p = filled;
    if (p->window.v[1] <= p->window.v[0])
        return mbl_rule_broken(err, "window", "the upper end must be hotter than the lower end");
    if (!isnan(p->thickness_now) && p->thickness_now > p->thickness)
        return mbl_rule_broken(err, "thickness_now",
                               "the pad cannot be thicker than when it was new");
    if (mbl_pad_worn_at(p) >= p->thickness)
        return mbl_rule_broken(err, "worn_at", "a new pad would be worn out already");
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
    NUMBER("rating", rating, MBL_OPTIONAL, PRESSURE, 1e6, 4e7, NAN,
           "highest line pressure its maker allows; limits.pressure when not given", ""),
    ASSUMED("opening", opening, LENGTH, 0, 0.003, 2e-4, 1e-4, 3e-4,
            "how far the body opens under 100 bar of line pressure", COMMON_PRACTICE),
    ASSUMED("rollback", rollback, LENGTH, 0, 0.002, 1e-4, 5e-5, 2e-4,
            "how far its seals draw each pad back", COMMON_PRACTICE),
    COST("cost", "price of one caliper"),
    LABOUR("labour", "time to fit the calipers of an axle"),
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
    ASSUMED("bulk_modulus", bulk_modulus, PRESSURE, 1e8, 5e9, 1.2e9, 0.9e9, 1.8e9,
            "resistance to compression, hot and free of air",
            "air-free glycol fluid at 20 to 150 C, handbook range from memory"),
    COST("cost", "price of a litre"),
    LABOUR("labour", "time to bleed the car"),
};
#undef T

static mbl_status fluid_rules(const void *filled, mbl_error *err)
{
    const mbl_fluid *f = filled;
    if (f->grade < 0 && isnan(f->dry))
        return mbl_rule_broken(err, "dry",
                               "missing: \"dry\" (boiling point of fresh fluid), or a grade");
    if (f->grade < 0 && isnan(f->wet))
        return mbl_rule_broken(err, "wet",
                               "missing: \"wet\" (boiling point in the wet test), or a grade");
    if (mbl_fluid_wet(f) >= mbl_fluid_dry(f))
        return mbl_rule_broken(err, "wet", "the wet boiling point must be below the dry one");
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
    NUMBER("mass", mass, MBL_DEFAULT, MASS, 0, 10, 0, "mass of the duct to one wheel", ""),
    COST("cost", "price of the ducts of an axle"),
    LABOUR("labour", "time to fit the ducts of an axle"),
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
        return mbl_rule_broken(err, "pad.height",
                               "the pad is taller than the rotor's ring is deep");
    double mean = b->rotor.diameter - b->pad.height;
    if (b->pad.area > 0.35 * M_PI * mean * b->pad.height)
        return mbl_rule_broken(err, "pad.area",
                               "one pad cannot cover more than about a third of the face it rubs");
    if (!isnan(b->effective_radius) && (b->effective_radius > b->rotor.diameter / 2 ||
                                        b->effective_radius < b->rotor.diameter / 2 - height))
        return mbl_rule_broken(err, "effective_radius", "it lies outside the ring of the rotor");
    return MBL_OK;
}

SCHEMA(mbl_brake_schema, "brake", mbl_brake, brake_fields, brake_rules,
       "The brake of one wheel; both wheels of an axle have the same.");
