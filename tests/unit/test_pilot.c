/* SPDX-License-Identifier: MIT */
/* The pilot: against a block that has its constants, and which cars share one. */
#include "heat/stride.h"
#include "support/coupe.h"
#include "support/random_car.h"
#include "support/test.h"

/* K, J/kgK. Grey iron's heat capacity is even from here to 293 K. */
static const double cold = 210;
static const double iron = 460;

/* ---- a car whose constants are those of its pilot ---- */

static int place_of(int node, int *corner)
{
    for (*corner = 0; *corner < MBL_STRIDE_CORNERS; (*corner)++) {
        for (int place = 0; place < MBL_PLACES; place++) {
            if (mbl_stride_node(*corner, place) == node)
                return place;
        }
    }
    return -1;
}

/* The place that a fixed link along a chain begins at, or -1. */
static int along(const mbl_link_spec *l, int *corner)
{
    int other;
    int from = place_of(l->from, corner);
    int to = l->to == MBL_AMBIENT ? -1 : place_of(l->to, &other);
    if (l->kind != MBL_LINK_FIXED || from < 0 || to < 0 || other != *corner)
        return -1;
    return from < to ? from : to;
}

static mbl_model *model_of(const mbl_network *net)
{
    mbl_error err = {0};
    mbl_model *m = NULL;
    assert_ok(mbl_model_make(net, cold, &m, &err), err);
    assert_true(mbl_model_macro(m) > 0);
    return m;
}

static mbl_kin kin_of(const mbl_network *net)
{
    mbl_kin kin;
    mbl_model *m = model_of(net);
    mbl_kin_of(m, &kin);
    mbl_model_drop(m);
    return kin;
}

static void take_contact(mbl_contact_spec *x, const mbl_pilot *p, int c)
{
    /* layers are area x (1 + ratio) and area x (1 + 1 / ratio) */
    double ratio = p->rotor_layer[c] / p->pad_layer[c];
    double force = 2 * p->share[c] / p->per_force;
    x->face = (mbl_interface){.area = p->pad_layer[c] / (1 + 1 / ratio),
                              .k_rotor = ratio,
                              .k_pad = 1,
                              .rotor_half = p->rotor_half[c],
                              .pad_half = p->pad_half[c]};
    x->film_per_pascal = p->film_per_pascal[c] / x->share;
    x->gap_film = p->gap_film[c];
    x->friction = (mbl_curve){.n = 1, .x = {300}, .y = {0.4}};
    x->gain = force / 0.4 / x->share;
}

/* The coupe with even laws, no way out of its chains, and the constants of its own pilot. */
static void make_whole(mbl_network *net)
{
    static mbl_car car; /* contacts borrow its pads */
    mbl_pilot p;
    int c;
    car = test_coupe();
    random_car_flat_friction(&car);
    mbl_network_init(net, &mbl_alloc_libc);
    assert_int_equal(mbl_corner_build(net, &car, cold, 101325, NULL, NULL), MBL_OK);
    mbl_kin kin = kin_of(net);
    mbl_pilot_make(&kin, &p);
    for (int i = 0; i < net->nnodes; i++) {
        int place = place_of(i, &c);
        if (place < 0)
            continue;
        net->node[i].scale = p.C[place][c];
        net->node[i].iron = false;
    }
    for (int k = 0; k < net->nlinks; k++) {
        int place = along(&net->link[k], &c);
        net->link[k].value = place < 0 ? 1e-14 * net->link[k].value : p.g[place][c];
    }
    for (c = 0; c < net->ncontacts; c++)
        take_contact(&net->contact[c], &p, c);
    /* what is whole is its own pilot: rounding it again moves nothing */
    mbl_kin again = kin_of(net);
    assert_memory_equal(&again, &kin, sizeof kin);
}

/* ---- against the strides ---- */

/* Strides take the rotor's part of a chain for iron. */
static void rotors_of_iron(mbl_network *net)
{
    int c;
    for (int i = 0; i < net->nnodes; i++) {
        int place = place_of(i, &c);
        if (place < 0 || place > MBL_PLACE_FACE)
            continue;
        net->node[i].scale /= iron;
        net->node[i].iron = true;
    }
}

/* Rubbing hard and lightly, coasting, at rest; steps of 25 ms to 0.8 s. */
enum { STEPS = 60 };

