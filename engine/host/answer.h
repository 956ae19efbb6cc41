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
    const mbl_schema *takes; /* its options; NULL: none */
    const char *gives;       /* type of what it gives, as Lua editors write it */
} mbl_answer;

extern const mbl_answer mbl_answers[];
extern const size_t mbl_answer_count;

/* answer_car.c */
extern const mbl_schema mbl_stop_schema, mbl_balance_schema; /* their options */
int mbl_answer_stop(lua_State *L);
int mbl_answer_balance(lua_State *L);

#endif
