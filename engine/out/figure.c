/* SPDX-License-Identifier: MIT */
#include "out/figure.h"

#include <math.h>
#include <stdio.h>

mbl_figure mbl_figure_of(mbl_quantity quantity, mbl_units_system units)
{
    bool us = units == MBL_UNITS_US;
    switch (quantity) {
    case MBL_Q_LEVEL:
        return (mbl_figure){MBL_SHOW_LEVEL, 0};
    case MBL_Q_RISE:
        return (mbl_figure){MBL_SHOW_RISE, 0};
    case MBL_Q_LENGTH:
        return (mbl_figure){MBL_SHOW_SIZE, us ? 2 : 1};
    case MBL_Q_VOLUME:
        return (mbl_figure){MBL_SHOW_VOLUME, us ? 2 : 1};
    case MBL_Q_MASS:
        return (mbl_figure){MBL_SHOW_MASS, 1};
    case MBL_Q_FORCE:
        return (mbl_figure){MBL_SHOW_FORCE, 0};
    case MBL_Q_FORCE_RATE:
        return (mbl_figure){MBL_SHOW_FORCE_RATE, 0};
    case MBL_Q_PRESSURE:
        return (mbl_figure){MBL_SHOW_PRESSURE, 0};
    case MBL_Q_ACCELERATION:
        return (mbl_figure){MBL_SHOW_DECELERATION, 2};
    case MBL_Q_SHARE:
        return (mbl_figure){MBL_SHOW_SHARE, 1};
    case MBL_Q_TIME:
        return (mbl_figure){MBL_SHOW_MINUTES, 0};
    case MBL_Q_ENERGY:
        return (mbl_figure){MBL_SHOW_ENERGY, 2};
    case MBL_Q_MONEY:
        return (mbl_figure){MBL_SHOW_PLAIN, 2};
    default:
        return (mbl_figure){MBL_SHOW_PLAIN, 0};
    }
}

mbl_shown mbl_figure_number(mbl_figure figure, mbl_units_system units, double si)
{
    return mbl_out_show(figure.measure, units, si, figure.decimals);
}

mbl_shown mbl_figure_margin(mbl_figure figure, mbl_units_system units, double si)
{
    double margin = mbl_out_convert(figure.measure, units, si);
    double unit = pow(10, figure.decimals);
    if (fabs(margin) * unit < 1 && margin != 0)
        return mbl_out_fixed(floor(margin * unit * 10) / (unit * 10), figure.decimals + 1);
    return mbl_out_fixed(margin, figure.decimals);
}

static mbl_shown with_unit(const char *sign, mbl_shown number, const char *unit)
{
    mbl_shown out;
    snprintf(out.s, sizeof out.s, "%s%.30s%s%.12s", sign, number.s, unit[0] != '\0' ? " " : "",
             unit);
    return out;
}

mbl_shown mbl_figure_told(mbl_quantity quantity, mbl_units_system units, double si)
{
    mbl_figure f = mbl_figure_of(quantity, units);
    return with_unit("", mbl_figure_number(f, units, si), mbl_out_unit(f.measure, units));
}

mbl_shown mbl_figure_change(mbl_quantity quantity, mbl_units_system units, double si)
{
    mbl_figure f = mbl_figure_of(quantity == MBL_Q_LEVEL ? MBL_Q_RISE : quantity, units);
    mbl_shown number = mbl_figure_margin(f, units, si);
    return with_unit(number.s[0] == '-' ? "" : "+", number, mbl_out_unit(f.measure, units));
}
