/* SPDX-License-Identifier: MIT */
#include "out/sheet.h"

#include <math.h>
#include <stdio.h>

mbl_shown mbl_sheet_show(const mbl_sheet *sheet, mbl_measure measure, double si, int decimals)
{
    return mbl_out_show(measure, sheet->units, si, decimals);
}

const char *mbl_sheet_unit(const mbl_sheet *sheet, mbl_measure measure)
{
    return mbl_out_unit(measure, sheet->units);
}

mbl_shown mbl_sheet_told(const mbl_sheet *sheet, mbl_quantity quantity, double si)
{
    return mbl_figure_told(quantity, sheet->units, si);
}

void mbl_sheet_fact(mbl_sheet *sheet, const char *word)
{
    mbl_page_fact(sheet->page, word, mbl_text_get(&sheet->line));
    mbl_page_clear(&sheet->line);
}

void mbl_sheet_point(mbl_sheet *sheet)
{
    mbl_page_point(sheet->page, mbl_text_get(&sheet->line));
    mbl_page_clear(&sheet->line);
}

void mbl_sheet_row(mbl_sheet *sheet, const char *what, mbl_quantity quantity,
                   const double of[MBL_AXLES])
{
    if (isnan(of[0]) && isnan(of[1]))
        return;
    mbl_page_row(sheet->page, what, mbl_sheet_told(sheet, quantity, of[0]).s,
                 mbl_sheet_told(sheet, quantity, of[1]).s);
}
