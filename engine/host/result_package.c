/* SPDX-License-Identifier: MIT */
/* What is not heat as Lua tables: pedal, balance, life, mass, money, plan. */
#include "host/result_put.h"

#include "study/compare.h"
#include "study/session.h"

#include <math.h>

void mbl_result_number(lua_State *L, const char *name, double value)
{
    lua_pushnumber(L, value);
    lua_setfield(L, -2, name);
}

void mbl_result_known(lua_State *L, const char *name, double value)
{
    if (isfinite(value))
        mbl_result_number(L, name, value);
}

void mbl_result_count(lua_State *L, const char *name, int value)
{
    lua_pushinteger(L, value);
    lua_setfield(L, -2, name);
}

void mbl_result_text(lua_State *L, const char *name, const char *value)
{
    lua_pushstring(L, value);
    lua_setfield(L, -2, name);
}

void mbl_result_axles(lua_State *L, const char *name, const char *what, const double of[MBL_AXLES])
{
    lua_newtable(L);
    for (int axle = 0; axle < MBL_AXLES; axle++)
        mbl_result_known(L, mbl_axle_word(axle), of[axle]);
    mbl_result_seal_as(L, what, &mbl_class_axles);
    lua_setfield(L, -2, name);
}

const char *mbl_result_axle(int axle)
{
    return axle == MBL_WHOLE_CAR ? "car" : mbl_axle_word(axle);
}

void mbl_result_check_name(lua_State *L, const char *name, mbl_check_kind kind, int axle)
{
    char text[48];
    snprintf(text, sizeof text, "%s %s", mbl_result_axle(axle), mbl_check_word(kind));
    mbl_result_text(L, name, text);
}

void mbl_result_pad_life(lua_State *L, const mbl_life_result *life)
{
    mbl_result_number(L, "left", life->pad_end);
    mbl_result_number(L, "left_event", life->pad_event);
    mbl_result_number(L, "sessions", life->pad_sessions);
    mbl_result_count(L, "sets", life->pad_sets);
}

void mbl_result_rotor_life(lua_State *L, const mbl_life_result *life)
{
    mbl_result_number(L, "cycles", life->cycles);
    mbl_result_number(L, "crack", life->crack);
    mbl_result_number(L, "stress", life->stress);
    mbl_result_number(L, "left_event", life->rotor_event);
    mbl_result_number(L, "sessions", life->rotor_sessions);
}

static void set_pedal(lua_State *L, const mbl_run *run)
{
    const mbl_pedal_result *p = &run->pedal;
    lua_newtable(L);
    mbl_result_number(L, "pressure", p->pressure[0]);
    mbl_result_number(L, "rear_pressure", p->pressure[1]);
    mbl_result_known(L, "effort", p->effort);
    mbl_result_known(L, "travel", p->travel.pad);
    mbl_result_known(L, "used", p->travel.used);
    mbl_result_known(L, "reserve", 1 - p->travel.used);
    if (run->setup.car.pedal.present)
        mbl_result_known(L, "with_vapour", p->with_vapour);
    mbl_result_number(L, "shortfall", p->shortfall);
    if (p->shortfall_lap > 0)
        mbl_result_count(L, "shortfall_on_lap", p->shortfall_lap);
    mbl_result_known(L, "knock_back", p->knock_back);
    mbl_result_known(L, "run_out", p->run_out);
    mbl_result_axles(L, "panic", "run.pedal.panic", p->panic);
    mbl_result_seal_as(L, "run.pedal", &mbl_class_pedal);
    lua_setfield(L, -2, "pedal");
}

static void set_balance(lua_State *L, const mbl_run *run)
{
    const mbl_balance_result *b = &run->balance;
    lua_newtable(L);
    mbl_result_number(L, "asked", b->asked);
    mbl_result_known(L, "front", b->front);
    mbl_result_known(L, "ideal", b->ideal);
    mbl_result_known(L, "turns", b->turns);
    if (b->known) {
        mbl_result_known(L, "ahead", b->ahead);
        mbl_result_known(L, "bite", b->bite);
        mbl_result_known(L, "grip", b->grip);
        mbl_result_text(L, "first_to_lock", mbl_axle_word(b->lock.axle));
        mbl_result_known(L, "lock_deceleration", b->lock.deceleration);
    }
    mbl_result_seal_as(L, "run.balance", &mbl_class_balance);
    lua_setfield(L, -2, "balance");
}

static void set_mass(lua_State *L, const mbl_run *run)
{
    const mbl_weights *w = &run->weights;
    lua_newtable(L);
    mbl_result_number(L, "unsprung", w->unsprung);
    mbl_result_number(L, "equivalent", w->equivalent);
    for (int axle = 0; axle < MBL_AXLES; axle++)
        mbl_result_number(L, mbl_axle_word(axle),
                          w->rotor[axle] + w->pads[axle] + w->caliper[axle] + w->duct[axle]);
    mbl_result_seal_as(L, "run.mass", &mbl_class_mass);
    lua_setfield(L, -2, "mass");
}

static void set_cost(lua_State *L, const mbl_run *run)
{
    lua_newtable(L);
    mbl_result_number(L, "parts", run->bill.parts);
    mbl_result_number(L, "labour", run->bill.labour);
    mbl_result_number(L, "event", run->bill.event);
    mbl_result_seal_as(L, "run.cost", &mbl_class_cost);
    lua_setfield(L, -2, "cost");
}

static void set_against(lua_State *L, const mbl_run *run)
{
    mbl_comparison c;
    if (run->base == NULL)
        return;
    mbl_compare(run->base, run, &c);
    lua_newtable(L);
    mbl_result_known(L, "travel", c.travel);
    mbl_result_known(L, "pressure", c.pressure);
    mbl_result_known(L, "effort", c.effort);
    mbl_result_known(L, "front_share", c.front_share);
    mbl_result_seal_as(L, "run.against", &mbl_class_against);
    lua_setfield(L, -2, "against");
}

void mbl_result_package(lua_State *L, const mbl_run *run)
{
    set_pedal(L, run);
    set_balance(L, run);
    set_mass(L, run);
    set_cost(L, run);
    set_against(L, run);
}

static void set_worst(lua_State *L, const mbl_session_plan *p)
{
    lua_newtable(L);
    mbl_result_text(L, "verdict", mbl_verdict_word(p->worst));
    mbl_result_check_name(L, "check", p->worst_check.kind, p->worst_check.axle);
    mbl_result_number(L, "margin", p->worst_check.margin);
    mbl_result_seal_as(L, "run.plan.worst", &mbl_class_worst);
    lua_setfield(L, -2, "worst");
}

void mbl_result_plan(lua_State *L, const mbl_run *run)
{
    const mbl_session_plan *p = run->plan;
    lua_newtable(L);
    if (p->known) {
        if (p->cool_known)
            mbl_result_count(L, "cool", p->cool);
        mbl_result_known(L, "gap", p->gap);
        mbl_result_known(L, "skip_margin", p->skip_margin);
        set_worst(L, p);
    }
    mbl_result_seal_as(L, "run.plan", &mbl_class_plan);
}
