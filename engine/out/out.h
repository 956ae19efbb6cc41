/* SPDX-License-Identifier: MIT */
/*
 * Public header of `out`: results for people (terminal), for spreadsheets (CSV) and for programs
 * (JSON). This is the only place where SI becomes people's units.
 */
#ifndef MBL_OUT_H
#define MBL_OUT_H

#include "out/clean_log.h"
#include "out/csv.h"
#include "out/json.h"
#include "out/layout_yaml.h"
#include "out/log.h"
#include "out/log_doubts.h"
#include "out/log_words.h"
#include "out/table.h"
#include "out/units.h"

#endif