static void fill_steps(mbl_stride step[STEPS])
{
    for (int k = 0; k < STEPS; k++) {
        double dt = 0.025 * (1 + k * 7 % 32);
        double v = k % 10 == 9 ? 0.2 : 60 - 5 * (k % 10);
        double power = k % 5 == 0 ? 0 : 250 * v * (1 + k % 4);
        step[k] = (mbl_stride){.dt = dt,
                               .v0 = v + 1,
                               .v1 = v - 0.1,
                               .power = power,
                               .slope = power * (k % 3 - 1) / dt * 0.8,
                               .macro_dt = dt,
                               .macro_v1 = v - 0.1};
    }
}

static void a_pilot_of_a_cars_own_constants_goes_as_its_strides_do(void **state)
{
    (void)state;
    mbl_stride step[STEPS];
    mbl_network net;
    mbl_block *b = NULL;
    mbl_error err = {0};
    mbl_pilot pilot;
    make_whole(&net);
    mbl_kin kin = kin_of(&net);
    mbl_pilot_make(&kin, &pilot);
    rotors_of_iron(&net);
    mbl_model *m = model_of(&net);
    assert_ok(mbl_block_make(&mbl_alloc_libc, &m, 1, &b, &err), err);
    fill_steps(step);
    mbl_pilot_state at[2] = {0};
    double worst = 0;
    double warmest = 0;
    for (size_t k = 0; k < STEPS; k++) {
        const mbl_stride *s = &step[k];
        mbl_block_stride(b, step, k, k + 1, 0, NULL);
        mbl_pilot_step(&pilot, s->dt, 0.5 * (s->v0 + s->v1), s->power, s->slope, &at[k % 2],
                       &at[(k + 1) % 2]);
        for (int c = 0; c < MBL_STRIDE_CORNERS; c++) {
            for (int i = 0; i < MBL_PLACES; i++) {
                double rise = b->T[mbl_stride_node(c, i)] - cold;
                worst = fmax(worst, fabs(rise - at[(k + 1) % 2].T[i][c]));
                warmest = fmax(warmest, rise);
            }
        }
    }
    printf("off by %.1e K of %.1f K\n", worst, warmest);
    assert_true(warmest > 20 && warmest < 83); /* K: none gets to 293 */
    assert_true(worst < 1e-10);
    mbl_block_free(b);
    mbl_model_drop(m);
    mbl_network_free(&net);
}

static double heat_of(const mbl_pilot *p, const mbl_pilot_state *s)
{
    double sum = 0;
    for (int i = 0; i < MBL_PLACES; i++) {
        mbl_pair heat = p->C[i] * s->T[i];
        sum += heat[0] + heat[1];
    }
    return sum;
}

/* Of the car's power one wheel an axle is followed: a half. */
static void a_step_keeps_its_heat(void **state)
{
    (void)state;
    for (int seed = 1; seed <= random_cases(20); seed++) {
        mbl_car car = random_car((uint64_t)seed);
        random_source r = {(uint64_t)seed};
        mbl_block *b = random_car_block(&car, 300);
        mbl_kin kin;
        mbl_pilot p;
        mbl_pilot_state from = {0};
        mbl_pilot_state to;
        if (mbl_model_macro(b->model[0]) <= 0) {
            mbl_block_free(b);
            continue;
        }
        mbl_kin_of(b->model[0], &kin);
        mbl_pilot_make(&kin, &p);
        assert_near(p.share[0] + p.share[1], 0.5, 1e-15);
        double in = 0;
        for (int k = 0; k < 40; k++) {
            double dt = random_between(&r, 0.01, 1);
            double power = k % 4 == 3 ? 0 : random_between(&r, 1e3, 1e6);
            double slope = power / dt * random_between(&r, -1.9, 1.9);
            mbl_pilot_step(&p, dt, random_between(&r, 0, 70), power, slope, &from, &to);
            in += 0.5 * power * dt;
            assert_close(heat_of(&p, &to), in, 1e-12);
            for (int i = 0; i < MBL_PLACES; i++)
                assert_true(isfinite(to.T[i][0]) && isfinite(to.T[i][1]));
            from = to;
        }
        mbl_block_free(b);
    }
}

static void left_alone_long_enough_a_chain_comes_to_one_temperature(void **state)
{
    (void)state;
    mbl_network net;
    mbl_pilot p;
    make_whole(&net);
    mbl_kin kin = kin_of(&net);
    mbl_pilot_make(&kin, &p);
    mbl_pilot_state s[2] = {0};
    s[0].T[MBL_PLACE_FACE] = (mbl_pair){400, 100};
    for (int k = 0; k < 400; k++)
        mbl_pilot_step(&p, 60, 20, 0, 0, &s[k % 2], &s[(k + 1) % 2]);
    for (int c = 0; c < MBL_STRIDE_CORNERS; c++) {
        double C = 0;
        for (int i = 0; i < MBL_PLACES; i++)
            C += p.C[i][c];
        double even = (c == 0 ? 400 : 100) * p.C[MBL_PLACE_FACE][c] / C;
        for (int i = 0; i < MBL_PLACES; i++)
            assert_close(s[0].T[i][c], even, 1e-6);
    }
    mbl_network_free(&net);
}

