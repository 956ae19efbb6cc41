/* SPDX-License-Identifier: MIT */
/* Definitions as Lua objects: el.car, el.rotor, ... and d:with. Private to `host`. */
#ifndef MBL_HOST_DEFINITION_H
#define MBL_HOST_DEFINITION_H

#include "host/context.h"

/* The userdata; node is bound once made, and its schema says what it is. */
typedef struct mbl_definition {
    mbl_node *node;
} mbl_definition;

extern const char mbl_definition_tag;
extern const char mbl_none_tag; /* el.none */

/* X(name in el, schema, what it makes) */
#define MBL_DEFINITION_LIST(X)                                                                     \
    X(car, mbl_car_schema, "A car with its brakes")                                                \
    X(pedal, mbl_pedal_schema, "Pedal, booster, masters and distribution")                         \
    X(brake, mbl_brake_schema, "The brake of one wheel; both wheels of an axle have the same")     \
    X(rotor, mbl_rotor_schema, "A brake rotor")                                                    \
    X(pad, mbl_pad_schema, "A brake pad")                                                          \
    X(caliper, mbl_caliper_schema, "A brake caliper")                                              \
    X(duct, mbl_duct_schema, "A cooling duct to one wheel")                                        \
    X(fluid, mbl_fluid_schema, "A brake fluid")                                                    \
    X(trace, mbl_course_schema, "A course as one logged drive of it; the log is read at once")     \
    X(stint, mbl_stint_schema, "What is driven, in which air")

#define MBL_DEFINITION_DECLARE(name, schema, about) int mbl_make_##name(lua_State *L);
MBL_DEFINITION_LIST(MBL_DEFINITION_DECLARE)
#undef MBL_DEFINITION_DECLARE

/* The value at `index`, bound; the path of an error begins with the schema's name. */
MBL_NODISCARD mbl_status mbl_definition_bind(lua_State *L, const mbl_schema *schema, int index,
                                             mbl_node **bound, mbl_error *err);

int mbl_definition_with(lua_State *L);

/* Makes the types of definitions and of el.none. May raise. */
void mbl_definition_open(lua_State *L);

#endif
