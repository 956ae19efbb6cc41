/* SPDX-License-Identifier: MIT */
/* Layouts and their laps as scripts have them: el.track, el.lap, course:layout. Private. */
#ifndef MBL_HOST_LAP_H
#define MBL_HOST_LAP_H

#include "host/context.h"

extern const mbl_schema mbl_lap_schema; /* what el.lap takes */

int mbl_track_call(lua_State *L); /* el.track */
int mbl_lap_call(lua_State *L);   /* el.lap */

/* Methods of a course. */
extern const mbl_schema mbl_layout_options; /* what course:layout takes */
int mbl_course_layout(lua_State *L);        /* course:layout */
int mbl_course_driven_by(lua_State *L);     /* course:driven_by */
int mbl_course_save(lua_State *L);          /* course:save */

/* Makes the type of a lap. May raise. */
void mbl_lap_open(lua_State *L);

#endif
