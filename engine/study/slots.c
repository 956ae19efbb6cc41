/* SPDX-License-Identifier: MIT */
#include "study/slots.h"

#include "brake/brake.h"

#include <math.h>
#include <string.h>

static const struct {
    const char *name;
    const mbl_schema *schema;
    size_t offset; /* in mbl_car */
} slots[MBL_SLOT_KINDS] = {
    [MBL_SLOT_FRONT_ROTOR] = {"front.rotor", &mbl_rotor_schema, offsetof(mbl_car, front.rotor)},
    [MBL_SLOT_FRONT_PAD] = {"front.pad", &mbl_pad_schema, offsetof(mbl_car, front.pad)},
    [MBL_SLOT_FRONT_CALIPER] = {"front.caliper", &mbl_caliper_schema,
                                offsetof(mbl_car, front.caliper)},
    [MBL_SLOT_FRONT_DUCT] = {"front.duct", &mbl_duct_schema, offsetof(mbl_car, front.duct)},
    [MBL_SLOT_REAR_ROTOR] = {"rear.rotor", &mbl_rotor_schema, offsetof(mbl_car, rear.rotor)},
    [MBL_SLOT_REAR_PAD] = {"rear.pad", &mbl_pad_schema, offsetof(mbl_car, rear.pad)},
    [MBL_SLOT_REAR_CALIPER] = {"rear.caliper", &mbl_caliper_schema,
                               offsetof(mbl_car, rear.caliper)},
    [MBL_SLOT_REAR_DUCT] = {"rear.duct", &mbl_duct_schema, offsetof(mbl_car, rear.duct)},
    [MBL_SLOT_MASTER] = {"pedal.master", &mbl_pedal_schema, offsetof(mbl_car, pedal)},
    [MBL_SLOT_FLUID] = {"fluid", &mbl_fluid_schema, offsetof(mbl_car, fluid)},
};

const char *mbl_slot_name(mbl_slot_kind kind)
{
    return slots[kind].name;
}

const mbl_schema *mbl_slot_schema(mbl_slot_kind kind)
{
    return slots[kind].schema;
}

mbl_slot_kind mbl_slot_find(const char *name)
{
    int i = 0;
    while (i < MBL_SLOT_KINDS && strcmp(slots[i].name, name) != 0)
        i++;
    return (mbl_slot_kind)i;
}

void mbl_part_of(mbl_slot_kind kind, const mbl_car *car, mbl_part *out)
{
    memset(out, 0, sizeof *out);
    out->kind = kind;
    memcpy(&out->of, (const char *)car + slots[kind].offset, slots[kind].schema->size);
}

void mbl_part_put(const mbl_part *part, mbl_car *car)
{
    if (part->kind == MBL_SLOT_MASTER)
        car->pedal.master = part->of.pedal.master;
    else
        memcpy((char *)car + slots[part->kind].offset, &part->of, slots[part->kind].schema->size);
}

/* ---- money ---- */

static int64_t millionths(double money)
{
    return (int64_t)llround(money * 1e6);
}

/* Price of what is bought, and seconds of work. */
static void buy(const mbl_part *p, const mbl_event *event, double *cost, double *labour)
{
    *cost = 0;
    *labour = 0;
    switch (p->kind) {
    case MBL_SLOT_FRONT_ROTOR:
    case MBL_SLOT_REAR_ROTOR:
        *cost = 2 * p->of.rotor.cost;
        *labour = p->of.rotor.labour;
        break;
    case MBL_SLOT_FRONT_PAD:
    case MBL_SLOT_REAR_PAD:
        *cost = p->of.pad.cost;
        *labour = p->of.pad.labour;
        break;
    case MBL_SLOT_FRONT_CALIPER:
    case MBL_SLOT_REAR_CALIPER:
        *cost = 2 * p->of.caliper.cost;
        *labour = p->of.caliper.labour;
        break;
    case MBL_SLOT_FRONT_DUCT:
    case MBL_SLOT_REAR_DUCT:
        *cost = p->of.duct.cost;
        *labour = p->of.duct.labour;
        break;
    case MBL_SLOT_MASTER:
        *cost = p->of.pedal.master.cost;
        *labour = p->of.pedal.master.labour;
        break;
    case MBL_SLOT_FLUID:
        *cost = event->bleed_volume * 1e3 * p->of.fluid.cost;
        *labour = p->of.fluid.labour;
        break;
    case MBL_SLOT_KINDS:
        break;
    }
}

mbl_price mbl_part_price(const mbl_part *part, const mbl_event *event)
{
    double cost;
    double labour;
    buy(part, event, &cost, &labour);
    return (mbl_price){millionths(cost), millionths(labour * event->labour_rate / 3600)};
}

/* ---- heat ---- */

/* What no drive sees, taken out. */
static void bare(mbl_part *p)
{
    switch (p->kind) {
    case MBL_SLOT_FRONT_ROTOR:
    case MBL_SLOT_REAR_ROTOR:
        p->of.rotor.cost = p->of.rotor.labour = 0;
        break;
    case MBL_SLOT_FRONT_PAD:
    case MBL_SLOT_REAR_PAD:
        p->of.pad.cost = p->of.pad.labour = 0;
        break;
    case MBL_SLOT_FRONT_CALIPER:
    case MBL_SLOT_REAR_CALIPER:
        p->of.caliper.cost = p->of.caliper.labour = 0;
        break;
    case MBL_SLOT_FRONT_DUCT:
    case MBL_SLOT_REAR_DUCT:
        p->of.duct.cost = p->of.duct.labour = 0;
        break;
    case MBL_SLOT_MASTER:
    case MBL_SLOT_FLUID:
    case MBL_SLOT_KINDS:
        break;
    }
}

bool mbl_part_drives_alike(const mbl_part *a, const mbl_part *b)
{
    if (a->kind == MBL_SLOT_FLUID)
        return true;
    if (a->kind == MBL_SLOT_MASTER) {
        mbl_distribution x = mbl_distribution_of(&a->of.pedal);
        mbl_distribution y = mbl_distribution_of(&b->of.pedal);
        return x.rear == y.rear && x.knee == y.knee && x.slope == y.slope;
    }
    /* by bytes: zeroed before they were filled, so gaps are alike; what is alike but for its bytes
     * (0 and -0) is driven twice, which costs time and no answer */
    mbl_part x = *a;
    mbl_part y = *b;
    bare(&x);
    bare(&y);
    return memcmp(&x.of, &y.of, slots[a->kind].schema->size) == 0;
}
