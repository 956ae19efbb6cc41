/* SPDX-License-Identifier: MIT */
#include "study/fits.h"

#include "brake/brake.h"

#include <math.h>
#include <string.h>

/* Dimensions are written in whole and half millimetres: what is equal on paper is equal here. */
static const double hair = 1e-6; /* m */

const char *mbl_misfit_text(mbl_misfit misfit)
{
    static const char *const texts[MBL_MISFITS] = {
        [MBL_FITS] = "it fits",
        [MBL_MISFIT_DIAMETER] = "the caliper does not take a rotor of that diameter",
        [MBL_MISFIT_THICKNESS] = "the caliper does not take a rotor of that thickness",
        [MBL_MISFIT_WHEEL] = "rotor and caliper do not go into the wheel",
        [MBL_MISFIT_SHAPE] = "the pad has another shape than the caliper takes",
        [MBL_MISFIT_RATIO] = "pistons and master are out of range of each other",
        [MBL_MISFIT_RULES] = "no brake can be made of these parts",
        [MBL_MISFIT_ASKED] = "the script's own rule",
    };
    return texts[misfit];
}

static bool within(const double range[2], double value)
{
    return !(value < range[0] - hair) && !(value > range[1] + hair); /* NAN excludes nothing */
}

static const mbl_fits nothing = {
    .diameter = {NAN, NAN}, .thickness = {NAN, NAN}, .stack = NAN, .pad = ""};

static const mbl_fits *said(const mbl_fits_of *fits, mbl_slot_kind kind)
{
    return fits->of[kind] != NULL ? fits->of[kind] : &nothing;
}

static bool goes_into_wheel(const mbl_rotor *rotor, const mbl_fits *caliper, double wheel)
{
    double stack = isnan(caliper->stack) ? 0 : caliper->stack;
    return isnan(wheel) || rotor->diameter + 2 * stack <= wheel + hair;
}

static bool same_shape(const mbl_fits *pad, const mbl_fits *caliper)
{
    return pad->pad[0] == '\0' || caliper->pad[0] == '\0' || strcmp(pad->pad, caliper->pad) == 0;
}

static mbl_misfit check_axle(const mbl_car *car, int axle, const mbl_fits_of *fits,
                             const mbl_room *room)
{
    const mbl_rotor *rotor = &mbl_car_brake(car, axle)->rotor;
    int first = axle == 0 ? MBL_SLOT_FRONT_ROTOR : MBL_SLOT_REAR_ROTOR;
    const mbl_fits *pad = said(fits, (mbl_slot_kind)(first + 1));
    const mbl_fits *caliper = said(fits, (mbl_slot_kind)(first + 2));
    if (!within(caliper->diameter, rotor->diameter))
        return MBL_MISFIT_DIAMETER;
    if (!within(caliper->thickness, rotor->thickness))
        return MBL_MISFIT_THICKNESS;
    if (!goes_into_wheel(rotor, caliper, room->wheel[axle]))
        return MBL_MISFIT_WHEEL;
    return same_shape(pad, caliper) ? MBL_FITS : MBL_MISFIT_SHAPE;
}

static bool ratio_fits(const mbl_car *car, int axle, const mbl_room *room)
{
    const mbl_pedal *p = &car->pedal;
    double pair = axle == 0 ? p->master.front : p->master.rear;
    double bore = isnan(p->master.bore) ? pair : p->master.bore;
    double area = mbl_caliper_area(&mbl_car_brake(car, axle)->caliper);
    double ratio = area / (M_PI / 4 * bore * bore);
    return !p->present || (!(ratio < room->ratio[0]) && !(ratio > room->ratio[1]));
}

/* The rules of el.brake, el.pedal and el.car, which know each part by itself already. */
static bool keeps_rules(const mbl_car *car)
{
    mbl_error err = {0};
    if (mbl_brake_schema.rules(&car->front, &err) != MBL_OK ||
        mbl_brake_schema.rules(&car->rear, &err) != MBL_OK)
        return false;
    if (car->pedal.present && mbl_pedal_schema.rules(&car->pedal, &err) != MBL_OK)
        return false;
    return mbl_car_schema.rules(car, &err) == MBL_OK;
}

mbl_misfit mbl_fits_check(const mbl_car *car, const mbl_fits_of *fits, const mbl_room *room)
{
    mbl_misfit axle[MBL_AXLES];
    for (int i = 0; i < MBL_AXLES; i++)
        axle[i] = check_axle(car, i, fits, room);
    mbl_misfit first =
        axle[0] == MBL_FITS || (axle[1] != MBL_FITS && axle[1] < axle[0]) ? axle[1] : axle[0];
    if (first != MBL_FITS)
        return first;
    if (!ratio_fits(car, 0, room) || !ratio_fits(car, 1, room))
        return MBL_MISFIT_RATIO;
    return keeps_rules(car) ? MBL_FITS : MBL_MISFIT_RULES;
}
