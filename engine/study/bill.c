/* SPDX-License-Identifier: MIT */
#include "study/bill.h"

#include <math.h>

mbl_weights mbl_weights_of(const mbl_car *car)
{
    mbl_weights w = {0};
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        const mbl_brake *b = mbl_car_brake(car, axle);
        w.rotor[axle] = mbl_rotor_mass(&b->rotor);
        w.pads[axle] = mbl_pads_mass(&b->pad);
        w.caliper[axle] = b->caliper.mass;
        w.duct[axle] = b->duct.present ? b->duct.mass : 0;
        w.unsprung += 2 * mbl_brake_mass(b);
        w.inertia += 2 * mbl_rotor_inertia(&b->rotor);
        w.equivalent += 2 * mbl_equivalent_mass(&b->rotor, car->tyre.radius);
        w.ring_off[axle] = mbl_rotor_ring_mass(&b->rotor) / mbl_rotor_geometric_mass(&b->rotor) - 1;
    }
    return w;
}

/* A price into the sum; without one it counts as missing. */
static double price(mbl_bill *bill, double times, double cost)
{
    bill->unpriced += cost > 0 ? 0 : 1;
    return times * cost;
}

/* Share of a set that the event uses up: all sets but the last whole, of the last what it needs. */
static double used(double sessions, double sessions_left)
{
    return isinf(sessions_left) ? 0 : sessions / fmax(sessions_left, 1e-3);
}

mbl_bill mbl_bill_of(const mbl_car *car, const mbl_event *event,
                     const mbl_life_result life[MBL_AXLES])
{
    mbl_bill bill = {0};
    const double per_second = event->labour_rate / 3600;
    double fitting = car->pedal.present ? car->pedal.master.labour : 0;
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        const mbl_brake *b = mbl_car_brake(car, axle);
        bill.parts += price(&bill, 2, b->rotor.cost) + price(&bill, 1, b->pad.cost) +
                      price(&bill, 2, b->caliper.cost);
        fitting += b->rotor.labour + b->pad.labour + b->caliper.labour;
        if (b->duct.present) {
            bill.parts += price(&bill, 1, b->duct.cost);
            fitting += b->duct.labour;
        }
        /* by what a new set would last: a set that is half gone was paid before */
        double worn = life[axle].pad_session;
        double lasts = worn > 0 ? (b->pad.thickness - mbl_pad_worn_at(&b->pad)) / worn : INFINITY;
        bill.pads_event +=
            used(event->sessions, lasts) * (b->pad.cost + b->pad.labour * per_second);
        bill.rotors_event += used(event->sessions, life[axle].rotor_sessions) *
                             (2 * b->rotor.cost + b->rotor.labour * per_second);
    }
    double litres = event->bleed_volume * 1e3;
    bill.fluid_event = event->bleeds * (litres * car->fluid.cost + car->fluid.labour * per_second);
    bill.parts += price(&bill, litres, car->fluid.cost);
    if (car->pedal.present)
        bill.parts += price(&bill, 1, car->pedal.master.cost);
    bill.labour = (fitting + car->fluid.labour) * per_second;
    bill.event = bill.pads_event + bill.rotors_event + bill.fluid_event;
    return bill;
}
