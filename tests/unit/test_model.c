/* SPDX-License-Identifier: MIT */
#include "heat/heat.h"
#include "support/coupe.h"
#include "support/test.h"
#include "support/test_alloc.h"

static mbl_status build(const mbl_alloc *alloc, const mbl_car *car, mbl_model **out, mbl_error *err)
{
    mbl_network net;
    mbl_network_init(&net, alloc);
    assert_int_equal(mbl_corner_build(&net, car, 300, 101325, NULL, NULL), MBL_OK);
    mbl_status status = mbl_model_make(&net, 300, out, err);
    mbl_network_free(&net);
    return status;
}

static mbl_model *coupe_model(void)
{
    mbl_car car = test_coupe();
    mbl_error err = {0};
    mbl_model *m = NULL;
    assert_ok(build(&mbl_alloc_libc, &car, &m, &err), err);
    return m;
}

static void a_car_has_fourteen_nodes_an_axle_each_found_by_its_name(void **state)
{
    (void)state;
    mbl_model *m = coupe_model();
    assert_int_equal(m->nnodes, 28);
    assert_int_equal(m->ncontacts, 2);
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        for (int i = 0; i < MBL_CORNER_NODES; i++) {
            char name[64];
            snprintf(name, sizeof name, "%s.%s", mbl_axle_word(axle),
                     mbl_corner_key((mbl_corner_node)i));
            assert_int_equal(mbl_model_node(m, name), mbl_corner_index(axle, (mbl_corner_node)i));
        }
    }
    assert_int_equal(mbl_model_node(m, "front.rotor.face"), 0);
    assert_int_equal(mbl_model_node(m, "rear.fluid"), 26);
    assert_int_equal(mbl_model_node(m, "front.rotor"), -1);
    mbl_model_drop(m);
}

static void the_iron_of_a_corner_has_the_mass_on_the_scales(void **state)
{
    (void)state;
    mbl_model *m = coupe_model();
    /* ring masses of the car, and the hat of the one-piece rear rotor */
    static const double want[] = {7.9, 6.2 + 2.1};
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        double mass = 0;
        for (int i = 0; i < MBL_CORNER_NODES; i++) {
            const mbl_node_spec *n = &m->node[mbl_corner_index(axle, (mbl_corner_node)i)];
            mass += n->iron ? n->scale : 0;
        }
        assert_close(mass, want[axle], 1e-12);
    }
    mbl_model_drop(m);
}

static void links_lie_in_ranges_by_kind_inner_before_outer(void **state)
{
    (void)state;
    mbl_model *m = coupe_model();
    static const mbl_link_kind kinds[] = {MBL_LINK_FIXED, MBL_LINK_RADIATION, MBL_LINK_CONTACT,
                                          MBL_LINK_FIXED, MBL_LINK_FILM,      MBL_LINK_RADIATION};
    const mbl_range ranges[] = {m->inner_fixed, m->inner_radiation, m->inner_contact,
                                m->outer_fixed, m->outer_film,      m->outer_radiation};
    int next = 0;
    for (int r = 0; r < 6; r++) {
        assert_int_equal(ranges[r].first, next);
        for (int k = ranges[r].first; k < ranges[r].end; k++) {
            assert_int_equal(m->link[k].kind, kinds[r]);
            assert_int_equal(m->link[k].to == MBL_AMBIENT, r >= 3);
            assert_int_equal(m->link[k].path >= 0, r >= 3);
        }
        next = ranges[r].end;
    }
    assert_int_equal(next, m->nlinks);
    assert_int_equal(m->inner.end, m->outer.first);
    for (int c = 0; c < m->ncontacts; c++) {
        const mbl_link_spec *l = &m->link[m->contact[c].link];
        assert_int_equal(l->kind, MBL_LINK_CONTACT);
        assert_int_equal(l->from, m->contact[c].rotor);
        assert_int_equal(l->to, m->contact[c].pad);
    }
    mbl_model_drop(m);
}

/* A network of two nodes and one of everything, with one number put wrong. */
typedef struct small {
    double capacity, mass, link, loss, radiation, ambient;
} small;

