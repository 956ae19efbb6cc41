/* SPDX-License-Identifier: MIT */
/* Fields of the result table on top of the stack. Private to `host`. */
#ifndef MBL_HOST_RESULT_PUT_H
#define MBL_HOST_RESULT_PUT_H

#include "host/result.h"

void mbl_result_number(lua_State *L, const char *name, double value);

/* The same where the value is known; NAN and infinity leave the name absent. */
void mbl_result_known(lua_State *L, const char *name, double value);

void mbl_result_count(lua_State *L, const char *name, int value);
void mbl_result_text(lua_State *L, const char *name, const char *value);

/* { front =, rear = } of known numbers, sealed as `what`, at `name`. */
void mbl_result_axles(lua_State *L, const char *name, const char *what, const double of[MBL_AXLES]);

/* "front fluid", "car pedal effort" */
void mbl_result_check_name(lua_State *L, const char *name, mbl_check_kind kind, int axle);

/* "front", "rear", "car" */
const char *mbl_result_axle(int axle);

/* What is not heat, into the result of a run on top. */
void mbl_result_package(lua_State *L, const mbl_run *run);

/* .left ... of pads, .cycles ... of the rotor, into their tables on top. */
void mbl_result_pad_life(lua_State *L, const mbl_life_result *life);
void mbl_result_rotor_life(lua_State *L, const mbl_life_result *life);

/* Pushes the plan of a run that has been found. */
void mbl_result_plan(lua_State *L, const mbl_run *run);

#endif
