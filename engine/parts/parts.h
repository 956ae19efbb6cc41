/* SPDX-License-Identifier: MIT */
/* Public header of `parts`: definition trees, units' way in, field tables, documents. */
#ifndef MBL_PARTS_H
#define MBL_PARTS_H

#include "parts/definitions.h"
#include "parts/document.h"
#include "parts/node.h"
#include "parts/schema.h"
#include "parts/units.h"

#endif
