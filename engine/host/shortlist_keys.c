/* SPDX-License-Identifier: MIT */
#include "host/shortlist_keys.h"

#include "parts/rows.h"

#include <math.h>
#include <string.h>

#define PAIR(key_, member_, quantity_, lo_, hi_, about_)                                           \
    {                                                                                              \
        .key = (key_), .kind = MBL_FIELD_NUMBERS, .need = MBL_OPTIONAL, .offset = AT(T, member_),  \
        .quantity = MBL_Q_##quantity_, .lo = (lo_), .hi = (hi_), .least = 2, .most = 2,            \
        .about = (about_), .source = ""                                                            \
    }

#define T mbl_fits_keys
static const mbl_field fits_fields[] = {
    PAIR("diameter", diameter, LENGTH, 0.1, 0.6, "least and greatest rotor that a caliper takes"),
    PAIR("thickness", thickness, LENGTH, 0.003, 0.08,
         "thinnest and thickest rotor that a caliper takes"),
    NUMBER("stack", stack, MBL_OPTIONAL, LENGTH, 0, 0.1, NAN,
           "how far a caliper stands out over the edge of its rotor", ""),
    TEXT("pad", pad, MBL_OPTIONAL, "shape of a pad, or of the pads that a caliper takes"),
};
#undef T
static SCHEMA(fits_schema, "fits", mbl_fits_keys, fits_fields, NULL,
              "What a part goes together with.");

#define T mbl_option_keys
static const mbl_field option_fields[] = {
    TEXT("name", name, MBL_OPTIONAL, "what it is called on the page"),
    NUMBER("cost", cost, MBL_OPTIONAL, MONEY, 0, 1e6, NAN, "price, counted as the part's own", ""),
    NUMBER("labour", labour, MBL_OPTIONAL, TIME, 0, 360000, NAN, "time to fit it", ""),
    NUMBER("mass", mass, MBL_OPTIONAL, MASS, 0, 100, NAN, "mass, where the part has one", ""),
    GROUP("fits", fits, &fits_schema, "what it goes together with"),
};
#undef T
SCHEMA(mbl_option_schema, "option", mbl_option_keys, option_fields, NULL,
       "One option of a slot, beside its part.");

#define T mbl_room_keys
#define THERE(key_, kind_)                                                                         \
    GROUP(key_, there[kind_], &fits_schema, "what the one that is on the car goes together with")
static const mbl_field room_fields[] = {
    NUMBER("wheel", wheel, MBL_OPTIONAL, LENGTH, 0.15, 0.7, NAN,
           "inside diameter of the wheel where the caliper is", ""),
    NUMBER("rear_wheel", rear_wheel, MBL_OPTIONAL, LENGTH, 0.15, 0.7, NAN,
           "that of the rear wheel; as the front one when not given", ""),
    PAIR("ratio", ratio, RATIO, 0.1, 1000,
         "piston area of a caliper's side over that of its master's bore"),
    THERE("front.pad", MBL_SLOT_FRONT_PAD),
    THERE("front.caliper", MBL_SLOT_FRONT_CALIPER),
    THERE("rear.pad", MBL_SLOT_REAR_PAD),
    THERE("rear.caliper", MBL_SLOT_REAR_CALIPER),
};
#undef T
static SCHEMA(room_schema, "fits", mbl_room_keys, room_fields, NULL, "What goes on the car.");

static const char *const modes[] = {"default", "fine", "screening", "reference", NULL};
static const char *const orders[] = {"cost", "event", "mass", "labour", NULL};
static const char *const needs[] = {"holds", "marginal", NULL};

#define T mbl_list_keys
static const mbl_field list_fields[] = {
    PART("car", setup.car, MBL_REQUIRED, &mbl_car_schema, "the car as it is"),
    PART("course", setup.course, MBL_REQUIRED, &mbl_course_schema, "the course, made by el.trace"),
    PART("stint", setup.stint, MBL_REQUIRED, &mbl_stint_schema, "the stint"),
    GROUP("limits", setup.limits, &mbl_limits_schema, "limits and marginal bands of the checks"),
    GROUP("event", setup.event, &mbl_event_schema, "sessions of the event, and labour"),
    CHOICE("mode", setup.mode, MBL_DEFAULT, modes, 0, "how finely time is cut", ""),
    GROUP("fits", fits, &room_schema, "what goes on the car"),
    COUNT("want", want, MBL_DEFAULT, 1, MBL_SHORTLIST_WANT, 5, "how many packages are listed", ""),
    CHOICE("by", by, MBL_DEFAULT, orders, MBL_BY_COST, "what ranks first", ""),
    CHOICE("need", need, MBL_DEFAULT, needs, 1, "the least verdict that counts", ""),
    FLAG("keep", keep, 1, "may what is there stay"),
};
#undef T
SCHEMA(mbl_list_schema, "shortlist", mbl_list_keys, list_fields, NULL,
       "The cheapest packages that hold.");

/* ---- fits ---- */

/* What is not within hydraulics that anyone drives (common practice, no source). */
static const double ratio_least = 2;
static const double ratio_most = 30;

static void put_pair(const mbl_numbers *from, double to[2])
{
    to[0] = from->n == 2 ? from->v[0] : NAN;
    to[1] = from->n == 2 ? from->v[1] : NAN;
}

mbl_status mbl_fits_take(const mbl_fits_keys *keys, mbl_fits *out, mbl_error *err)
{
    put_pair(&keys->diameter, out->diameter);
    put_pair(&keys->thickness, out->thickness);
    out->stack = keys->stack;
    const char *wrong = out->diameter[0] > out->diameter[1]     ? "diameter"
                        : out->thickness[0] > out->thickness[1] ? "thickness"
                                                                : NULL;
    if (wrong != NULL) {
        mbl_status status = mbl_fail(err, MBL_INPUT, "the least comes first, then the greatest");
        mbl_error_under(err, wrong);
        return status;
    }
    if (strlen(keys->pad) >= MBL_SHAPE) {
        mbl_status status =
            mbl_fail(err, MBL_INPUT, "a shape has at most %d letters", MBL_SHAPE - 1);
        mbl_error_under(err, "pad");
        return status;
    }
    snprintf(out->pad, sizeof out->pad, "%s", keys->pad);
    return MBL_OK;
}

static mbl_status under(mbl_status status, mbl_error *err, const char *key)
{
    if (status != MBL_OK)
        mbl_error_under(err, key);
    return status;
}

mbl_status mbl_room_take(const mbl_room_keys *keys, mbl_shortlist_ask *ask, mbl_error *err)
{
    ask->room.wheel[0] = keys->wheel;
    ask->room.wheel[1] = isnan(keys->rear_wheel) ? keys->wheel : keys->rear_wheel;
    put_pair(&keys->ratio, ask->room.ratio);
    if (isnan(ask->room.ratio[0])) {
        ask->room.ratio[0] = ratio_least;
        ask->room.ratio[1] = ratio_most;
    }
    for (int k = 0; k < MBL_SLOT_KINDS; k++) {
        mbl_fits_keys said = keys->there[k];
        if (said.diameter.n == 0 && said.thickness.n == 0 && said.pad[0] == '\0' && said.stack == 0)
            said.stack = NAN; /* kinds that have no row were never filled */
        MBL_TRY(
            under(mbl_fits_take(&said, &ask->there[k], err), err, mbl_slot_name((mbl_slot_kind)k)));
    }
    return MBL_OK;
}

mbl_verdict mbl_list_need(const mbl_list_keys *keys)
{
    return keys->need == 0 ? MBL_HOLDS : MBL_MARGINAL;
}
