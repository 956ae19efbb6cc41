/* SPDX-License-Identifier: MIT */
/* Parts that answer by themselves: fluid:boils_at, rotor:cooling, duct:flow ... Private. */
#ifndef MBL_HOST_ANSWER_H
#define MBL_HOST_ANSWER_H

#include "host/context.h"

typedef struct mbl_answer {
    const mbl_schema *schema; /* of the definition it belongs to */
    const char *name;
    const char *signature;
    const char *about;
    lua_CFunction call;
} mbl_answer;

extern const mbl_answer mbl_answers[];
extern const size_t mbl_answer_count;

/* answer_car.c */
int mbl_answer_stop(lua_State *L);
int mbl_answer_balance(lua_State *L);

#endif