static double even_film(const void *ctx, double speed, double T)
{
    (void)ctx;
    (void)speed;
    (void)T;
    return 20;
}

static mbl_status make_small(const small *s, mbl_model **out, mbl_error *err)
{
    mbl_network net;
    mbl_network_init(&net, &mbl_alloc_libc);
    int a = mbl_network_node(&net, "a", s->capacity);
    int b = mbl_network_iron(&net, "b", s->mass);
    mbl_network_link(&net, a, b, s->link);
    mbl_network_lose(&net, a, s->loss, mbl_network_path(&net, "bench"));
    mbl_network_film(&net, b, 0.1, mbl_network_law(&net, even_film, NULL),
                     mbl_network_path(&net, "air"));
    mbl_network_radiate(&net, b, MBL_AMBIENT, s->radiation, mbl_network_path(&net, "air"));
    mbl_status status = mbl_model_make(&net, s->ambient, out, err);
    mbl_network_free(&net);
    return status;
}

static const small sound = {1000, 2, 5, 1, 0.05, 300};

static void a_path_named_twice_is_one_path(void **state)
{
    (void)state;
    mbl_error err = {0};
    mbl_model *m = NULL;
    assert_ok(make_small(&sound, &m, &err), err);
    assert_int_equal(m->npaths, 2);
    assert_string_equal(m->path[0], "bench");
    assert_string_equal(m->path[1], "air");
    mbl_model_drop(m);
}

static void an_impossible_network_is_refused_with_the_reason(void **state)
{
    (void)state;
    small bad[9];
    static const char *const why[9] = {"node a",         "node a",         "node b",
                                       "link of node a", "link of node a", "link of node a",
                                       "link of node b", "ambient",        "ambient"};
    for (int i = 0; i < 9; i++)
        bad[i] = sound;
    bad[0].capacity = 0;
    bad[1].capacity = NAN;
    bad[2].mass = INFINITY;
    bad[3].link = -1;
    bad[4].link = NAN;
    bad[5].loss = 0;
    bad[6].radiation = INFINITY;
    bad[7].ambient = 0;
    bad[8].ambient = NAN;
    for (int i = 0; i < 9; i++) {
        mbl_error err = {0};
        mbl_model *m = NULL;
        assert_int_equal(make_small(&bad[i], &m, &err), MBL_INPUT);
        assert_null(m);
        assert_has(err.text, why[i]);
    }
    mbl_network empty;
    mbl_network_init(&empty, &mbl_alloc_libc);
    mbl_error err = {0};
    mbl_model *m = NULL;
    assert_int_equal(mbl_model_make(&empty, 300, &m, &err), MBL_INPUT);
    assert_null(m);
}

static void the_tables_of_a_model_hold_the_law_and_the_friction_at_their_knots(void **state)
{
    (void)state;
    mbl_model *m = coupe_model();
    for (int c = 0; c < 2; c++) {
        const mbl_table1 *mu = &m->contact[c].friction;
        /* the curve of the car: 0.38 at 20 C, 0.48 at 300 C, 0.44 at 650 C, 0.30 at 800 C */
        assert_near(mbl_table1_at(mu, 260), 0.38, 1e-15);
        assert_near(mbl_table1_at(mu, 435), 0.38 + 0.10 * (435 - 293.15) / 280, 1e-15);
        assert_near(mbl_table1_at(mu, 750), 0.48 - 0.04 * (750 - 573.15) / 350, 1e-15);
        assert_near(mbl_table1_at(mu, 1300), 0.30, 1e-15);
    }
    mbl_model_drop(m);
    mbl_error err = {0};
    assert_ok(make_small(&sound, &m, &err), err);
    for (double v = 0; v < 130; v += 7) {
        const mbl_table2 *t = &m->law[0];
        mbl_spot spot = mbl_spot_find(v, t->x0, t->x_per_step, t->nx);
        for (double T = 240; T < 1500; T += 31)
            assert_near(mbl_table2_at(t, spot, T), 20, 0);
    }
    mbl_model_drop(m);
}