/* The factorisation is kept between steps that are alike: a pilot that has it, and one that has
 * not. */
static void what_a_pilot_did_before_changes_no_bit(void **state)
{
    (void)state;
    mbl_network net;
    mbl_pilot fresh;
    make_whole(&net);
    mbl_kin kin = kin_of(&net);
    mbl_pilot_make(&kin, &fresh);
    mbl_pilot used = fresh;
    mbl_pilot_state from = {0};
    mbl_pilot_state want;
    mbl_pilot_state got;
    from.T[MBL_PLACE_FACE] = (mbl_pair){50, 20};
    static const struct {
        double dt, v, power;
    } steps[] = {{0.1, 20, 0}, {0.1, 30, 0},   {0.2, 30, 0},   {0.1, 30, 2e5},
                 {0.1, 0, 0},  {0.1, 60, 4e5}, {0.1, 30, 2e5}, {0.2, 30, 2e5}};
    for (size_t k = 0; k < sizeof steps / sizeof steps[0]; k++) {
        mbl_pilot p = fresh;
        mbl_pilot_step(&p, steps[k].dt, steps[k].v, steps[k].power, 0, &from, &want);
        mbl_pilot_step(&used, steps[k].dt, steps[k].v, steps[k].power, 0, &from, &got);
        assert_memory_equal(&got, &want, sizeof got);
    }
    mbl_network_free(&net);
}

/* ---- kin ---- */

/* Kin by a little, and no longer by a factor of two. */
static void differs_beyond_a_step(const mbl_network *net, double *x, const mbl_kin *kin)
{
    static const double factor[] = {0.97, 1.03, 0.5, 2};
    const double was = *x;
    for (int i = 0; i < 4; i++) {
        *x = was * factor[i];
        mbl_kin other = kin_of(net);
        bool same = memcmp(&other, kin, sizeof other) == 0;
        assert_int_equal(same, i < 2);
    }
    *x = was;
}

static void every_constant_tells_kin_apart_by_a_step_and_not_by_less(void **state)
{
    (void)state;
    mbl_network net;
    make_whole(&net);
    mbl_kin kin = kin_of(&net);
    int corner;
    for (int i = 0; i < net.nnodes; i++) {
        if (place_of(i, &corner) >= 0)
            differs_beyond_a_step(&net, &net.node[i].scale, &kin);
    }
    for (int k = 0; k < net.nlinks; k++) {
        if (along(&net.link[k], &corner) >= 0)
            differs_beyond_a_step(&net, &net.link[k].value, &kin);
    }
    for (int c = 0; c < net.ncontacts; c++) {
        mbl_contact_spec *x = &net.contact[c];
        differs_beyond_a_step(&net, &x->film_per_pascal, &kin);
        differs_beyond_a_step(&net, &x->gap_film, &kin);
        differs_beyond_a_step(&net, &x->face.rotor_half, &kin);
        differs_beyond_a_step(&net, &x->face.pad_half, &kin);
        differs_beyond_a_step(&net, &x->gain, &kin);
        differs_beyond_a_step(&net, &x->face.area, &kin);    /* both layers */
        differs_beyond_a_step(&net, &x->face.k_rotor, &kin); /* either */
    }
    mbl_network_free(&net);
}

/* Friction that turns faster is told apart by steps of a half, upwards, and by the steeper pad. */
static void steep_friction_tells_kin_apart(void **state)
{
    (void)state;
    mbl_kin flat;
    mbl_kin before;
    mbl_car car = test_coupe();
    random_car_flat_friction(&car);
    mbl_block *b = random_car_block(&car, 300);
    mbl_kin_of(b->model[0], &flat);
    assert_close(mbl_kin_steep(&flat), 1e-4, 0.5);
    mbl_block_free(b);
    before = flat;
    for (int i = 0; i < 12; i++) {
        double steep = 3e-4 * pow(1.5, i); /* of itself in a kelvin, from 600 to 610 K */
        mbl_pad *pad = i % 2 == 0 ? &car.front.pad : &car.rear.pad;
        pad->friction = (mbl_curve){.n = 2, .x = {600, 610}, .y = {0.4, 0.4 * (1 + 10 * steep)}};
        mbl_kin kin;
        b = random_car_block(&car, 300);
        mbl_kin_of(b->model[0], &kin);
        mbl_block_free(b);
        assert_memory_not_equal(&kin, &before, sizeof kin);
        /* over the middle of the grid's interval; up to a step more */
        assert_true(mbl_kin_steep(&kin) >= steep * (1 - 1e-9));
        assert_true(mbl_kin_steep(&kin) <= 1.5 * steep * (1 + 1e-9));
        before = kin;
    }
}

