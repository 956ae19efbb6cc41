/* SPDX-License-Identifier: MIT */
/* Options on a shelf for tests of shortlists: a case, its slots and parts in one place. */
#ifndef MBL_TESTS_SHELF_H
#define MBL_TESTS_SHELF_H

#include "study/shortlist.h"

enum { TEST_OPTIONS = 8 };

typedef struct test_shelf {
    mbl_case setup;
    mbl_option option[MBL_SLOT_KINDS][TEST_OPTIONS];
    mbl_shortlist_ask ask;
} test_shelf;

/* Nothing is known of what it goes together with. */
extern const mbl_fits test_unsaid;

/* Keys of front pads and rotors that all of them share, for test_shelf_add. */
#define TEST_FRICTION "friction: [[20, 0.38], [300, 0.48], [650, 0.44], [800, 0.30]]"
#define TEST_PAD(keys)                                                                             \
    "{ area: 62 cm2, height: 50 mm, thickness: 16 mm, " TEST_FRICTION ", " keys " }"
#define TEST_RING(keys) "{ hat_mass: 1.2 kg, construction: two-piece, hat: plain, " keys " }"

/* The coupe with a bar on a trace (borrowed), without slots. The shelf must not move. */
void test_shelf_begin(test_shelf *at, mbl_trace *trace, const char *stint);

/* A slot with what is there; and one more option of it, in YAML. */
mbl_slot *test_shelf_slot(test_shelf *at, mbl_slot_kind kind);
mbl_option *test_shelf_add(test_shelf *at, mbl_slot *slot, const char *yaml);

/*
 * 4 rotors, 5 pads, 3 calipers, 3 ducts, 4 masters, 6 fluids with what is there: 4320, of which a
 * third is ruled out by fit. Some are alike but for their price, and some cost the same.
 */
void test_shelf_fill(test_shelf *at);

/* Begins with 4 pads, 3 ducts and 3 fluids on a car whose lock is not looked at: some hold. */
void test_shelf_small(test_shelf *at, mbl_trace *trace);

#endif