/* p_rear / p_front = 0.38 / 0.62 x (19 / 17.8)^2 with the bar; 2.5 MPa and 0.35 with the valve. */
static void a_contact_knows_its_pressure_and_the_iron_behind_its_face(void **state)
{
    (void)state;
    static const struct {
        const char *pedal;
        double share, knee, slope;
    } rows[] = {{NULL, 1, 1e12, 1},
                {test_pedal_bar, 0.6983274350338626, 1e12, 1},
                {test_pedal_valve, 1, 2.5e6, 0.35}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        mbl_car car = test_coupe();
        mbl_error err = {0};
        mbl_model *m = NULL;
        if (rows[i].pedal != NULL)
            test_fill(&mbl_pedal_schema, rows[i].pedal, &car.pedal);
        assert_ok(build(&mbl_alloc_libc, &car, &m, &err), err);
        assert_close(m->knee, rows[i].knee, 1e-12);
        assert_near(m->contact[0].share, 1, 0);
        assert_near(m->contact[0].slope, 1, 0);
        assert_close(m->contact[1].share, rows[i].share, 1e-12);
        assert_near(m->contact[1].slope, rows[i].slope, 0);
        for (int axle = 0; axle < MBL_AXLES; axle++)
            assert_int_equal(m->contact[axle].core, mbl_corner_index(axle, MBL_CORE));
        mbl_model_drop(m);
    }
}

/* 5e-14 m3/J up to 550 C, then exp(60000 / 8.314463 x (1 / 823.15 - 1 / T)): 2.11400 at 900 K. */
static void the_wear_of_a_contact_is_that_of_its_pad(void **state)
{
    (void)state;
    mbl_car car = test_coupe();
    car.front.pad.wear = 5e-14;
    car.front.pad.wear_activation = 6e4;
    car.rear.pad.wear = 2e-13;
    car.rear.pad.wear_effect = (mbl_curve){.n = 2, .x = {300, 900}, .y = {1, 7}};
    mbl_error err = {0};
    mbl_model *m = NULL;
    assert_ok(build(&mbl_alloc_libc, &car, &m, &err), err);
    assert_near(mbl_table1_at(&m->contact[0].wear, 500), 5e-14, 0);
    assert_close(mbl_table1_at(&m->contact[0].wear, 900), 5e-14 * 2.11400, 1e-5);
    assert_close(mbl_table1_at(&m->contact[1].wear, 500), 6e-13, 1e-12);
    assert_close(mbl_table1_at(&m->contact[1].wear, 1200), 14e-13, 1e-12);
    mbl_model_drop(m);
}

static void models_of_one_shape_are_told_from_others(void **state)
{
    (void)state;
    mbl_error err = {0};
    mbl_car car = test_coupe();
    mbl_model *a = coupe_model();
    mbl_model *b = NULL;
    car.front.rotor.ring_mass = 8.4;
    car.front.pad.conductivity = 3;
    assert_ok(build(&mbl_alloc_libc, &car, &b, &err), err);
    assert_true(mbl_model_same_shape(a, b));
    mbl_model_drop(b);
    car.rear.rotor.vanes = 0; /* no vanes: fewer films */
    car.rear.rotor.thickness = 0.016;
    assert_ok(build(&mbl_alloc_libc, &car, &b, &err), err);
    assert_false(mbl_model_same_shape(a, b));
    mbl_model_drop(b);
    car = test_coupe();
    car.front.rotor.construction = MBL_ONE_PIECE; /* a hat of iron, not of aluminium */
    assert_ok(build(&mbl_alloc_libc, &car, &b, &err), err);
    assert_false(mbl_model_same_shape(a, b));
    mbl_model_drop(b);
    mbl_model_drop(a);
}