/* The pilot's own constants are as near as its steps are wide. */
static void a_pilot_is_near_the_car_that_it_is_of(void **state)
{
    (void)state;
    double worst = 0;
    for (int seed = 1; seed <= random_cases(40); seed++) {
        mbl_car car = random_car((uint64_t)seed);
        mbl_block *b = random_car_block(&car, 300);
        const mbl_model *m = b->model[0];
        mbl_kin kin;
        mbl_pilot p;
        if (mbl_model_macro(m) > 0) {
            mbl_kin_of(m, &kin);
            mbl_pilot_make(&kin, &p);
            for (int c = 0; c < MBL_STRIDE_CORNERS; c++) {
                for (int i = 0; i < MBL_PLACES; i++) {
                    const mbl_node_spec *n = &m->node[mbl_stride_node(c, i)];
                    double C = n->scale * (n->iron ? 590 : 1); /* grey iron at 650 K, about */
                    worst = fmax(worst, fabs(log(p.C[i][c] / C)));
                    if (i < MBL_PLACES - 1 && i != MBL_PLACE_FACE)
                        worst = fmax(worst,
                                     fabs(log(p.g[i][c] / m->link[m->stride.along[c][i]].value)));
                }
            }
        }
        mbl_block_free(b);
    }
    printf("capacities and conductances within a factor of %.2f\n", exp(worst));
    assert_true(exp(worst) < 1.6);
}

/* What no chain holds is no matter to a pilot. */
static void caliper_air_and_hub_do_not_tell_kin_apart(void **state)
{
    (void)state;
    mbl_car car = test_coupe();
    mbl_block *a = random_car_block(&car, 300);
    car.front.airflow = 0.9;
    car.front.caliper.mass = 5;
    car.front.rotor.hat_mass = 1.5;
    mbl_block *b = random_car_block(&car, 310);
    mbl_kin kin[2];
    mbl_kin_of(a->model[0], &kin[0]);
    mbl_kin_of(b->model[0], &kin[1]);
    assert_memory_equal(&kin[0], &kin[1], sizeof kin[0]);
    mbl_block_free(a);
    mbl_block_free(b);
}

static void the_macro_step_of_kin_is_one_that_each_of_them_bears(void **state)
{
    (void)state;
    int strode = 0;
    for (int seed = 1; seed <= random_cases(40); seed++) {
        mbl_car car = random_car((uint64_t)seed);
        if (seed % 2 == 0) { /* a quick node of one's own shortens it */
            car.front.nodes.n = 1;
            car.front.nodes.v[0] = (mbl_extra_node){.name = "own", .capacity = 60.0 + 4 * seed};
            car.front.links.n = 1;
            car.front.links.v[0] =
                (mbl_extra_link){.from = "own", .to = "hub", .conductance = 50 + seed};
        }
        mbl_block *b = random_car_block(&car, 300);
        double macro = mbl_model_macro(b->model[0]);
        mbl_kin kin;
        if (macro > 0) {
            strode++;
            mbl_kin_of(b->model[0], &kin);
            assert_true(mbl_kin_macro(&kin) <= macro * (1 + 1e-9));
            assert_true(mbl_kin_macro(&kin) * 1.2 > macro * (1 - 1e-9));
        }
        mbl_block_free(b);
    }
    printf("%d strode\n", strode);
    assert_true(strode >= 20);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_pilot_of_a_cars_own_constants_goes_as_its_strides_do),
        cmocka_unit_test(a_step_keeps_its_heat),
        cmocka_unit_test(left_alone_long_enough_a_chain_comes_to_one_temperature),
        cmocka_unit_test(what_a_pilot_did_before_changes_no_bit),
        cmocka_unit_test(every_constant_tells_kin_apart_by_a_step_and_not_by_less),
        cmocka_unit_test(steep_friction_tells_kin_apart),
        cmocka_unit_test(a_pilot_is_near_the_car_that_it_is_of),
        cmocka_unit_test(caliper_air_and_hub_do_not_tell_kin_apart),
        cmocka_unit_test(the_macro_step_of_kin_is_one_that_each_of_them_bears),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