/* Lanes read their own law by the number in the first model's link, and heat goes to its nodes. */
static mbl_model *with_laws_and_source(int laws, int law, int source)
{
    mbl_network net;
    mbl_network_init(&net, &mbl_alloc_libc);
    mbl_network_node(&net, "a", 100);
    mbl_network_node(&net, "b", 100);
    mbl_network_link(&net, 0, 1, 1);
    for (int i = 0; i < laws; i++)
        mbl_network_law(&net, even_film, NULL);
    mbl_network_film(&net, 0, 0.1, law, mbl_network_path(&net, "air"));
    mbl_network_source(&net, source);
    mbl_error err = {0};
    mbl_model *m = NULL;
    assert_ok(mbl_model_make(&net, 300, &m, &err), err);
    mbl_network_free(&net);
    return m;
}

static void another_law_or_source_is_another_shape(void **state)
{
    (void)state;
    mbl_model *a = with_laws_and_source(2, 1, 0);
    mbl_model *same = with_laws_and_source(2, 1, 0);
    mbl_model *law = with_laws_and_source(1, 0, 0);
    mbl_model *source = with_laws_and_source(2, 1, 1);
    assert_true(mbl_model_same_shape(a, same));
    assert_false(mbl_model_same_shape(a, law));
    assert_false(mbl_model_same_shape(a, source));
    mbl_model_drop(a);
    mbl_model_drop(same);
    mbl_model_drop(law);
    mbl_model_drop(source);
}

static void a_model_lives_until_its_last_reference_goes(void **state)
{
    (void)state;
    test_alloc t;
    test_alloc_init(&t);
    mbl_car car = test_coupe();
    mbl_error err = {0};
    mbl_model *m = NULL;
    assert_ok(build(&t.alloc, &car, &m, &err), err);
    mbl_model *kept = mbl_model_keep(m);
    mbl_model_drop(m);
    assert_true(t.live_bytes > 0);
    assert_int_equal(mbl_model_node(kept, "front.hub"), MBL_HUB);
    mbl_model_drop(kept);
    mbl_model_drop(NULL);
    assert_int_equal(t.live_bytes, 0);
}

static void every_failed_allocation_is_reported_and_leaves_nothing(void **state)
{
    (void)state;
    mbl_car car = test_coupe();
    size_t fail_at = 1;
    for (;; fail_at++) {
        test_alloc t;
        test_alloc_init(&t);
        t.fail_at = fail_at;
        mbl_error err = {0};
        mbl_model *m = NULL;
        mbl_block *b = NULL;
        mbl_status status = build(&t.alloc, &car, &m, &err);
        if (status == MBL_OK) {
            mbl_model *const lanes[] = {m, m, m};
            status = mbl_block_make(&t.alloc, lanes, 3, &b, &err);
            mbl_model_drop(m);
        } else {
            assert_null(m);
        }
        if (status == MBL_OK) {
            mbl_block_free(b);
        } else {
            assert_null(b);
            assert_int_equal(status, MBL_MEMORY);
            assert_int_equal(err.status, MBL_MEMORY);
        }
        assert_int_equal(t.live_bytes, 0);
        assert_int_equal(t.wrong_size, 0);
        if (status == MBL_OK)
            break;
    }
    printf("%zu allocations failed in turn\n", fail_at - 1);
    assert_true(fail_at > 20);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_car_has_fourteen_nodes_an_axle_each_found_by_its_name),
        cmocka_unit_test(the_iron_of_a_corner_has_the_mass_on_the_scales),
        cmocka_unit_test(links_lie_in_ranges_by_kind_inner_before_outer),
        cmocka_unit_test(a_path_named_twice_is_one_path),
        cmocka_unit_test(an_impossible_network_is_refused_with_the_reason),
        cmocka_unit_test(the_tables_of_a_model_hold_the_law_and_the_friction_at_their_knots),
        cmocka_unit_test(a_contact_knows_its_pressure_and_the_iron_behind_its_face),
        cmocka_unit_test(the_wear_of_a_contact_is_that_of_its_pad),
        cmocka_unit_test(models_of_one_shape_are_told_from_others),
        cmocka_unit_test(another_law_or_source_is_another_shape),
        cmocka_unit_test(a_model_lives_until_its_last_reference_goes),
        cmocka_unit_test(every_failed_allocation_is_reported_and_leaves_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
